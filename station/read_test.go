package station

import (
	"bytes"
	"errors"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

func TestReadTakesWhatIsThereAndNoMore(t *testing.T) {
	d, err := Read(strings.NewReader(`
name = "hut"
[site]
latitude_deg = 47
skyline_deg = [[90, 4], [180, 12.5]]
[[load]]
name = "logger"
asleep_a = 0.001
[[load]]
name = "radio"
[pack]
cells = 3
cold_stop = false
`), "hut.toml")
	require.NoError(t, err)
	require.Equal(t, "hut", d.Name)
	require.Equal(t, 47.0, *d.Site.LatitudeDeg)
	require.Nil(t, d.Site.LongitudeDeg)
	require.Equal(t, [][]float64{{90, 4}, {180, 12.5}}, d.Site.SkylineDeg)
	require.Len(t, d.Loads, 2)
	require.Equal(t, "radio", d.Loads[1].Name)
	require.Equal(t, 3, *d.Pack.Cells)
	require.False(t, *d.Pack.ColdStop)
	require.Nil(t, d.Panel)
}

// An editor may put a byte order mark in front, and three cells are three
// whether written 3 or 3.0.
func TestReadTakesWhatEditorsWrite(t *testing.T) {
	d, err := Read(strings.NewReader("\ufeff[pack]\r\ncells = 3.0\r\n"), "x.toml")
	require.NoError(t, err)
	require.Equal(t, 3, *d.Pack.Cells)
	_, err = Read(strings.NewReader("[pack]\ncells = 1e300\n"), "x.toml")
	require.ErrorContains(t, err, "expected a whole number, found the number 1e+300")
}

// The head of a section without a line below it states nothing.
func TestReadTakesAHeadAloneForNothing(t *testing.T) {
	d, err := Read(strings.NewReader("[diode]\n# drop_v = 0.4\n[adapter]\n[pack]\ncold_stop = false\n"), "x.toml")
	require.NoError(t, err)
	require.Equal(t, &Description{Pack: &Pack{ColdStop: Of(false)}}, d)
	var b bytes.Buffer
	require.NoError(t, (&Description{}).WriteTemplate(&b))
	d, err = Read(&b, "new.toml")
	require.NoError(t, err)
	require.Equal(t, &Description{}, d, "the template states nothing")
}

func TestReadOfNothingIsAnEmptyDescription(t *testing.T) {
	d, err := Read(strings.NewReader("# only a remark\n"), "x.toml")
	require.NoError(t, err)
	require.Equal(t, &Description{}, d)
}

// Each mistake gives one line that names the file, the line, the key and what
// is allowed.
func TestReadSaysWhatIsWrong(t *testing.T) {
	for name, c := range map[string]struct{ text, says string }{
		"unknown key":           {"[panel]\nvmp_volts = 17", `x.toml:2: panel.vmp_volts: unknown key "vmp_volts": did you mean "vmp_v"?`},
		"unknown section":       {"\n[panels]\n", `x.toml:2: panels: unknown key "panels": did you mean "panel"?`},
		"nothing like it":       {"[adapter]\nqqqqqqqq = 1", `x.toml:2: adapter.qqqqqqqq: unknown key "qqqqqqqq": known are rated_v, rated_a, no_load_v`},
		"text for a number":     {"[panel]\nvmp_v = \"17.2\"", `x.toml:2: panel.vmp_v: expected a number, found the text "17.2"`},
		"number for a text":     {"name = 3", `x.toml:1: name: expected a text in quotes, found the number 3`},
		"fraction of a cell":    {"[pack]\ncells = 2.5", `x.toml:2: pack.cells: expected a whole number, found the number 2.5`},
		"word for a switch":     {"[pack]\ncold_stop = \"yes\"", `x.toml:2: pack.cold_stop: expected true or false, found the text "yes"`},
		"number for a list":     {"[climate]\nair_c = 4", `x.toml:2: climate.air_c: expected a list, found the number 4`},
		"table for tables":      {"[load]\nname = \"a\"", `x.toml:1: load: expected one or more tables [[load]], found a table in single brackets`},
		"number for a section":  {"panel = 3", `x.toml:1: panel: expected a table [panel], found the number 3`},
		"pascals":               {"[reading]\npressure_hpa = 101325", `x.toml:2: reading.pressure_hpa: raw pressure 101325 hPa is outside 300..1100 hPa: pascals?`},
		"kilopascals":           {"[reading]\npressure_hpa = 101.3", `x.toml:2: reading.pressure_hpa: raw pressure 101.3 hPa is outside 300..1100 hPa: kilopascals?`},
		"inches of mercury":     {"[reading]\npressure_hpa = 30.12", `x.toml:2: reading.pressure_hpa: raw pressure 30.12 hPa is outside 300..1100 hPa: inches of mercury?`},
		"kelvins":               {"[reading]\nair_c = 293.15", `x.toml:2: reading.air_c: air temperature in the shield 293.15 °C is outside -80..60 °C: kelvins?`},
		"milliamperes":          {"[panel]\nimp_a = 580", `x.toml:2: panel.imp_a: current at maximum power 580 A is outside 0.005..30 A: milliamperes?`},
		"milliampere-hours":     {"[pack]\ncapacity_ah = 3200", `x.toml:2: pack.capacity_ah: rated capacity of the pack 3200 Ah is outside 0.05..400 Ah: milliampere-hours?`},
		"percent for a share":   {"[charger]\nefficiency = 85", `x.toml:2: charger.efficiency: efficiency 85 is outside 0.3..1: a percentage?`},
		"monthly sum":           {"[climate]\nglobal_kwh_per_m2_day = [1,1,1,1,1,160,1,1,1,1,1,1]", `x.toml:2: climate.global_kwh_per_m2_day: mean daily sun on the flat in each month 160 kWh/m² is outside 0..12 kWh/m²: a monthly sum instead of a daily mean?`},
		"eleven months":         {"[climate]\nair_c = [1,1,1,1,1,1,1,1,1,1,1]", `x.toml:2: climate.air_c: expected a list of 12, found 11`},
		"latitude 95":           {"[site]\nlatitude_deg = 95", `x.toml:2: site.latitude_deg: latitude 95 deg is outside -90..90 deg`},
		"height -5000":          {"[site]\nheight_m = -5000", `x.toml:2: site.height_m: height of the ground above sea level -5000 m is outside -430..6000 m`},
		"NaN":                   {"[panel]\nvoc_v = nan", `x.toml:2: panel.voc_v: open-circuit voltage NaN V is outside 0.4..200 V`},
		"infinite":              {"[panel]\nvoc_v = inf", `x.toml:2: panel.voc_v: open-circuit voltage +Inf V is outside 0.4..200 V`},
		"lost minus sign":       {"[panel]\nvoc_pct_per_k = 0.3", `x.toml:2: panel.voc_pct_per_k: temperature coefficient of the open-circuit voltage 0.3 %/K is outside -0.6..-0.15 %/K: a value without its minus sign?`},
		"unknown word":          {"[[regulator]]\nkind = \"buck\"", `x.toml:2: regulator[0].kind: unknown word "buck": known are linear, step-down, step-up`},
		"mains for output":      {"[adapter]\nrated_v = 230", `x.toml:2: adapter.rated_v: voltage on its label 230 V is outside 1..60 V: the mains voltage instead of the adapter's output?`},
		"kiloohms":              {"[bus]\npull_ups_ohm = [4700, 10]", `x.toml:2: bus.pull_ups_ohm: pull-up resistors on each line 10 ohm is outside 100..1e+06 ohm: kiloohms?`},
		"skyline of three":      {"[site]\nskyline_deg = [[90, 4, 1]]", `x.toml:2: site.skyline_deg: expected rows of 2 numbers, found a row of 3`},
		"skyline beyond zenith": {"[site]\nskyline_deg = [[90, 400]]", `x.toml:2: site.skyline_deg: elevation 400 deg is outside -5..90 deg`},
		"second load":           {"[[load]]\nname = \"a\"\n[[load]]\nname = \"b\"\nasleep_a = 60", `x.toml:5: load[1].asleep_a: current asleep 60 A is outside 0..5 A: microamperes or milliamperes?`},
		"inline table":          {"panel = { vmp_v = 17,\n imp_a = 2 }\nname = 4", `x.toml:3: name: expected a text in quotes, found the number 4`},
		"several panels":        {"[[panel]]\nvmp_v = 3", `x.toml:1: panel: expected a table [panel], found tables in double brackets`},
		"another name":          {"[place]\n", `x.toml:1: place: unknown key "place": did you mean "site"?`},
		"another name, slipped": {"[batery]\n", `x.toml:1: batery: unknown key "batery": did you mean "pack"?`},
		"no unit":               {"[site]\nlattitude = 48", `x.toml:2: site.lattitude: unknown key "lattitude": did you mean "latitude_deg"?`},
		"far from all":          {"[hut]\n", `x.toml:1: hut: unknown key "hut": known are name, site, climate, panel, diode, charger, pack, regulator, load, service, adapter, link, box, bus, sensor, reading`},
		"decimal comma":         {"[site]\nlatitude_deg = 48,2", `x.toml:2: expected newline but got U+002C ',' (a decimal comma? A number has a point: 48.2)`},
		"point alone":           {"[site]\nlatitude_deg = .5 # half", `x.toml:2: unexpected character U+002E '.' at start of value (a number has a digit on both sides of its point: 0.5)`},
		"unit in the value":     {"[site]\r\nheight_m = 300 m\r\n", `x.toml:2: expected newline but got U+006D 'm' (a unit behind the number? The key has it: the number stands alone)`},
		"no value":              {"[site]\nheight_m = # later\n", `x.toml:2: unexpected character U+0023 '#' at start of value (the value is missing)`},
		"colon":                 {"[site]\nheight_m: 300", `x.toml:2: expected '=' after key (a line is "key = value")`},
		"text without quotes":   {"[pack]\nchemistry = lifepo4", `x.toml:2: unexpected character U+006C 'l' at start of value (a text stands in quotes: "lifepo4")`},
		"printer's quotes":      {"[pack]\nchemistry = “lifepo4”", `x.toml:2: unexpected character U+00E2 'â' at start of value (a text stands in straight quotes: "lifepo4")`},
		"capital switch":        {"[pack]\ncold_stop = True", `x.toml:2: unexpected character U+0054 'T' at start of value (a switch is true or false in small letters)`},
		"open bracket":          {"[pack\ncells = 3", `x.toml:1: expected ']' to close table name (is the bracket closed?)`},
		"a sentence":            {"my station\n", `x.toml:1: expected '=' after key (a line is "key = value", a section "[panel]", a remark begins with #)`},
		"no slip known":         {"[climate]\nair_c = [1, 2", `x.toml:2: array is incomplete`},
		"not text":              {"name = \"\x00\"", `x.toml: the file is not text`},
		"another encoding":      {"name = \"H\xfctte\"", `x.toml: the file is not text in UTF-8: save it as UTF-8`},
		"two bytes a letter":    {"\xff\xfen\x00", `x.toml: the file is text in UTF-16: save it as UTF-8`},
		"one of many shadows":   {"[site]\nlatitude_deg = 48\nlongitude_deg = 16\nheight_m = 200\nskyline_deg = [[10, 1], [10, 2], [10, 3]]\n[panel]\ntilt_deg = 40\nfacing_deg = 180", `x.toml:1: site: azimuth of a skyline point 10 deg and azimuth of a skyline point 10 deg and azimuth of a skyline point 10 deg contradict each other: one azimuth takes two points at most, the foot and the top of a vertical edge`},
		"unknown chemistry":     {"[pack]\nchemistry = \"zinc\"", `x.toml:2: pack.chemistry: unknown chemistry "zinc": known are LiFePO4, lithium-ion (4.2 V), sealed lead-acid, flooded lead-acid, NiMH`},
		"too long a pack":       {"[pack]\nchemistry = \"LiFePO4\"\ncapacity_ah = 3\ncells = 33", `x.toml:1: pack: number of cells in series 33 is outside 1..32`},
		"falling diode":         {"[diode]\nplace = \"panel\"\ndrop_v = 0.4\ndrop_at_a = 1\nlow_drop_v = 0.5", `x.toml:1: diode: voltage 0.5 V and current of the first point 0.1 A and voltage 0.4 V and current of the second point 1 A contradict each other: the second point of a forward curve has more current and more voltage`},
		"all of the box sunny":  {"[box]\narea_m2 = 0.2\nabsorptance = 0.5\nsunny_area_m2 = 0.15", `x.toml:1: box: sunlit area 0.15 m² and surface area 0.2 m² contradict each other: a body's shadow is at most half its surface`},
		"numbers for tables":    {"load = [1]", `x.toml:1: load[0]: expected a table [[load]], found the number 1`},
		"word in a list":        {"[climate]\nair_c = [\"mild\"]", `x.toml:2: climate.air_c: expected a number, found the text "mild"`},
		"no TOML":               {"[panel\nvmp_v = 3", "x.toml:1: "},
		"key twice":             {"[site]\nheight_m = 1\nheight_m = 2", "x.toml:3: "},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := Read(strings.NewReader(c.text), "x.toml")
			require.Nil(t, d)
			require.Error(t, err)
			if strings.HasSuffix(c.says, ": ") {
				require.True(t, strings.HasPrefix(err.Error(), c.says), err)
				require.NotContains(t, err.Error(), "\n")
				return
			}
			require.EqualError(t, err, c.says)
			var list InputErrors
			require.True(t, errors.As(err, &list))
			require.Len(t, list, 1)
		})
	}
}

func TestReadReportsAllMistakesTogetherInOrder(t *testing.T) {
	_, err := Read(strings.NewReader("[site]\nlatitude_deg = 95\nheight_m = -5000\n[panel]\nvmp_v = true\n[pack]\ncels = 4\n"), "x.toml")
	var list InputErrors
	require.True(t, errors.As(err, &list))
	lines := []int{}
	for _, e := range list {
		lines = append(lines, e.Line)
	}
	require.Equal(t, []int{2, 3, 5, 7}, lines)
	var re *stationphysics.RangeError
	require.True(t, errors.As(err, &re), "a single mistake is reachable through the list")
	require.Equal(t, 95.0, re.Value)
	var ke *stationphysics.NameError
	require.True(t, errors.As(err, &ke))
	require.Equal(t, "cells", ke.Nearest)
}

func TestReadStopsAtItsSizeLimit(t *testing.T) {
	_, err := Read(strings.NewReader(strings.Repeat("# long remark\n", 1<<17)), "big.toml")
	require.ErrorContains(t, err, "big.toml: the file is larger than 1048576 bytes")
}

func TestReadPassesAReadErrorOn(t *testing.T) {
	broken := errors.New("cable pulled")
	_, err := Read(readerFunc(func([]byte) (int, error) { return 0, broken }), "x.toml")
	require.ErrorIs(t, err, broken)
}

type readerFunc func([]byte) (int, error)

func (f readerFunc) Read(p []byte) (int, error) { return f(p) }

func TestValidateChecksWhatIsBuiltInCode(t *testing.T) {
	good := &Description{Site: &Site{LatitudeDeg: Of(47.0)}, Loads: []*Load{{Name: "logger"}}}
	require.NoError(t, good.Validate())
	bad := &Description{
		Site:       &Site{LatitudeDeg: Of(math.NaN()), SkylineDeg: [][]float64{{1}}},
		Regulators: []*Regulator{nil, {Kind: "buck"}},
	}
	err := bad.Validate()
	for _, part := range []string{"site.latitude_deg: latitude NaN deg", "rows of 2 numbers", "regulator[0]: expected a table", "regulator[1].kind"} {
		require.ErrorContains(t, err, part)
	}
}

// The tags are read by reflection: a malformed one must not wait for a user.
func TestEveryFieldHasSoundTags(t *testing.T) {
	var walk func(reflect.Type)
	fields := 0
	walk = func(typ reflect.Type) {
		keys := map[string]bool{}
		for i := range typ.NumField() {
			sf := typ.Field(i)
			s := specOf(sf)
			require.NotEmpty(t, s.key, sf.Name)
			require.False(t, keys[s.key], "%s stands twice in %s", s.key, typ)
			keys[s.key] = true
			require.NotEmpty(t, s.doc, "%s.%s", typ, sf.Name)
			fields++
			switch {
			case isTable(sf.Type):
				walk(sf.Type.Elem())
			case isTables(sf.Type):
				walk(sf.Type.Elem().Elem())
			case numeric(sf.Type):
				require.False(t, math.IsInf(s.limits.Min, 0), "%s.%s has no range", typ, sf.Name)
				require.NotEqual(t, -math.MaxFloat64, s.limits.Min, "%s.%s has no range", typ, sf.Name)
			}
		}
	}
	walk(reflect.TypeOf(Description{}))
	require.Greater(t, fields, 100)
}

func numeric(t reflect.Type) bool {
	if t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t.Kind() == reflect.Float64 || t.Kind() == reflect.Int
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"", "[panel]\nvmp_v = 17", "[[load]]\nname=\"a\"", "a.b.c = {x=1}", "site = { skyline_deg = [[1,2],[3]] }", "[site]\nheight_m = nan", "[[load]]\n[load.x]\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := Read(strings.NewReader(s), "f.toml")
		if err == nil {
			require.NoError(t, d.Validate(), "what Read accepts is valid")
			return
		}
		var list InputErrors
		require.True(t, errors.As(err, &list))
		require.NotEmpty(t, list)
	})
}

// What other names point to are keys, sections or columns that exist.
func TestOtherNamesPointAtWhatExists(t *testing.T) {
	known := map[string]bool{}
	for _, c := range ownColumns {
		known[c] = true
	}
	var walk func(reflect.Type)
	walk = func(typ reflect.Type) {
		for i := range typ.NumField() {
			sf := typ.Field(i)
			known[sf.Tag.Get("toml")] = true
			switch {
			case isTable(sf.Type):
				walk(sf.Type.Elem())
			case isTables(sf.Type):
				walk(sf.Type.Elem().Elem())
			}
		}
	}
	walk(reflect.TypeFor[Description]())
	for name, means := range otherNames {
		require.NotEmpty(t, means, name)
		for _, m := range means {
			require.True(t, known[m], "%s: no key %s", name, m)
		}
	}
}

// A malformed tag is a mistake of this package and panics.
func TestMalformedTagsPanic(t *testing.T) {
	for _, bad := range []string{"1", "1..x", "x..1", "2..1"} {
		require.PanicsWithValue(t, `station: malformed range tag "`+bad+`"`, func() { interval(bad) })
	}
	require.PanicsWithValue(t, `station: malformed number tag "x"`, func() { number("x") })
	require.PanicsWithValue(t, `station: malformed rows tag "azimuth"`, func() { column("azimuth") })
	require.PanicsWithValue(t, `station: malformed std tag "x"`, func() { standard(reflect.TypeFor[*float64](), "x") })
}

// Every range of the description is refused beyond both ends, with the key, the
// quantity, the value, the unit and the range.
func TestEveryRangeOfADescriptionIsHeld(t *testing.T) {
	held := 0
	refuse := func(section, key string, whole bool, r limit.Range, wrap func(string) string) {
		beyond := []float64{math.Nextafter(r.Min, math.Inf(-1)), math.Nextafter(r.Max, math.Inf(1))}
		if whole {
			beyond = []float64{r.Min - 1, r.Max + 1}
		}
		for _, v := range beyond {
			x := strconv.FormatFloat(v, 'g', -1, 64)
			_, err := Read(strings.NewReader(section+"\n"+key+" = "+wrap(x)+"\n"), "x.toml")
			var re *stationphysics.RangeError
			require.ErrorAs(t, err, &re, "%s %s = %s", section, key, x)
			require.Equal(t, &stationphysics.RangeError{Quantity: r.Quantity, Value: v, Unit: r.Unit, Min: r.Min, Max: r.Max, Slip: re.Slip}, re)
			require.ErrorContains(t, err, key+": "+re.Error())
			held++
		}
	}
	var walk func(s reflect.Type, section string)
	walk = func(s reflect.Type, section string) {
		for i := range s.NumField() {
			f := s.Field(i)
			spec := specOf(f)
			switch {
			case isTable(f.Type):
				walk(f.Type.Elem(), "["+spec.key+"]")
			case isTables(f.Type):
				walk(f.Type.Elem().Elem(), "[["+spec.key+"]]")
			case len(spec.rows) > 0:
				for j, r := range spec.rows {
					refuse(section, spec.key, false, r, func(x string) string {
						row := slices.Repeat([]string{"0"}, len(spec.rows))
						row[j] = x
						return "[[" + strings.Join(row, ", ") + "]]"
					})
				}
			case f.Tag.Get("range") != "":
				refuse(section, spec.key, f.Type == reflect.TypeFor[*int](), spec.limits, func(x string) string {
					if f.Type.Kind() == reflect.Slice {
						return "[" + strings.Join(slices.Repeat([]string{x}, max(1, spec.length)), ", ") + "]"
					}
					return x
				})
			}
		}
	}
	walk(reflect.TypeFor[Description](), "")
	require.Greater(t, held, 150)
}
