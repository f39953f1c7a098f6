package main

import (
	"github.com/stationphysics/stationphysics/baro"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// geometricHeight is the range that baro.ISOGeopotential documents.
var geometricHeight = limit.Range{Quantity: "geometric height", Unit: "m", Min: -5000, Max: 81000}

var atmosphere = kind{
	name:  "atmosphere",
	about: "the standard atmosphere by height",
	params: []param{
		{"height", "height", "m", "-500:6000:500", "heights above sea level: standard geopotential metres, -5000 to 80000, or metres with -by geometric"},
		{"by", "", "", "geopotential", "geopotential or geometric: which of the two heights is given"},
	},
	make: makeAtmosphere,
}

func makeAtmosphere(v *values) *table {
	geometric := v.word("by", "geopotential", "geometric") == "geometric"
	heights := v.numbers("height", func(x float64) error {
		if !geometric {
			return baro.CheckStandard(baro.GeopotentialM(x))
		}
		return geometricHeight.Check(x)
	})
	t := &table{
		title: "Standard atmosphere by geopotential height",
		notes: []string{
			"Dry air, 15 °C and 1013.25 hPa at sea level, gravity of latitude 45.54°: a convention, not the weather of a day.",
			"Geopotential height counts standard geopotential metres (gpm), geometric height metres on a map; the two convert with an earth radius of 6356766 m. For a real place use its latitude (package baro, Geopotential).",
		},
		sources: []string{
			"ISO 2533:1975 and ICAO Doc 7488, equations (11) to (13) (numbers quoted); density as ideal gas with R = 287.05287 J/(kg K), speed of sound with a ratio of specific heats of 1.4, viscosity after Sutherland with 1.458e-6 kg/(m s K^0.5) and 110.4 K. Package baro.",
			"Holds from -5000 to 80000 gpm. A cell without a value shows -.",
		},
		keys: 2,
		columns: []column{
			{head: "geo-\npotential", unit: "gpm", key: "geopotential_m"}, {head: "geometric", unit: "m", key: "geometric_m"}, {head: "temp.", unit: "°C", key: "temperature_c"},
			{head: "pressure", unit: "hPa", key: "pressure_hpa"}, {head: "density", unit: "kg/m³", key: "density_kg_per_m3"}, {head: "sound", unit: "m/s", key: "sound_m_per_s"},
			{head: "viscosity", unit: "Pa s", key: "viscosity_pa_s"}, {head: "gravity", unit: "m/s²", key: "gravity_m_per_s2"},
		},
	}
	v.size("height", len(heights), len(t.columns))
	if v.err != nil {
		return nil
	}
	if geometric {
		t.title = "Standard atmosphere by geometric height"
		t.columns[0], t.columns[1] = t.columns[1], t.columns[0]
	}
	heightCell := axis(heights)
	for _, x := range heights {
		h := baro.GeopotentialM(x)
		other := float64(baro.ISOGeometric(h))
		if geometric {
			h = baro.ISOGeopotential(baro.GeometricM(x))
			other = float64(h)
		}
		s := baro.StandardAt(h)
		t.rows = append(t.rows, []cell{
			heightCell(x), fixed(other, 1), fixed(s.TempC, 2), significant(s.PressureHPa, 6), significant(s.DensityKgPerM3, 6),
			fixed(s.SoundMPerS, 3), significant(s.ViscosityPaS, 5), fixed(s.GravityMPerS2, 5),
		})
	}
	return t
}
