package logbook

import (
	"errors"
	"fmt"
	"strings"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/wording"
	"github.com/stationphysics/stationphysics/station"
)

// A Column is a quantity that a log may hold.
type Column uint8

// The columns, with the names of their headers.
const (
	Air        Column = iota // air_c, air_k: air in the shield
	Air2                     // air_2_c, air_2_k: a second thermometer in the shield
	Humidity                 // humidity_pct: over water, also in the frost
	Humidity2                // humidity_2_pct: a second one, at air_2 if there is one
	Pressure                 // pressure_hpa, pressure_pa, pressure_kpa: at the sensor
	Light                    // light_lx
	Wind                     // wind_m_per_s: mean since the row before
	WindPulses               // wind_pulses: since the row before
	Direction                // direction_deg: where the wind comes from
	Gust                     // gust_m_per_s: largest since the row before
	RainTips                 // rain_tips: since the row before
	Rain                     // rain_mm: since the row before
	Pack                     // pack_v, pack_mv
	Panel                    // panel_v, panel_mv
	Current                  // pack_a, pack_ma: into the pack positive
	Box                      // box_c, box_k: inside the box, with the cells
	Boots                    // boots: starts of the logger so far
	columns
)

// A heading is one accepted name with the way to the unit kept inside.
type heading struct {
	name           string
	column         Column
	factor, offset float64
}

var headings = []heading{
	{"air_c", Air, 1, 0},
	{"air_k", Air, 1, -273.15},
	{"air_2_c", Air2, 1, 0},
	{"air_2_k", Air2, 1, -273.15},
	{"humidity_pct", Humidity, 1, 0},
	{"humidity_2_pct", Humidity2, 1, 0},
	{"pressure_hpa", Pressure, 1, 0},
	{"pressure_pa", Pressure, 0.01, 0},
	{"pressure_kpa", Pressure, 10, 0},
	{"light_lx", Light, 1, 0},
	{"wind_m_per_s", Wind, 1, 0},
	{"wind_pulses", WindPulses, 1, 0},
	{"direction_deg", Direction, 1, 0},
	{"gust_m_per_s", Gust, 1, 0},
	{"rain_tips", RainTips, 1, 0},
	{"rain_mm", Rain, 1, 0},
	{"pack_v", Pack, 1, 0},
	{"pack_mv", Pack, 1e-3, 0},
	{"panel_v", Panel, 1, 0},
	{"panel_mv", Panel, 1e-3, 0},
	{"pack_a", Current, 1, 0},
	{"pack_ma", Current, 1e-3, 0},
	{"box_c", Box, 1, 0},
	{"box_k", Box, 1, -273.15},
	{"boots", Boots, 1, 0},
}

var columnNames = [columns]string{"air", "air_2", "humidity", "humidity_2", "pressure", "light", "wind", "wind_pulses",
	"direction", "gust", "rain_tips", "rain", "pack", "panel", "pack current", "box", "boots"}

var columnUnits = [columns]string{"°C", "°C", "%", "%", "hPa", "lx", "m/s", "", "deg", "m/s", "", "mm", "V", "V", "A", "°C", ""}

// String gives the name of the quantity: "air".
func (c Column) String() string {
	if c < columns {
		return columnNames[c]
	}
	return "time"
}

// Unit gives the unit in which the package holds the column; empty for counts.
func (c Column) Unit() string {
	if c < columns {
		return columnUnits[c]
	}
	return ""
}

// unitWords turn a unit in brackets into the ending of a heading.
var unitWords = map[string]string{"°c": "c", "c": "c", "degc": "c", "k": "k", "%": "pct", "hpa": "hpa", "pa": "pa", "kpa": "kpa", "lx": "lx",
	"m/s": "m_per_s", "°": "deg", "deg": "deg", "mm": "mm", "v": "v", "mv": "mv", "a": "a", "ma": "ma", "s": "s"}

// plain brings "Air 2 [°C]" to "air_2_c".
func plain(h string) string {
	h = strings.ToLower(strings.TrimSpace(h))
	unit := ""
	if i := strings.IndexAny(h, "[("); i > 0 && strings.ContainsAny(h[len(h)-1:], "])") {
		unit = strings.TrimSpace(h[i+1 : len(h)-1])
		if w, ok := unitWords[unit]; ok {
			unit = w
		}
		h = strings.TrimSpace(h[:i])
	}
	h = strings.Join(strings.FieldsFunc(h, func(r rune) bool { return r == ' ' || r == '_' }), "_")
	if unit != "" {
		h += "_" + unit
	}
	return h
}

const (
	timeStamp  = "time"   // RFC 3339
	timeOffset = "time_s" // seconds since Config.Start
)

func known() []string {
	names := []string{timeStamp, timeOffset}
	for i := range headings {
		names = append(names, headings[i].name)
	}
	return names
}

// A field is what one position of a row holds; none for an ignored one.
type field struct {
	heading
	used bool
}

// layout maps a header.
func layout(header []string, ignore []string) (fields []field, timeAt int, offset bool, errs []error) {
	timeAt = -1
	fail := func(h string, err error) { errs = append(errs, &station.InputError{Key: h, Err: err}) }
	if len(header) == 1 && strings.ContainsAny(header[0], ";\t") {
		fail("", errors.New("the columns are not separated by commas"))
		return nil, 0, false, errs
	}
	var seen [columns]bool
	fields = make([]field, len(header))
	skip := map[string]bool{}
	for _, s := range ignore {
		skip[plain(s)] = true
	}
next:
	for i, h := range header {
		name := plain(h)
		if skip[name] {
			continue
		}
		if name == timeStamp || name == timeOffset {
			if timeAt >= 0 {
				fail(h, errors.New("a column of time stands twice"))
				continue
			}
			timeAt, offset = i, name == timeOffset
			continue
		}
		for _, k := range headings {
			if k.name != name {
				continue
			}
			if seen[k.column] {
				fail(h, fmt.Errorf("the quantity %s stands twice", k.column))
			}
			seen[k.column] = true
			fields[i] = field{k, true}
			continue next
		}
		fail(h, &stationphysics.NameError{Kind: "column", Name: h, Known: known(), Nearest: wording.Meant(name, known(), otherNames)})
	}
	if timeAt < 0 {
		fail(timeStamp, errors.New("the column is missing: time in RFC 3339, or time_s in seconds since a stated start"))
	}
	if seen[Wind] && seen[WindPulses] || seen[Rain] && seen[RainTips] {
		fail("", errors.New("a quantity stands both as a count and in its unit: ignore one of them"))
	}
	return fields, timeAt, offset, errs
}

// otherNames are what columns are also called.
var otherNames = map[string][]string{
	"date": {timeStamp}, "datetime": {timeStamp}, "timestamp": {timeStamp}, "epoch": {timeOffset}, "unix": {timeOffset},
	"temp": {"air_c"}, "temperature": {"air_c"}, "temp_2": {"air_2_c"}, "temperature_2": {"air_2_c"},
	"rh": {"humidity_pct"}, "hum": {"humidity_pct"}, "rh_2": {"humidity_2_pct"}, "barometer": {"pressure_hpa"}, "baro": {"pressure_hpa"},
	"lux": {"light_lx"}, "illuminance": {"light_lx"}, "wind_speed": {"wind_m_per_s"}, "wind_direction": {"direction_deg"}, "wind_dir": {"direction_deg"},
	"wind_gust": {"gust_m_per_s"}, "tip": {"rain_tips"}, "precipitation": {"rain_mm"}, "battery": {"pack_v"}, "vbat": {"pack_v"}, "battery_current": {"pack_a"},
	"solar": {"panel_v"}, "case": {"box_c"}, "internal": {"box_c"}, "boot": {"boots"}, "restart": {"boots"},
}
