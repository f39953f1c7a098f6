package report

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/stationphysics/stationphysics/station"
)

// curvePicture shows the panel's power over its voltage, hot and cold, with
// the voltage that the charger makes it hold.
func curvePicture(m *station.Model) picture {
	pic := picture{Title: "The panel hot and cold, and the held voltage"}
	h, err := m.Held()
	if err != nil {
		return pic.absent(err)
	}
	hot, cold := h.Module.At(1000, h.Window.HotCellC), h.Module.At(1000, h.LowC)
	most := cold.MaxPower().Pmp
	right := math.Max(h.Window.ColdestV, h.PanelV)
	if !math.IsNaN(h.MostV) && h.MostV < 1.6*right {
		right = math.Max(right, h.MostV)
	}
	ch := newChart(260, 0, right*1.06, 0, most*1.22)
	ch.p.X.Label.Text = "volts at the panel"
	ch.p.Y.Label.Text = "watts in full sun"
	ch.grid(scale(&ch.p.X, 7), scale(&ch.p.Y, 6))
	ch.paint(func(c *canvas) {
		if !math.IsNaN(h.MostV) && h.MostV <= right {
			c.segment(stroke(inkBad, 2), h.MostV, 0, h.MostV, most*1.08)
			c.say(inkText, 10, above, h.MostV, most*1.08, -8, 3, fmt.Sprintf("charger ends at %.3g V", h.MostV))
		}
		for _, k := range []struct {
			curve interface {
				PowerW(float64) float64
				KeptBand(float64) (float64, float64)
				OpenCircuitV() float64
			}
			i      ink
			dashes []float64
		}{{hot, inkWarm, nil}, {cold, inkCold, []float64{6, 2}}} {
			var xs, ys, bx, by []float64
			open := k.curve.OpenCircuitV()
			for i := 0; i <= 160; i++ {
				v := open * float64(i) / 160
				xs, ys = append(xs, v), append(ys, math.Max(0, k.curve.PowerW(v)))
			}
			lo, hi := k.curve.KeptBand(0.9)
			for i := 0; i <= 40; i++ {
				v := lo + (hi-lo)*float64(i)/40
				bx, by = append(bx, v), append(by, k.curve.PowerW(v))
			}
			c.line(stroke(inkFill, 9), bx, by)
			c.line(stroke(k.i, 2, k.dashes...), xs, ys)
		}
		c.segment(stroke(inkText, 1.4, 1.5, 1.5), h.PanelV, 0, h.PanelV, most*1.08)
		c.say(inkText, 11, leftOf, h.PanelV, most*1.08, -5, -5, fmt.Sprintf("held %.1f V", h.PanelV))
		watts := []float64{math.Max(0, hot.PowerW(h.PanelV)), math.Max(0, cold.PowerW(h.PanelV))}
		words := []string{fmt.Sprintf("hot: %.0f %%", 100*hot.KeptFrac(h.PanelV)), fmt.Sprintf("cold: %.0f %%", 100*cold.KeptFrac(h.PanelV))}
		if !(watts[0] <= watts[1]) {
			watts, words = []float64{watts[1], watts[0]}, []string{words[1], words[0]}
		}
		// Above the open-circuit voltages at the foot, below the held one.
		at := spread([]float64{float64(c.ty(watts[0])), float64(c.ty(watts[1]))}, 15, float64(c.ty(0))+26, float64(c.ty(most*1.08))-20)
		for i := range watts {
			c.mark(inkText, draw.CircleGlyph{}, 3, h.PanelV, watts[i])
			c.write(inkText, 11, leftOf, vg.Point{X: c.tx(h.PanelV) - 10, Y: vg.Length(at[i])}, words[i])
		}
		c.say(inkText, 10, align{0, 0}, h.Window.HottestV, 0, 4, 5, fmt.Sprintf("%.1f V", h.Window.HottestV))
		c.say(inkText, 10, align{-1, 0}, h.Window.ColdestV, 0, -4, 5, fmt.Sprintf("%.1f V", h.Window.ColdestV))
	})
	pic.Caption = fmt.Sprintf("Full sun, 1000 W/m2. Solid: cells at %.0f °C, the hottest. Dashed: cells at %.0f °C, the record low. Broad: at least 90 %% of the curve's most. Dots: what is left of each at the held voltage.", h.Window.HotCellC, h.LowC)
	limit := "The charger's largest input is not stated."
	if !math.IsNaN(h.MostV) {
		limit = fmt.Sprintf("The charger stands %.1f V; the coldest open panel reaches %.1f V.", h.MostV, h.Window.ColdestV)
	}
	if h.PanelV > h.ChargerV {
		pic.Caption += fmt.Sprintf(" The diode adds %.2f V to the %.2f V at the charger.", h.PanelV-h.ChargerV, h.ChargerV)
	}
	return pic.drawn(fmt.Sprintf("Power of the panel over its voltage. Held at %.2f V it keeps %.0f %% of %.1f W with hot cells, whose most lies at %.1f V, and %.0f %% of %.1f W with cold ones, whose most lies at %.1f V. %s",
		h.PanelV, 100*hot.KeptFrac(h.PanelV), hot.MaxPower().Pmp, hot.MaxPower().Vmp, 100*cold.KeptFrac(h.PanelV), cold.MaxPower().Pmp, cold.MaxPower().Vmp, limit), ch)
}

// cellPicture sets the cells' voltage at the end of charge against its limits.
func cellPicture(m *station.Model) picture {
	pic := picture{Title: "The cells at the charger's setting"}
	b, err := m.Cells()
	if err != nil {
		return pic.absent(err)
	}
	n := float64(b.Trim.Spec.Cells)
	type limit struct {
		word string
		v    float64
	}
	limits := []limit{{"charge", b.Trim.LimitCellV}}
	if b.Trim.LowestV > 0 {
		limits = append(limits, limit{"fills", b.Trim.LowestV / n})
	}
	if b.Limits.Overcharge.Exists() {
		limits = append(limits, limit{"too high", b.Limits.Overcharge.V})
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range []float64{b.MeanV, b.WorstV, b.TripV, b.ReleaseV, b.Trim.SetV / n, b.Trim.HighestV / n} {
		if !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	for _, l := range limits {
		lo, hi = math.Min(lo, l.v), math.Max(hi, l.v)
	}
	pad := math.Max(0.03, 0.09*(hi-lo))
	ch := newChart(210, lo-pad, hi+pad, 0, 1)
	ch.rows([]string{"now", "set it to", "board"})
	ch.p.Y.Max = 1.5
	ch.p.X.Label.Text = "volts a cell"
	scale(&ch.p.X, 6)
	ch.paint(func(c *canvas) {
		if s := b.Limits.Charge.SpreadV; s > 0 {
			c.box(inkFill, b.Trim.LimitCellV-s, ch.p.Y.Min, b.Trim.LimitCellV+s, 0.62)
		}
		want := make([]float64, len(limits))
		for i, l := range limits {
			want[i] = float64(c.tx(l.v))
		}
		at := spread(want, 76, float64(c.Min.X)+30, float64(c.Max.X)-36)
		for i, l := range limits {
			style := stroke(inkText, 1.2)
			switch l.word {
			case "fills":
				style = stroke(inkGood, 1.4, 4, 2)
			case "too high":
				style = stroke(inkBad, 2)
			}
			c.segment(style, l.v, ch.p.Y.Min, l.v, 0.62)
			c.StrokeLines(style, []vg.Point{c.at(l.v, 0.62), {X: vg.Length(at[i]), Y: c.ty(1.05)}})
			c.write(inkText, 11, above, vg.Point{X: vg.Length(at[i]), Y: c.ty(1.05) + 3}, fmt.Sprintf("%s %.2f V", l.word, l.v))
		}
		over := inkGood
		if b.WorstV > b.Trim.LimitCellV {
			over = inkBad
		}
		c.box(over, b.MeanV, -0.16, b.WorstV, 0.16)
		c.tag(b.MeanV, 0, fmt.Sprintf("%.3f", b.MeanV), b.WorstV, fmt.Sprintf("%.3f", b.WorstV))
		if b.Trim.Window {
			c.box(inkGood, b.Trim.LowestV/n, -1.16, b.Trim.HighestV/n, -0.84)
			c.mark(inkText, draw.PyramidGlyph{}, 4, b.Trim.SetV/n, -1)
			c.say(inkText, 10, align{0, -1}, b.Trim.LowestV/n, -1.16, 4, -3, fmt.Sprintf("pack %.2f V", b.Trim.SetV))
		} else {
			c.say(inkText, 10, rightOf, lo, -1, 0, 0, "no setting is both safe and full")
		}
		switch {
		case math.IsNaN(b.TripV):
			c.say(inkText, 10, rightOf, lo, -2, 0, 0, "pack.trip_over_v is not stated")
		case math.IsNaN(b.ReleaseV):
			c.tag(b.TripV, -2, fmt.Sprintf("opens %.2f", b.TripV), math.NaN(), "")
		default:
			c.segment(stroke(inkText, 1.4, 2, 2), b.ReleaseV, -2, b.TripV, -2)
			c.tag(b.ReleaseV, -2, fmt.Sprintf("closes %.2f", b.ReleaseV), b.TripV, fmt.Sprintf("opens %.2f", b.TripV))
		}
	})
	pic.Caption = fmt.Sprintf("Now: the mean cell, and the highest with meter, drift and unequal cells at their worst. Set it to: from where the pack still fills to where the highest cell is still at the limit. Board: where its protection stops charging and allows it again. Shaded: the spread of the charge voltage of %s between sheets.", b.Chemistry)
	alt := fmt.Sprintf("Cell voltage at the charger's setting: mean %.3f V, highest cell at worst %.3f V; charge limit %.2f V a cell", b.MeanV, b.WorstV, b.Trim.LimitCellV)
	if b.Limits.Overcharge.Exists() {
		alt += fmt.Sprintf(", too high above %.2f V", b.Limits.Overcharge.V)
	}
	if b.Trim.Window {
		alt += fmt.Sprintf(". To set: %.2f V for the pack, %.3f V a cell", b.Trim.SetV, b.Trim.SetV/n)
	}
	if !math.IsNaN(b.TripV) {
		alt += fmt.Sprintf(". The board opens at %.2f V", b.TripV)
	}
	return pic.drawn(alt+".", ch)
}

// tag marks one or two points of a row with their words below.
func (c *canvas) tag(v, y float64, word string, v2 float64, word2 string) {
	c.mark(inkText, draw.PyramidGlyph{}, 3.5, v, y)
	if math.IsNaN(v2) {
		c.say(inkText, 10, below, v, y-0.16, 0, -3, word)
		return
	}
	c.mark(inkText, draw.PyramidGlyph{}, 3.5, v2, y)
	at := spread([]float64{float64(c.tx(v)), float64(c.tx(v2))}, 64, float64(c.Min.X)+20, float64(c.Max.X)-20)
	for i, w := range []string{word, word2} {
		c.write(inkText, 10, below, vg.Point{X: vg.Length(at[i]), Y: c.ty(y-0.16) - 3}, w)
	}
}
