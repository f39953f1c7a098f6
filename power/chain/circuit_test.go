package chain

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

func pack(to string) Part   { return Part{"pack", "", to, Battery{OpenV: 6.6, SeriesOhm: 0.1}} }
func load(from string) Part { return Part{"load", from, "", Resistor{Ohm: 100}} }

func TestComplaintsNameThePart(t *testing.T) {
	for name, c := range map[string]struct {
		parts  []Part
		limits []Limit
		says   string
	}{
		"nothing":           {nil, nil, "a circuit without parts"},
		"no name":           {[]Part{pack("bus"), {"", "bus", "", Resistor{Ohm: 1}}}, nil, `part from "bus" to "" has no name`},
		"named twice":       {[]Part{pack("bus"), load("bus"), load("bus")}, nil, `part "load" is named twice`},
		"no model":          {[]Part{pack("bus"), {"load", "bus", "", nil}}, nil, `part "load" has no model`},
		"pointer":           {[]Part{pack("bus"), {"load", "bus", "", &Resistor{Ohm: 1}}}, nil, `part "load" has a pointer for a model`},
		"nil pointer":       {[]Part{pack("bus"), {"load", "bus", "", (*Resistor)(nil)}}, nil, `part "load" has a pointer for a model`},
		"source with From":  {[]Part{{"pack", "x", "bus", Battery{OpenV: 6}}}, nil, `part "pack" is a source: it needs To and no From`},
		"source without To": {[]Part{{"pack", "", "", Battery{OpenV: 6}}}, nil, `part "pack" is a source`},
		"load with To":      {[]Part{pack("bus"), {"load", "bus", "x", Resistor{Ohm: 1}}}, nil, `part "load" is a load: it needs From and no To`},
		"load from nothing": {[]Part{pack("bus"), {"load", "", "", Resistor{Ohm: 1}}}, nil, `part "load" is a load`},
		"regulator to air":  {[]Part{pack("bus"), {"U1", "bus", "", Linear{SetV: 3}}}, nil, `part "U1" is a series part: it needs From and To`},
		"wire from nothing": {[]Part{pack("bus"), {"W", "", "bus", Wire{Ohm: 1}}}, nil, `part "W" needs From`},
		"both ends":         {[]Part{pack("bus"), {"W", "bus", "bus", Wire{Ohm: 1}}}, nil, `part "W" has both ends at node "bus"`},
		"negative":          {[]Part{pack("bus"), {"W", "bus", "x", Wire{Ohm: -1}}, load("x")}, nil, `part "W": resistance -1 ohm is outside 0..1e+09 ohm`},
		"per cent":          {[]Part{pack("bus"), {"buck", "bus", "x", StepDown{SetV: 5, Efficiency: 90}}, load("x")}, nil, `part "buck": efficiency 90 is outside 0.01..1: percent?`},
		"millivolts":        {[]Part{{"pack", "", "bus", Battery{OpenV: 6600}}, load("bus")}, nil, `part "pack": open-circuit voltage 6600 V is outside 0..1000 V: millivolts?`},
		"NaN":               {[]Part{pack("bus"), {"load", "bus", "", CurrentLoad{LoadA: math.NaN()}}}, nil, `part "load": current NaN A`},
		"adapter":           {[]Part{{"A", "", "bus", Adapter{RatedV: 12, NoLoadV: 11}}, load("bus")}, nil, "an adapter's voltage does not rise under load"},
		"no curve":          {[]Part{{"S", "", "bus", Source{OpenV: 5}}, load("bus")}, nil, `part "S" has no curve`},
		"rising curve":      {[]Part{{"S", "", "bus", Source{OpenV: 5, Curve: curve(func(v float64) float64 { return v })}}, load("bus")}, nil, `part "S" has a curve that is not finite and falling`},
		"endless curve":     {[]Part{{"S", "", "bus", Source{OpenV: 5, Curve: curve(func(v float64) float64 { return math.Inf(1) })}}, load("bus")}, nil, "not finite and falling"},
		"efficiency curve":  {[]Part{pack("bus"), {"buck", "bus", "x", StepDown{SetV: 5, EfficiencyAt: func(a float64) float64 { return 1.2 }}}, load("x")}, nil, `part "buck": efficiency at 1e-06 A 1.2 is outside`},
		"its far end":       {[]Part{pack("bus"), {"buck", "bus", "x", StepDown{SetV: 5, EfficiencyAt: func(a float64) float64 { return 0.5 + a/100 }}}, load("x")}, nil, `part "buck": efficiency at 100`},
		"limit nowhere":     {[]Part{pack("bus"), load("bus")}, []Limit{{Node: "buss", Item: "radio", MaxV: 5}}, `limit of "radio" at node "buss": unknown node "buss": known are bus`},
		"limit crossed":     {[]Part{pack("bus"), load("bus")}, []Limit{{Node: "bus", WorkV: 6, MaxV: 5}}, "a part works below its absolute maximum"},
		"limit negative":    {[]Part{pack("bus"), load("bus")}, []Limit{{Node: "bus", MaxV: -5}}, "absolute maximum voltage -5 V"},
		"limit of work":     {[]Part{pack("bus"), load("bus")}, []Limit{{Node: "bus", Item: "radio", WorkV: 5000}}, `limit of "radio" at node "bus": working voltage 5000 V is outside 0..1000 V: millivolts?`},
		"limit of power":    {[]Part{pack("bus"), load("bus")}, []Limit{{Node: "bus", MaxW: -1}}, "absolute maximum power -1 W is outside 0..100000 W"},
		"floating":          {[]Part{pack("bus"), load("bus"), {"W", "x", "y", Wire{Ohm: 1}}}, nil, `floating nodes, tied to the return by no source or load: node "x", "y"`},
		"loop": {[]Part{pack("bus"), load("bus"), {"W1", "bus", "x", Wire{}}, {"W2", "x", "bus", Wire{}}}, nil,
			`loop without resistance: node "bus", "x", part "W1", "W2"`},
		"two stiff sources": {[]Part{{"A", "", "bus", Battery{OpenV: 6}}, {"B", "", "bus", Battery{OpenV: 6.1}}, load("bus")}, nil,
			`loop without resistance: node "bus", common return, part "A", "B"`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := New(c.parts, c.limits)
			require.ErrorContains(t, err, c.says)
		})
	}
}

type curve func(float64) float64

func (c curve) CurrentA(v float64) float64 { return c(v) }

func TestAllComplaintsAtOnceAndTyped(t *testing.T) {
	_, err := New([]Part{
		{"pack", "", "bus", Battery{OpenV: -1, SeriesOhm: -2}},
		{"adapter", "", "bus", Adapter{RatedV: 12, NoLoadV: 9}},
		{"load", "bus", "", nil},
	}, []Limit{{Node: "nowhere", MaxV: 1}})
	for _, s := range []string{`part "pack": open-circuit voltage -1`, `part "pack": series resistance -2`, `part "adapter": rated voltage 12 V and no-load voltage 9 V`, `part "load" has no model`, "nowhere"} {
		require.ErrorContains(t, err, s)
	}
	var re *stationphysics.RangeError
	require.True(t, errors.As(err, &re))
	require.Equal(t, -1.0, re.Value)
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce))

	_, err = New([]Part{pack("bus"), load("bus"), {"a", "x", "y", Diode{SaturationA: 1e-9, Ideality: 1, JunctionC: 25}}}, nil)
	var te *TopologyError
	require.True(t, errors.As(err, &te))
	require.Equal(t, []string{"x", "y"}, te.Nodes)
}

// TestEveryRangeIsHeld moves each number of each model out of its range, one
// at a time, and expects the name of what is wrong.
func TestEveryRangeIsHeld(t *testing.T) {
	sourceAt := func(m Model) []Part { return []Part{{"part", "", "bus", m}, load("bus")} }
	loadAt := func(m Model) []Part { return []Part{pack("bus"), {"part", "bus", "", m}} }
	seriesAt := func(m Model) []Part { return []Part{pack("bus"), {"part", "bus", "out", m}, load("out")} }
	panel := Panel{PhotoA: 0.3, SaturationA: 1e-9, ThermalV: 1}
	diode := Diode{SaturationA: 1e-9, Ideality: 1, JunctionC: 25}
	linear, down := Linear{SetV: 3}, StepDown{SetV: 3, Efficiency: 0.9}
	up := StepUp{SetV: 9, Efficiency: 0.9, LimitInA: 1, MinInputV: 1}
	charger := Charger{SetV: 7, LimitA: 1}
	fuse, clamp := Fuse{RatedA: 1}, Clamp{BreakdownV: 9}
	for what, parts := range map[string][]Part{
		"photocurrent":                   sourceAt(with(panel, func(m *Panel) { m.PhotoA = -1 })),
		"saturation current":             sourceAt(with(panel, func(m *Panel) { m.SaturationA = 0 })),
		"modified thermal voltage":       sourceAt(with(panel, func(m *Panel) { m.ThermalV = 0 })),
		"series resistance -1":           sourceAt(with(panel, func(m *Panel) { m.SeriesOhm = -1 })),
		"shunt resistance":               sourceAt(with(panel, func(m *Panel) { m.ShuntOhm = -1 })),
		"open-circuit voltage -1":        sourceAt(Source{OpenV: -1, Curve: curve(func(float64) float64 { return 0 })}),
		"rated voltage":                  sourceAt(Adapter{}),
		"no-load voltage":                sourceAt(Adapter{RatedV: 1, NoLoadV: -1}),
		"rated current -1":               sourceAt(Adapter{RatedV: 1, RatedA: -1}),
		"current limit -3":               sourceAt(Adapter{RatedV: 1, LimitA: -3}),
		"series resistance -4":           sourceAt(Adapter{RatedV: 1, SeriesOhm: -4}),
		"resistance 0 ohm":               loadAt(Resistor{}),
		"current -2":                     loadAt(CurrentLoad{LoadA: -2}),
		"knee voltage":                   loadAt(CurrentLoad{KneeV: -1}),
		"power -1":                       loadAt(PowerLoad{LoadW: -1, BrownOutV: 1}),
		"brown-out voltage":              loadAt(PowerLoad{LoadW: 1}),
		"breakdown voltage":              loadAt(Clamp{}),
		"slope resistance":               loadAt(with(clamp, func(m *Clamp) { m.SlopeOhm = -1 })),
		"power -3":                       loadAt(with(clamp, func(m *Clamp) { m.MaxW = -3 })),
		"energy -1":                      loadAt(with(clamp, func(m *Clamp) { m.MaxJ = -1 })),
		"rated current 0":                seriesAt(Fuse{}),
		"cold resistance":                seriesAt(with(fuse, func(m *Fuse) { m.ColdOhm = -1 })),
		"melting integral":               seriesAt(with(fuse, func(m *Fuse) { m.MeltA2S = -1 })),
		"contact resistance":             seriesAt(Link{Ohm: -1}),
		"saturation current -1":          seriesAt(with(diode, func(m *Diode) { m.SaturationA = -1 })),
		"ideality":                       seriesAt(with(diode, func(m *Diode) { m.Ideality = 0 })),
		"junction temperature 298.15 °C": seriesAt(with(diode, func(m *Diode) { m.JunctionC = 298.15 })),
		"series resistance -5":           seriesAt(with(diode, func(m *Diode) { m.SeriesOhm = -5 })),
		"short resistance -5":            seriesAt(with(diode, func(m *Diode) { m.ShortOhm = -5 })),
		"on resistance":                  seriesAt(IdealDiode{OnOhm: -1}),
		"forward drop":                   seriesAt(IdealDiode{DropV: -1}),
		"short resistance -1":            seriesAt(IdealDiode{ShortOhm: -1}),
		"set voltage 0":                  seriesAt(with(linear, func(m *Linear) { m.SetV = 0 })),
		"dropout -1":                     seriesAt(with(linear, func(m *Linear) { m.DropoutV = -1 })),
		"dropout resistance":             seriesAt(with(linear, func(m *Linear) { m.DropoutOhm = -1 })),
		"idle current -1":                seriesAt(with(linear, func(m *Linear) { m.IdleA = -1 })),
		"current limit -1":               seriesAt(with(linear, func(m *Linear) { m.LimitA = -1 })),
		"output resistance":              seriesAt(with(linear, func(m *Linear) { m.OutputOhm = -1 })),
		"backfeed drop -1":               seriesAt(with(linear, func(m *Linear) { m.BackfeedV = -1 })),
		"short resistance -2":            seriesAt(with(linear, func(m *Linear) { m.ShortOhm = -2 })),
		"wiper-open voltage -1":          seriesAt(with(linear, func(m *Linear) { m.WiperOpenV = -1 })),
		"set voltage -1":                 seriesAt(with(down, func(m *StepDown) { m.SetV = -1 })),
		"efficiency 0":                   seriesAt(with(down, func(m *StepDown) { m.Efficiency = 0 })),
		"headroom -1":                    seriesAt(with(down, func(m *StepDown) { m.HeadroomV = -1 })),
		"pass resistance -1":             seriesAt(with(down, func(m *StepDown) { m.PassOhm = -1 })),
		"idle current -2":                seriesAt(with(down, func(m *StepDown) { m.IdleA = -2 })),
		"current limit -2":               seriesAt(with(down, func(m *StepDown) { m.LimitA = -2 })),
		"lockout voltage":                seriesAt(with(down, func(m *StepDown) { m.MinInputV = -1 })),
		"backfeed drop -2":               seriesAt(with(down, func(m *StepDown) { m.BackfeedV = -2 })),
		"short resistance -3":            seriesAt(with(down, func(m *StepDown) { m.ShortOhm = -3 })),
		"wiper-open voltage -2":          seriesAt(with(down, func(m *StepDown) { m.WiperOpenV = -2 })),
		"set voltage -2":                 seriesAt(with(up, func(m *StepUp) { m.SetV = -2 })),
		"efficiency 1.1":                 seriesAt(with(up, func(m *StepUp) { m.Efficiency = 1.1 })),
		"efficiency at 1e-06 A NaN":      seriesAt(with(up, func(m *StepUp) { m.EfficiencyAt = func(float64) float64 { return math.NaN() } })),
		"diode drop":                     seriesAt(with(up, func(m *StepUp) { m.DiodeV = -1 })),
		"pass resistance -3":             seriesAt(with(up, func(m *StepUp) { m.PassOhm = -3 })),
		"idle current -3":                seriesAt(with(up, func(m *StepUp) { m.IdleA = -3 })),
		"input current limit":            seriesAt(with(up, func(m *StepUp) { m.LimitInA = 0 })),
		"lowest input voltage":           seriesAt(with(up, func(m *StepUp) { m.MinInputV = 0 })),
		"short resistance -4":            seriesAt(with(up, func(m *StepUp) { m.ShortOhm = -4 })),
		"wiper-open voltage -3":          seriesAt(with(up, func(m *StepUp) { m.WiperOpenV = -3 })),
		"set voltage -3":                 seriesAt(with(charger, func(m *Charger) { m.SetV = -3 })),
		"charge current":                 seriesAt(with(charger, func(m *Charger) { m.LimitA = 0 })),
		"hold voltage":                   seriesAt(with(charger, func(m *Charger) { m.HoldV = -1 })),
		"efficiency 85 is outside":       seriesAt(with(charger, func(m *Charger) { m.Efficiency = 85 })),
		"headroom -2":                    seriesAt(with(charger, func(m *Charger) { m.HeadroomV = -2 })),
		"pass resistance -2":             seriesAt(with(charger, func(m *Charger) { m.PassOhm = -2 })),
		"idle current -4":                seriesAt(with(charger, func(m *Charger) { m.IdleA = -4 })),
		"backfeed drop -3":               seriesAt(with(charger, func(m *Charger) { m.BackfeedV = -3 })),
		"short resistance -6":            seriesAt(with(charger, func(m *Charger) { m.ShortOhm = -6 })),
		"wiper-open voltage -4":          seriesAt(with(charger, func(m *Charger) { m.WiperOpenV = -4 })),
		"voltage without a pack":         seriesAt(with(charger, func(m *Charger) { m.NoPackV = -1 })),
	} {
		t.Run(what, func(t *testing.T) {
			_, err := New(parts, nil)
			require.ErrorContains(t, err, `part "part": `+what)
			var re *stationphysics.RangeError
			require.True(t, errors.As(err, &re))
		})
	}
}

func with[M any](m M, change func(*M)) M {
	change(&m)
	return m
}

func TestACircuitTellsWhatItIs(t *testing.T) {
	parts, limits := []Part{pack("bus"), {"W", "bus", "far", Wire{Ohm: 1}}, load("far")}, []Limit{{Node: "far", MaxV: 9}}
	c, err := New(parts, limits)
	require.NoError(t, err)
	require.Equal(t, []string{"bus", "far"}, c.Nodes())
	require.Equal(t, parts, c.Parts())
	require.Equal(t, limits, c.Limits())
	// Copies: a caller cannot change the circuit through them.
	c.Nodes()[0], c.Parts()[0].Name, c.Limits()[0].MaxV = "x", "x", 1
	require.Equal(t, "bus", c.Nodes()[0])
	require.Equal(t, "pack", c.Parts()[0].Name)
	require.Equal(t, 9.0, c.Limits()[0].MaxV)

	p, err := c.Solve()
	require.NoError(t, err)
	require.Equal(t, 0.0, p.VoltageV(""))
	for _, v := range []float64{p.VoltageV("nowhere"), p.CurrentA("nothing"), p.InputA("nothing"), p.PowerW("nothing")} {
		require.True(t, math.IsNaN(v))
	}
	require.Equal(t, Passive, p.Regime("nothing"))
	require.Equal(t, "passive", Passive.String())
	require.Equal(t, "pass-through", PassThrough.String())
	require.Equal(t, "unknown regime", Regime(99).String())
	require.Equal(t, "unknown mode", Mode(99).String())
	require.Equal(t, "no fault", Fault{}.String())
	require.Equal(t, "D1: diode open", Fault{"D1", DiodeOpen}.String())
}
