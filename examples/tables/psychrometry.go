package main

import (
	"strings"

	"github.com/stationphysics/stationphysics/psychro"
)

var psychrometry = kind{
	name:  "psychrometry",
	about: "moist air by temperature and relative humidity, at a pressure",
	params: []param{
		{"temperature", "air temperature", "°C", "-20:40:5", "air temperatures, -100 to 100"},
		{"humidity", "relative humidity", "%", "20:100:20", "relative humidities over water, 0 to 100"},
		{"pressure", "air pressure", "hPa", "1013.25", "air pressure at the place, not reduced to sea level; 300 to 1100"},
		{"quantity", "", "", "all", "all in columns, or one as a grid of temperature and humidity: " + strings.Join(airNames(), ", ")},
	},
	make: makePsychrometry,
}

// An airQuantity is what a psychrometric table tells.
type airQuantity struct {
	name, head, unit, key string
	decimals              int
	note                  string
	of                    func(psychro.State) float64
}

var airQuantities = []airQuantity{
	{"vapour-pressure", "vapour\npressure", "hPa", "vapour_pressure_hpa", 3, "", psychro.State.VapourPressureHPa},
	{"dew-point", "dew\npoint", "°C", "dew_point_c", 2, "The dew point is over water, below 0 °C over supercooled water; completely dry air has none.", psychro.State.DewPointC},
	{"frost-point", "frost\npoint", "°C", "frost_point_c", 2, "The frost point is over ice; there is none above 0.01 °C.", psychro.State.FrostPointC},
	{"wet-bulb", "wet\nbulb", "°C", "wet_bulb_c", 2, "The wet bulb is the thermodynamic one, below 0 °C that of a bulb with ice, which may be warmer than air near saturation; an instrument also reads its ventilation.", psychro.State.WetBulbC},
	{"mixing-ratio", "mixing\nratio", "g/kg", "mixing_ratio_g_per_kg", 3, "The mixing ratio is per kg of dry air.", psychro.State.MixingRatioGPerKg},
	{"absolute-humidity", "absolute\nhumidity", "g/m³", "absolute_humidity_g_per_m3", 3, "", psychro.State.AbsoluteHumidityGPerM3},
	{"density", "density", "kg/m³", "density_kg_per_m3", 4, "The density is that of the moist air.", psychro.State.DensityKgPerM3},
	{"enthalpy", "enthalpy", "kJ/kg", "enthalpy_kj_per_kg", 2, "The enthalpy is per kg of dry air, from dry air at 0 °C and water at the triple point.", psychro.State.EnthalpyKJPerKg},
}

func airNames() []string {
	var names []string
	for _, q := range airQuantities {
		names = append(names, q.name)
	}
	return names
}

func makePsychrometry(v *values) *table {
	hPa := v.number("pressure", func(x float64) error { _, err := psychro.New(20, 50, x); return err })
	temps := v.numbers("temperature", func(x float64) error { _, err := psychro.New(x, 0, 1013.25); return err })
	humidities := v.numbers("humidity", func(x float64) error { _, err := psychro.New(20, x, 1013.25); return err })
	which := v.word("quantity", append(airNames(), "all")...)
	quantities := airQuantities
	for i, q := range airQuantities {
		if q.name == which {
			quantities = airQuantities[i : i+1]
		}
	}
	t := &table{
		title: "Moist air at " + plain(hPa) + " hPa",
		notes: []string{"Relative humidity is over liquid water at all temperatures, as sensors report it and WMO-No. 8 asks."},
		sources: []string{
			"Saturation over water: IAPWS-95 from 0 °C on, Murphy and Koop (2005) eq. 10 below; over ice: IAPWS R14-08 eq. 6. Moist air as a real gas: virial equation of state after Lemmon et al. (2000), IAPWS-95 and IAPWS G8-10, the enhancement factor in it. Package psychro states its deviations.",
			"Holds from -100 to 100 °C and 300 to 1100 hPa, up to nine tenths of vapour, over a flat surface of pure water or ice. A cell without a value shows -.",
		},
	}
	for _, q := range quantities {
		if q.note != "" {
			t.notes = append(t.notes, q.note)
		}
	}
	const sized = "temperature, -humidity"
	if which == "all" {
		v.size(sized, len(temps)*len(humidities), 2+len(quantities))
		t.allOfAir(temps, humidities, hPa, v)
	} else {
		v.size(sized, len(temps), 1+len(humidities))
		t.gridOfAir(temps, humidities, hPa, quantities[0], v)
	}
	return t
}

// allOfAir has a line for each temperature and humidity.
func (t *table) allOfAir(temps, humidities []float64, hPa float64, v *values) {
	if v.err != nil {
		return
	}
	t.keys = 2
	t.columns = []column{{head: "air", unit: "°C", key: "air_c"}, {head: "relative\nhumidity", unit: "%", key: "humidity_pct"}}
	for _, q := range airQuantities {
		t.columns = append(t.columns, column{head: q.head, unit: q.unit, key: q.key})
	}
	tempCell, rhCell := axis(temps), axis(humidities)
	for _, tempC := range temps {
		for _, rh := range humidities {
			row := []cell{tempCell(tempC), rhCell(rh)}
			for _, q := range airQuantities {
				row = append(row, q.cell(tempC, rh, hPa))
			}
			t.rows = append(t.rows, row)
		}
	}
}

// gridOfAir has a line for each temperature and a column for each humidity.
func (t *table) gridOfAir(temps, humidities []float64, hPa float64, q airQuantity, v *values) {
	if v.err != nil {
		return
	}
	t.title = strings.ToUpper(q.name[:1]) + strings.ReplaceAll(q.name[1:], "-", " ") + ", " + q.unit + ", of moist air at " + plain(hPa) + " hPa"
	t.keys = 1
	t.columns = []column{{head: "air", unit: "°C", key: "air_c"}}
	for _, rh := range humidities {
		t.columns = append(t.columns, column{head: plain(rh) + " %", unit: q.unit, key: q.key + "_at_" + plain(rh) + "_pct"})
	}
	tempCell := axis(temps)
	for _, tempC := range temps {
		row := []cell{tempCell(tempC)}
		for _, rh := range humidities {
			row = append(row, q.cell(tempC, rh, hPa))
		}
		t.rows = append(t.rows, row)
	}
}

// cell is the quantity of one state; hot air that would be more than nine
// tenths vapour has none.
func (q *airQuantity) cell(tempC, rhPct, hPa float64) cell {
	air, err := psychro.New(tempC, rhPct, hPa)
	if err != nil {
		return none
	}
	return fixed(q.of(air), q.decimals)
}
