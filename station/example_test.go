package station_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/station"
)

// garden is the invented description that some examples share.
const garden = `
[site]
latitude_deg = 51.0
longitude_deg = 7.0
height_m = 120
utc_offset_h = 1
[climate]
global_kwh_per_m2_day = [0.6, 1.2, 2.3, 3.7, 4.8, 5.0, 4.9, 4.2, 2.9, 1.6, 0.8, 0.5]
air_c = [2, 3, 6, 10, 14, 17, 19, 18, 15, 10, 6, 3]
record_low_c = -20
record_high_c = 38
[panel]
vmp_v = 18
imp_a = 0.22
voc_v = 22
isc_a = 0.24
cells = 36
tilt_deg = 60
facing_deg = 180
[charger]
hold_v = 17.0
set_v = 7.0
limit_a = 1
[pack]
chemistry = "LiFePO4"
cells = 2
capacity_ah = 6
cold_stop = true
[[regulator]]
name = "U1"
kind = "linear"
from = "pack"
rail = "3V3"
out_v = 3.3
idle_a = 0.000005
input_max_v = 16
dropout_v = 0.6
[[load]]
name = "controller"
rail = "3V3"
asleep_a = 0.001
awake_a = 0.08
awake_s = 40
period_s = 300
`

// A review in three lines.
//
// Given: three LiFePO4 cells and a charger that reads 12.60 V with nothing
// connected.
// Find: what to do first.
//
//	12.60 V/3 = 4.20 V a cell, 0.55 V above the 3.65 V of the sheet
//
// Source: sheets of the IFR26650PE (3.65 V) and of an ICR18650 (4.20 V).
func ExampleNewReview() {
	d, err := station.Read(strings.NewReader("[pack]\nchemistry = \"LiFePO4\"\ncells = 3\n[charger]\nset_v = 12.6\n"), "my.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := station.NewReview(d, station.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range r.First() {
		fmt.Printf("%v: %s, %.3f V, limit %.3f V\n", f.Word, f.Quantity, f.Value, f.Limit)
	}
	// Output:
	// STOP: cell voltage at the charger's setting, 4.200 V, limit 3.650 V
}

// The wrong way: sections and lines by other names, a comma in a number, pascals.
// All mistakes of a file come together, each with its line and what was probably
// meant.
//
// Given: a description typed from memory.
// Find: what is wrong with it.
func ExampleRead_wrongWay() {
	_, err := station.Read(strings.NewReader(`[place]
lattitude_deg = 48.2
[panel]
vmp = 17.5
imp_a = 571
[reading]
pressure_hpa = 94160
`), "my.toml")
	fmt.Println(err)
	var re *stationphysics.RangeError
	fmt.Println(errors.As(err, &re), re.Slip)
	_, err = station.Read(strings.NewReader("[site]\nlatitude_deg = 48,2\n"), "my.toml")
	fmt.Println(err)
	// Output:
	// my.toml:1: place: unknown key "place": did you mean "site"?
	// my.toml:4: panel.vmp: unknown key "vmp": did you mean "vmp_v"?
	// my.toml:5: panel.imp_a: current at maximum power 571 A is outside 0.005..30 A: milliamperes?
	// my.toml:7: reading.pressure_hpa: raw pressure 94160 hPa is outside 300..1100 hPa: pascals?
	// true milliamperes
	// my.toml:2: expected newline but got U+002C ',' (a decimal comma? A number has a point: 48.2)
}

// What cannot be told says which line is missing. The wrong way: to assume a
// usual number in its place.
//
// Given: a panel's label without its cells in series, and a charger's hold
// voltage.
// Find: which lines the verdict on that voltage wants.
//
//	kept = 16.8 V · I(16.8 V)/(Vmp Imp), hottest and coldest: the curve needs
//	the cells in series, the cells' temperatures the records of the place
//
// Source: curve De Soto et al. 2006, Solar Energy 80:78.
func ExampleFinding() {
	d, err := station.Read(strings.NewReader("[panel]\nvmp_v = 17.5\nimp_a = 0.57\nvoc_v = 21.6\nisc_a = 0.62\n[charger]\nhold_v = 16.8\n"), "my.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := station.NewReview(d, station.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range r.Findings {
		if f.Quantity == "charger input hold" {
			fmt.Printf("%v: %s\n", f.Word, f.Action)
		}
	}
	// Output:
	// CANNOT TELL: add panel.cells, climate.record_low_c and climate.record_high_c
}

// A measured day as a climate.
//
// Given: a day of hourly means (invented): 100 W/m² from 8 to 16 h, 4 °C by night
// and 10 °C by day; at night the instrument reads -2 W/m².
// Find: the daily sum and the mean temperature.
//
//	8 h · 100 W/m² = 0.8 kWh/m²;  (16 · 4 + 8 · 10)/24 = 6.0 °C
//
// The wrong way counts the night's offset: 16 h · 2 W/m² less.
//
// Source: sums; thermal offset of pyranometers, WMO-No. 8, part I, ch. 7 (from
// memory).
func ExampleReadWeather() {
	var b strings.Builder
	b.WriteString("time,global_w_per_m2,air_c\n")
	start := time.Date(2026, 3, 20, 0, 0, 0, 0, time.FixedZone("", 3600))
	for h := range 24 {
		global, air := -2, 4
		if h >= 8 && h < 16 {
			global, air = 100, 10
		}
		fmt.Fprintf(&b, "%s,%d,%d\n", start.Add(time.Duration(h)*time.Hour).Format(time.RFC3339), global, air)
	}
	w, err := station.ReadWeather(strings.NewReader(b.String()), "day.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	c := w.Climate()
	fmt.Printf("%.1f kWh/m², %.1f °C, %d readings taken as zero\n", c.GlobalKWhPerM2[time.March-1], c.AirC[time.March-1], w.NightOffsetCount)
	// Output:
	// 0.8 kWh/m², 6.0 °C, 16 readings taken as zero
}

// A year, and where its energy goes.
//
// Given: a garden station (invented) with a panel of 4 W and a load that wakes for
// 40 s in five minutes.
// Find: hours without service, and whether the balance closes.
//
//	taken = diode + charger + pack + regulators + starts + idle + served + stored
//	rail (1 + 80·40/300) mA · 3.3 V = 38.5 mW: 0.92 Wh a day; at 6.7 V twice that
//
// The wrong way asks for the served energy only: a linear part turns as much into
// heat.
//
// Source: conservation of energy, step by step.
func ExampleModel_Run() {
	d, err := station.Read(strings.NewReader(garden), "garden.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := station.Compile(d)
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := m.Synthetic(1)
	if err != nil {
		fmt.Println(err)
		return
	}
	sun, err := m.Sunlight(w)
	if err != nil {
		fmt.Println(err)
		return
	}
	y, err := m.Run(sun, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	month, ratio := y.WorstMonth()
	fmt.Printf("%.0f h without service; %v offers %.1f times the need\n", y.LostH, month, ratio)
	fmt.Printf("served %.0f Wh of %.0f Wh taken, %.0f Wh heat in the regulator\n", y.Energy.ServedWh, y.Energy.TakenWh, y.Energy.RegulatorWh)
	fmt.Println("less than a milliwatt-hour unaccounted for:", math.Abs(y.Energy.ResidualWh()) < 1e-3)
	// Output:
	// 0 h without service; December offers 1.9 times the need
	// served 333 Wh of 833 Wh taken, 353 Wh heat in the regulator
	// less than a milliwatt-hour unaccounted for: true
}

// One good year proves little.
//
// Given: 20 seeded years, none of them with more than 24 h without service.
// Find: how often a year may still fail.
//
//	0 of 20, 95 %: upper end z²/(n + z²) = 3.84/(20 + 3.84) = 16 %
//
// The wrong way: 0 of 20, so never.
//
// Source: Wilson 1927, Journal of the American Statistical Association 22:209.
func ExampleFailShare() {
	years := make([]station.Outcome, 20)
	s := station.FailShare(years, 24)
	fmt.Printf("%.0f %%, with 95 %% confidence %.0f to %.0f %%\n", 100*s.Frac, 100*s.LowFrac, 100*s.HighFrac)
	// Output:
	// 0 %, with 95 % confidence 0 to 16 %
}

// The smallest pack that lasts. The wrong way: days of autonomy from the label.
//
// Given: the garden station with packs of 1, 3 and 6 Ah, one seeded year.
// Find: the smallest that loses no more than 24 h.
//
//	label of 3 Ah: 3 Ah · 6.4 V/2.0 Wh a day = 9.6 days, and yet 49 h are lost
//
// Source: hourly balance of energy as in ExampleModel_Run.
func ExampleModel_Size() {
	d, err := station.Read(strings.NewReader(garden), "garden.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := station.Compile(d)
	if err != nil {
		fmt.Println(err)
		return
	}
	variants, err := m.Size(context.Background(), station.Search{CapacitiesAh: []float64{1, 3, 6}, Years: 1, FirstSeed: 1, AcceptedLostH: 24})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range variants {
		fmt.Printf("%g Ah: %.0f h lost, accepted: %v\n", v.CapacityAh, v.WorstLostH, v.Meets)
	}
	// Output:
	// 1 Ah: 380 h lost, accepted: false
	// 3 Ah: 49 h lost, accepted: false
	// 6 Ah: 0 h lost, accepted: true
}

// A description out of a program.
//
// Given: a pack and the trim of its charger.
// Find: the file that Read takes back.
//
// What is stated is written, each line with meaning, unit and range; the rest
// stays out.
func ExampleDescription_WriteTOML() {
	d := &station.Description{
		Pack:    &station.Pack{Chemistry: "LiFePO4", Cells: station.Of(2)},
		Charger: &station.Charger{SetV: station.Of(7.0)},
	}
	if err := d.WriteTOML(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// [charger]
	// set_v = 7  # output voltage at the second trimmer, read with nothing connected, V, 1 to 60
	//
	// [pack]
	// chemistry = "LiFePO4"  # LiFePO4, lithium-ion, sealed lead-acid, flooded lead-acid or NiMH
	// cells = 2  # cells in series, 1 to 40
}
