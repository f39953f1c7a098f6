package chain

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// station is an invented station of thirteen nodes: panel, charger, two-cell
// pack, step-down and linear supplies, a service adapter behind a link.
func station(t testing.TB) *Circuit {
	t.Helper()
	c, err := New(stationParts(), stationLimits())
	require.NoError(t, err)
	return c
}

func stationParts() []Part {
	return []Part{
		{"panel", "", "array", Panel{PhotoA: 0.3, SaturationA: 1e-9, ThermalV: 1.1, SeriesOhm: 0.8, ShuntOhm: 900}},
		{"panel lead", "array", "lead end", Wire{Ohm: 0.2}},
		{"D1", "lead end", "charger in", Diode{SaturationA: 2e-7, Ideality: 1.05, SeriesOhm: 0.1, JunctionC: 25, ShortOhm: 0.05}},
		{"charger", "charger in", "charger out", Charger{SetV: 7.0, LimitA: 1, HoldV: 14, Efficiency: 0.9, HeadroomV: 0.5, PassOhm: 0.2, IdleA: 0.002,
			ShortOhm: 0.2, Trimmer: true, NoPackV: 7.6}},
		{"F1", "charger out", "pack", Fuse{RatedA: 2, ColdOhm: 0.04, MeltA2S: 8}},
		{"cells", "", "pack", Battery{OpenV: 6.6, SeriesOhm: 0.08}},
		{"F2", "pack", "bus", Fuse{RatedA: 1, ColdOhm: 0.1, MeltA2S: 1}},
		{"adapter", "", "socket", Adapter{RatedV: 12, NoLoadV: 16.5, RatedA: 1, SeriesOhm: 0.2}},
		{"J1", "socket", "bus", Link{Ohm: 0.02}},
		{"buck", "bus", "5V", StepDown{SetV: 5, Efficiency: 0.9, HeadroomV: 0.4, PassOhm: 0.2, IdleA: 0.0005, LimitA: 2, MinInputV: 4.5, ShortOhm: 0.15,
			Trimmer: true, WiperOpenV: 0.8}},
		{"U2", "5V", "3V3", Linear{SetV: 3.3, DropoutV: 0.2, DropoutOhm: 0.5, IdleA: 50e-6, LimitA: 0.8, ShortOhm: 0.5}},
		{"J2", "5V", "radio", Link{Fitted: true, Ohm: 0.02}},
		{"modem", "radio", "", PowerLoad{LoadW: 1.0, BrownOutV: 4.2}},
		{"controller", "3V3", "", CurrentLoad{LoadA: 0.08}},
		{"sensor lead", "3V3", "sensors", Wire{Ohm: 2}},
		{"sensors", "sensors", "", CurrentLoad{LoadA: 0.005}},
		{"R1", "bus", "adc", Wire{Ohm: 100e3}},
		{"R2", "adc", "", Resistor{Ohm: 47e3}},
		{"J3", "bus", "heater", Link{Ohm: 0.02}},
		{"heater", "heater", "", Resistor{Ohm: 22}},
	}
}

func stationLimits() []Limit {
	return []Limit{
		{Node: "charger in", Item: "charger", WorkV: 24, MaxV: 30},
		{Node: "pack", Item: "cells", WorkV: 7.2, MaxV: 7.3},
		{Node: "bus", Item: "buck", WorkV: 7.2, MaxV: 23},
		{Node: "5V", Item: "U2", WorkV: 5.25, MaxV: 7, MaxW: 0.8},
		{Node: "radio", Item: "modem", WorkV: 5.25, MaxV: 5.5},
		{Node: "3V3", Item: "controller", WorkV: 3.45, MaxV: 3.6},
		{Node: "sensors", Item: "sensors", WorkV: 3.45, MaxV: 3.6},
		{Node: "adc", Item: "input pin", WorkV: 3.3, MaxV: 3.6},
		{Node: "heater", Item: "heater", MaxW: 4},
	}
}
