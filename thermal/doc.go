// Package thermal follows heat from a junction to the air: how hot a part gets,
// how fast, on which copper or sink, and how warm a closed box becomes in the
// sun.
//
// # What it covers
//
//   - Path: the steady chain θJC, θCS, θSA, or θJA on a stated board; junction
//     from ambient and power, from a tab reading and back, the largest power,
//     the sink needed, the derating curve. JunctionFromTopC and
//     JunctionFromBoardC use ψJT and ψJB as JESD51 allows and no further.
//   - EstimateCopper and CopperRows: published θJA by copper area with the name
//     of each sheet and the spread between them.
//   - PlateSinkKPerW: an upright plate as a heat sink, at the power it sheds.
//   - package transient: networks with capacities, steps, pulses, warm-up records.
//   - Air, RadiationWPerM2K, SolAirC, SealedBox: natural convection, radiation,
//     and a closed box in sun and wind.
//   - ShieldErrorBand: what is published on the error of an air thermometer in a
//     shield without a fan. BurnThresholdC: when a surface burns skin.
//
// It does not model conduction in a plate, fins or fans, and it corrects no
// reading.
//
// # Which resistance is which
//
// θJC belongs to the part and one face of it. θJA belongs to part and board
// together: one part is stated from 61 to 196 K/W on four boards (TLS715). A
// tab reading plus θJC·P gives the junction of the moment, settled or not; an
// ambient reading plus θJA·P gives it only once nothing moves any more. ψJT is
// neither: it only corrects a reading of the top.
//
// # Accuracy
//
//	Path                 rounding
//	AirAt                1.5 % of the reference equations, -23 to 127 °C
//	natural convection   the equations' own 10 to 20 %
//	SealedBox            about 30 % of the rise
//	EstimateCopper       the spread it returns, more on another board
//	BurnThresholdC       values from memory, see there
//
// # Sources
//
// JESD51-2, -3, -7, -12 (what θ and ψ mean); Churchill and Chu, Int. J. Heat
// Mass Transfer 18 (1975) 1049 and 1323; McAdams, Heat Transmission (1954);
// U.S. Standard Atmosphere 1976; ASHRAE Fundamentals ch. 18; ISO 13732-1:2006
// (from memory); the data sheets that CopperRows names.
//
// # Heat and people
//
// Bare metal above about 48 °C burns skin held on it for ten minutes, above 51
// °C within a minute and above 65 °C at a touch (ISO 13732-1, from memory). A
// regulator's tab at its permitted junction temperature is far beyond that.
// Results are arithmetic on the given numbers and no inspection of a device.
package thermal
