package house

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/battery/sizing"
	"github.com/stationphysics/stationphysics/power/wiring"
	"github.com/stationphysics/stationphysics/solar/panel"
	"github.com/stationphysics/stationphysics/thermal"
)

// safety writes docs/safety.md from the numbers that the packages hold.
func safety(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	p("# Safety")
	p("")
	p("The usual cautions of the trade with their numbers, as the packages hold them. They")
	p("take the place of no sheet, no local rule and no licensed practice. Results of the")
	p("library are arithmetic on the numbers given, not an inspection. This page is")
	p("generated; `go test ./internal/house` fails if it is out of date.")
	p("")
	p("## Cells and packs")
	p("")
	p("For every chemistry (`battery.Chemistry.Cautions`):")
	p("")
	packs := []struct {
		c     battery.Chemistry
		cells int
	}{{battery.LiFePO4, 4}, {battery.LithiumIon, 3}, {battery.SealedLead, 6}, {battery.FloodedLead, 6}, {battery.NickelMetalHydride, 10}}
	common := packs[0].c.Cautions(packs[0].cells)
	require.NotEmpty(t, common)
	for _, x := range packs[1:] {
		own := x.c.Cautions(x.cells)
		common = slices.DeleteFunc(common, func(s string) bool { return !slices.Contains(own, s) })
	}
	require.Greater(t, len(common), 3)
	for _, s := range common {
		p("- %s", s)
	}
	for _, x := range packs {
		p("")
		p("%v, %d in series:", x.c, x.cells)
		p("")
		for _, s := range x.c.Cautions(x.cells) {
			if !slices.Contains(common, s) {
				p("- %s", s)
			}
		}
	}
	cell, err := battery.TypicalCell(battery.LiFePO4, 2.4)
	require.NoError(t, err)
	pack, err := battery.NewPack(cell, 4, 1)
	require.NoError(t, err)
	fuse, err := sizing.Fuse(sizing.FuseCase{Pack: pack, LoadA: 1.5, WireAmpsA: 5, WireOhm: 0.02, RatingsA: sizing.BladeRatingsA(), WarmestC: 45, DeratingFrac: 0.75})
	require.NoError(t, err)
	p("")
	p("Four typical LiFePO4 cells of 2.4 Ah drive %.0f A through a short of 0.02 ohm: the", fuse.ShortA)
	p("fuse must break that, and its voltage rating exceed the pack's (`battery/sizing`).")
	p("")
	p("## Hot surfaces")
	p("")
	p("From these temperatures on skin burns (`thermal.BurnThresholdC`, ISO 13732-1:2006, from")
	p("memory). A regulator at its permitted junction is far beyond them.")
	p("")
	p("| contact | bare metal | ceramic, glass, stone | plastic | wood |")
	p("|---|---|---|---|---|")
	for _, s := range []struct {
		name string
		s    float64
	}{{"1 s", 1}, {"1 min", 60}, {"10 min", 600}, {"8 h", 28800}} {
		at := func(m thermal.TouchMaterial) float64 { return thermal.BurnThresholdC(m, s.s) }
		p("| %s | %.0f °C | %.0f °C | %.0f °C | %.0f °C |", s.name, at(thermal.BareMetal), at(thermal.Ceramic), at(thermal.Plastic), at(thermal.Wood))
	}
	m, err := panel.Fit(panel.Label{Pmax: 10, Vmp: 17.5, Imp: 0.571, Voc: 21.6, Isc: 0.620, IscPctPerK: 0.05, VocPctPerK: -0.33, CellsInSeries: 36})
	require.NoError(t, err)
	w, err := m.Window(-25, 35, panel.OpenRack())
	require.NoError(t, err)
	plug := wiring.HotPlug{SourceV: 20, LoopOhm: 0.3, LoopHenry: 1e-6, CapacitorFarad: 2.2e-6}
	p("")
	p("## Panels")
	p("")
	p("- A panel is live whenever it is lit and cannot be switched off: cover it before")
	p("  wiring.")
	p("- What the input must stand is the open voltage of a frosty morning, not the label's: a")
	p("  panel of 21.6 V shows %.1f V at -25 °C when the sun breaks through.", w.ColdestV)
	p("- Several panels in series or in parallel reach voltages and currents at which local")
	p("  codes ask for fuses, disconnects and a licensed person.")
	p("")
	p("## On the bench")
	p("")
	p("- A current-limited and fused supply; a load resistor that bears what a shorted part")
	p("  would let through; no cells and no controller on the rail (`station/bench`).")
	p("- Set an output before anything is connected, and measure it: trimmers are shipped at")
	p("  any setting (`power/trim`).")
	p("- A cable plugged into a live supply rings: 20 V through 1.8 m into a ceramic capacitor")
	p("  of 2.2 uF peak at %.0f V by the formula and at 35 V as measured (`power/wiring`).", plug.PeakV())
	p("- A clamp without a fuse before it burns (`power/chain`).")
	p("")
	p("## Mains, roofs, lightning")
	p("")
	p("- Mains adapters: approved, indoors or in a rated enclosure, behind a residual-current")
	p("  device (30 mA, common practice); local code and a licensed electrician decide.")
	p("- An adapter that is not regulated stands well above its label without load: measure it")
	p("  before it is connected.")
	p("- Roofs, masts and ladders are for licensed practice, clear of overhead lines;")
	p("  lightning protection follows IEC 62305 and local practice.")
	return b.Bytes()
}

func TestSafetyIsCurrent(t *testing.T) {
	got := safety(t)
	const path = "../../docs/safety.md"
	if *update {
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), string(got), "run go test ./internal/house -run Safety -update")
}
