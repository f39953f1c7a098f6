package logbook

import (
	"bytes"
	"math"
	"strconv"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A State says what a cell of a log is. They are kept apart: a missing value,
// a failed transfer and a sensor at the end of its range are different news.
type State uint8

// The states.
const (
	Absent     State = iota // the log has no such column, or the result cannot be formed from it
	Good                    // a value
	Missing                 // empty, NaN or a word for it, or -999, -9999 (common practice)
	BusError                // a value that stands for a failed transfer, not for weather
	OutOfRange              // outside what weather does, or what the sensor can report
	Pegged                  // at the end of the sensor's range: there may be any amount more
)

var stateNames = [...]string{"absent", "good", "missing", "bus error", "out of range", "pegged"}

// String gives the state in words.
func (s State) String() string {
	if int(s) < len(stateNames) {
		return stateNames[s]
	}
	return "?"
}

// Limits of the range check: those of the WMO guidelines on quality control of
// automatic stations (Zahumenský 2004, from memory), the last six those of
// parts in use (our choice). The bound of 40 mm of rain is that of a minute and
// grows with the step between rows.
var ranges = [columns]limit.Range{
	Air:        {Quantity: "air temperature", Unit: "°C", Min: -80, Max: 60},
	Air2:       {Quantity: "air temperature", Unit: "°C", Min: -80, Max: 60},
	Humidity:   {Quantity: "relative humidity", Unit: "%", Min: 0, Max: 105},
	Humidity2:  {Quantity: "relative humidity", Unit: "%", Min: 0, Max: 105},
	Pressure:   {Quantity: "station pressure", Unit: "hPa", Min: 500, Max: 1100},
	Light:      {Quantity: "illuminance", Unit: "lx", Min: 0, Max: 200000},
	Wind:       {Quantity: "wind speed", Unit: "m/s", Min: 0, Max: 75},
	WindPulses: {Quantity: "wind pulses", Min: 0, Max: 1e7},
	Direction:  {Quantity: "wind direction", Unit: "deg", Min: 0, Max: 360},
	Gust:       {Quantity: "gust", Unit: "m/s", Min: 0, Max: 150},
	RainTips:   {Quantity: "rain tips", Min: 0, Max: 1e6},
	Rain:       {Quantity: "rain", Unit: "mm", Min: 0, Max: 120 * rainMinuteMm},
	Pack:       {Quantity: "pack voltage", Unit: "V", Min: 0, Max: 100},
	Panel:      {Quantity: "panel voltage", Unit: "V", Min: -1, Max: 200},
	Current:    {Quantity: "pack current", Unit: "A", Min: -100, Max: 100},
	Box:        {Quantity: "box temperature", Unit: "°C", Min: -80, Max: 100},
	Boots:      {Quantity: "boots", Min: 0, Max: 1e9},
}

// rainMinuteMm is the most rain of a minute, in the same guidelines.
const rainMinuteMm = 40

// isBusError recognises values that sensors' drivers give for a transfer that
// failed. All are common practice and none is weather: all ones (65535, and
// 32767 and -32768 with a sign), -127 °C and a power-on register of exactly
// 85 °C from single-wire thermometers, and about -140 °C, what the
// compensation formula of a common pressure chip makes of a raw zero.
func isBusError(c Column, raw, v float64) bool {
	switch c {
	case Air, Air2, Box:
		if v >= -145 && v <= -138 || v == -127 || v == 85 {
			return true
		}
	case WindPulses, RainTips, Boots:
		return raw == 65535 || raw == 4294967295
	}
	return raw == 65535 || raw == 32767 || raw == -32768 || raw == 4294967295
}

// decode reads one cell. ok is false if it is no number at all.
func decode(f *field, b []byte, top float64) (v float64, s State, ok bool) {
	nan := math.NaN()
	if len(b) == 0 || isMissingWord(b) {
		return nan, Missing, true
	}
	raw, err := strconv.ParseFloat(string(b), 64)
	if err != nil || math.IsInf(raw, 0) {
		return nan, Missing, false
	}
	if raw != raw || raw == -999 || raw == -9999 {
		return nan, Missing, true
	}
	v = raw*f.factor + f.offset
	c := f.column
	if c == Light && top > 0 && v >= top*(1-1.0/65535) && v <= top*(1+1.0/65535) {
		return v, Pegged, true
	}
	// A light sensor with a wider range may well read 65535 lx.
	bright := c == Light && top > 65535
	switch {
	case !bright && isBusError(c, raw, v):
		return nan, BusError, true
	case !ranges[c].Holds(v), c == Light && top > 0 && v > top, (c == WindPulses || c == RainTips || c == Boots) && v != math.Trunc(v):
		return v, OutOfRange, true
	case (c == Humidity || c == Humidity2) && (v >= 100 || v == 0):
		return v, Pegged, true
	}
	return v, Good, true
}

var missingWords = [...]string{"nan", "null", "na", "n/a", "-", "none"}

func isMissingWord(b []byte) bool {
	if b[0] >= '0' && b[0] <= '9' {
		return false
	}
	for _, w := range missingWords {
		if len(w) == len(b) && bytes.EqualFold(b, []byte(w)) {
			return true
		}
	}
	return false
}
