package station

import (
	"strconv"
	"strings"
)

// An InputError is one mistake in an input file, with the place where it
// stands. Err says what is wrong: a *stationphysics.RangeError for a number out of
// range, a *stationphysics.NameError for a key or word that is not known.
type InputError struct {
	File string // as the caller named it
	Line int    // 1-based; 0 where no line can be named
	Key  string // "panel.vmp_v", or the column of a table; empty if none
	Err  error
}

// Error gives one line: file, line, key and what is wrong.
func (e *InputError) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		b.WriteByte(':')
		b.WriteString(strconv.Itoa(e.Line))
	}
	b.WriteString(": ")
	if e.Key != "" {
		b.WriteString(e.Key)
		b.WriteString(": ")
	}
	b.WriteString(e.Err.Error())
	return b.String()
}

// Unwrap returns what is wrong, without the place.
func (e *InputError) Unwrap() error { return e.Err }

// InputErrors are all mistakes found in one file, in the order of their lines.
type InputErrors []*InputError

// Error gives one line a mistake.
func (e InputErrors) Error() string {
	lines := make([]string, len(e))
	for i, x := range e {
		lines[i] = x.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap makes every single mistake reachable by errors.As and errors.Is.
func (e InputErrors) Unwrap() []error {
	out := make([]error, len(e))
	for i, x := range e {
		out[i] = x
	}
	return out
}

// A ShapeError reports a value of the wrong type or a list of the wrong length.
type ShapeError struct {
	Want, Got string
}

// Error says what was expected and what was found.
func (e *ShapeError) Error() string { return "expected " + e.Want + ", found " + e.Got }

// otherNames are what sections and keys are also called, each with the key it
// stands for, the likeliest first where a name fits several places.
var otherNames = map[string][]string{
	// sections
	"place": {"site"}, "location": {"site"}, "position": {"site"}, "station": {"site"}, "garden": {"site"},
	"weather": {"climate"}, "module": {"panel"}, "solar": {"panel"}, "pv": {"panel"}, "solar_panel": {"panel"},
	"battery": {"pack"}, "batt": {"pack"}, "accumulator": {"pack"}, "cell": {"pack", "cells"}, "bms": {"pack"}, "protection": {"pack"},
	"converter": {"regulator"}, "ldo": {"regulator"}, "buck": {"regulator"}, "boost": {"regulator"}, "step_down": {"regulator"}, "step_up": {"regulator"},
	"consumer": {"load"}, "controller": {"load"}, "radio": {"load"}, "blocking_diode": {"diode"}, "schottky": {"diode"},
	"mains": {"adapter"}, "supply": {"adapter"}, "power_supply": {"adapter"}, "jumper": {"link"}, "enclosure": {"box"}, "housing": {"box"}, "case": {"box"},
	"i2c": {"bus"}, "sensor_bus": {"bus"}, "measurement": {"reading"}, "operation": {"service"},
	// keys
	"altitude": {"height_m"}, "elevation": {"height_m"}, "lng": {"longitude_deg"}, "horizon": {"skyline_deg", "site"}, "skyline": {"site"},
	"time_zone": {"utc_offset_h"}, "timezone": {"utc_offset_h"}, "albedo": {"ground_albedo"},
	"temperature": {"air_c", "record_low_c"}, "temp": {"air_c"}, "ghi": {"global_kwh_per_m2_day", "global_w_per_m2"}, "sun": {"global_kwh_per_m2_day"},
	"irradiance": {"global_w_per_m2"}, "dni": {"direct_w_per_m2"}, "dhi": {"diffuse_w_per_m2"}, "date": {"time"}, "datetime": {"time"}, "timestamp": {"time"},
	"azimuth": {"facing_deg"}, "orientation": {"facing_deg"}, "direction": {"facing_deg"}, "inclination": {"tilt_deg"}, "slope": {"tilt_deg"}, "dirt": {"soiling_share"},
	"power": {"pmax_w", "own_w"}, "rated_power": {"pmax_w"}, "vmpp": {"vmp_v"}, "impp": {"imp_a"}, "voltage": {"set_v", "out_v", "rated_v", "drop_v", "supply_v"},
	"current": {"limit_a", "asleep_a", "rated_a"}, "forward_voltage": {"drop_v"}, "float": {"set_v"}, "mppt": {"hold_v"}, "quiescent": {"idle_a"},
	"chem": {"chemistry"}, "type": {"kind", "chemistry"}, "sleep": {"asleep_a"}, "active": {"awake_a"}, "period": {"period_s"}, "interval": {"period_s"},
	"colour": {"absorptance"}, "color": {"absorptance"}, "pullup": {"pull_ups_ohm"}, "frequency": {"speed_hz"}, "length": {"cable_m"},
	"humidity": {"rh_pct"}, "light": {"light_lx"}, "dewpoint": {"dew_point_c"}, "location_name": {"name"}, "id": {"name"}, "title": {"name"},
}

// A MissingError reports a calculation for which a description lacks lines.
type MissingError struct {
	For  string   // what was to be calculated
	Keys []string // the lines to add: "panel.vmp_v"
}

// Error names the calculation and the missing lines.
func (e *MissingError) Error() string {
	return "for " + e.For + " the description must also state " + list(e.Keys, "and")
}
