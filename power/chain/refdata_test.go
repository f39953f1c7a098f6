package chain

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// solved builds and solves a circuit that must be sound.
func solved(t testing.TB, parts []Part, f Fault) *Point {
	t.Helper()
	c, err := New(parts, nil)
	require.NoError(t, err)
	p, err := c.NewWorkspace().SolveFault(f)
	require.NoError(t, err)
	return p
}

func TestPanelDiodeRegulatorLoad(t *testing.T) {
	n := 0
	refdata.Each(t, "power/chain/panel_regulator", func(r *refdata.Row) {
		n++
		p := solved(t, []Part{
			{"panel", "", "panel", Panel{PhotoA: r.F("photo1000A") * r.F("irradianceWPerM2") / 1000, SaturationA: r.F("saturationA"),
				ThermalV: r.F("thermalV"), SeriesOhm: r.F("seriesOhm"), ShuntOhm: r.F("shuntOhm")}},
			{"lead", "panel", "anode", Wire{Ohm: r.F("wire1Ohm")}},
			{"diode", "anode", "cathode", Diode{SaturationA: r.F("diodeSaturationA"), Ideality: r.F("diodeIdeality"), SeriesOhm: r.F("diodeSeriesOhm"), JunctionC: 25}},
			{"wire", "cathode", "in", Wire{Ohm: r.F("wire2Ohm")}},
			{"regulator", "in", "out", Linear{SetV: r.F("setV"), DropoutV: r.F("dropoutV"), DropoutOhm: r.F("dropoutOhm"), IdleA: r.F("idleA"), ShortOhm: r.F("shortOhm")}},
			{"load", "out", "", Resistor{Ohm: r.F("loadOhm")}},
			{"upper", "out", "divider", Wire{Ohm: 100e3}},
			{"lower", "divider", "", Resistor{Ohm: 150e3}},
		}, map[bool]Fault{true: {Part: "regulator", Mode: PassShort}}[r.F("passShorted") == 1])
		for col, node := range map[string]string{"panelV": "panel", "anodeV": "anode", "cathodeV": "cathode", "regInV": "in", "regOutV": "out", "dividerV": "divider"} {
			r.Check(col, p.VoltageV(node), r.S("case")+": VoltageV("+node+")")
		}
		r.Check("panelA", p.CurrentA("panel"), r.S("case")+": CurrentA(panel)")
		r.Check("outA", p.CurrentA("regulator"), r.S("case")+": CurrentA(regulator)")
	})
	require.Equal(t, 24, n)
}

func TestTwoSourcesThroughDiodes(t *testing.T) {
	refdata.Each(t, "power/chain/two_sources", func(r *refdata.Row) {
		p := solved(t, []Part{
			{"first", "", "anode 1", Battery{OpenV: r.F("e1V"), SeriesOhm: r.F("r1Ohm")}},
			{"second", "", "anode 2", Battery{OpenV: r.F("e2V"), SeriesOhm: r.F("r2Ohm")}},
			{"D1", "anode 1", "out", Diode{SaturationA: r.F("is1A"), Ideality: r.F("n1"), SeriesOhm: 0.05, JunctionC: 25}},
			{"D2", "anode 2", "out", Diode{SaturationA: r.F("is2A"), Ideality: r.F("n2"), SeriesOhm: 0.02, JunctionC: 25}},
			{"load", "out", "", Resistor{Ohm: r.F("loadOhm")}},
		}, Fault{})
		r.Check("anode1V", p.VoltageV("anode 1"), "VoltageV(anode 1)")
		r.Check("anode2V", p.VoltageV("anode 2"), "VoltageV(anode 2)")
		r.Check("outV", p.VoltageV("out"), "VoltageV(out)")
	})
}

func TestPanelStepDown(t *testing.T) {
	refdata.Each(t, "power/chain/panel_step_down", func(r *refdata.Row) {
		// The simulator's own thermal voltage: CODATA 2014 at 298.15 K.
		const vt = 1.38064852e-23 / 1.6021766208e-19 * 298.15
		p := solved(t, []Part{
			{"panel", "", "panel", Panel{PhotoA: r.F("photoA"), SaturationA: 1e-9, ThermalV: 42.8 * vt, SeriesOhm: 0.8, ShuntOhm: 900}},
			{"lead", "panel", "in", Wire{Ohm: r.F("wireOhm")}},
			{"clamp", "in", "", Clamp{BreakdownV: r.F("breakdownV"), SlopeOhm: 0.5}},
			{"buck", "in", "out", StepDown{SetV: r.F("setV"), Efficiency: r.F("efficiency"), IdleA: r.F("idleA"), HeadroomV: 0.5}},
			{"load", "out", "", Resistor{Ohm: r.F("loadOhm")}},
		}, Fault{})
		r.Check("panelV", p.VoltageV("panel"), fmt.Sprintf("VoltageV(panel) at %g A of light", r.F("photoA")))
		r.Check("inV", p.VoltageV("in"), fmt.Sprintf("VoltageV(in) at %g A of light", r.F("photoA")))
		require.Equal(t, Regulating, p.Regime("buck"))
	})
}

func TestPowerAndCurrentLoad(t *testing.T) {
	refdata.Each(t, "power/chain/power_load", func(r *refdata.Row) {
		p := solved(t, []Part{
			{"pack", "", "pack", Battery{OpenV: r.F("openV"), SeriesOhm: r.F("sourceOhm")}},
			{"lead", "pack", "node", Wire{Ohm: r.F("wireOhm")}},
			{"radio", "node", "", PowerLoad{LoadW: r.F("loadW"), BrownOutV: 1}},
			{"lamp", "node", "", CurrentLoad{LoadA: r.F("loadA")}},
		}, Fault{})
		r.Check("batteryV", p.VoltageV("pack"), "VoltageV(pack)")
		r.Check("nodeV", p.VoltageV("node"), "VoltageV(node)")
	})
}
