// Package stationphysics is the common root of the calculations behind a
// solar-powered, battery-backed outdoor weather station. It holds only the
// error types that the packages below it share.
//
// The physics packages stand alone: import the one you need.
//
//   - psychro: moist air
//   - baro: pressure and height
//   - solar, solar/sky, solar/panel: the sun, its light on a plane, the panel
//   - power, power/chain: regulators, diodes, chargers; the circuit and its faults
//   - thermal: heat from junction to air
//   - battery: cells and packs
//   - wind, rain: from pulses to observations
//   - station: a whole station, described, run through a year and reviewed
//
// Units are fixed for the whole module and stand at the end of every name: °C,
// hPa, %, m, degrees, V, A, W, ohm, K/W, W/m², lx, m/s, mm, Ah, Wh.
package stationphysics
