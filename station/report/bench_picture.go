package report

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"

	"github.com/stationphysics/stationphysics/station/bench"
	"github.com/stationphysics/stationphysics/thermal"
)

// ErrNothingToDraw reports a bench table of which no row has an output and the
// quantity it would stand over.
var ErrNothingToDraw = errors.New("nothing to draw: no row has an output together with an input or a load")

// BenchSVG writes a picture of a bench table as an SVG file that stands for
// itself: output voltage, power lost, and tab and junction temperature over the
// input voltage, or over the load current where that was varied more. What the
// sheet allows at each row is drawn as a broad bar, what was read as a dot with
// its expanded uncertainty, limits as lines. A cross marks a row that does not
// keep its sheet or contradicts itself, a ring one that decides nothing, a square
// the power that the user noted. What a table does not hold is left out, and the
// description says so.
//
// The file loads nothing and runs nothing, follows the reader's choice of light
// or dark, and gives title and numbers to a screen reader. The error is
// ErrNothingToDraw or one of w; on ErrNothingToDraw nothing is written.
func BenchSVG(w io.Writer, r bench.Report) error {
	x := acrossOf(&r)
	charts := []*chart{outputChart(&r, x)}
	if charts[0] == nil {
		return ErrNothingToDraw
	}
	lost, heat := lostChart(&r, x), heatChart(&r, x)
	for _, more := range []*chart{lost, heat} {
		if more != nil {
			charts = append(charts, more)
		}
	}
	last := charts[len(charts)-1]
	last.p.X.Label.Text = x.words
	last.high += 16
	lineUp(charts...)
	title := "Bench test of " + partName(&r) + ": " + r.Outcome.String() + " (" + r.Strength.String() + ")"
	_, err := io.WriteString(w, standing(title, benchWords(&r, x, heat != nil), append([]*chart{headChart(&r)}, charts...)...))
	return err
}

// headChart names the part, the verdict and the signs.
func headChart(r *bench.Report) *chart {
	ch := newChart(70, 0, 1, 0, 1)
	ch.p.HideAxes()
	ch.p.X.Label.Text, ch.p.Y.Label.Text = "", ""
	ch.top = 0
	ch.paint(func(c *canvas) {
		left, top := vg.Length(4), c.Max.Y
		c.write(inkText, 13, align{0, -1}, vg.Point{X: left, Y: top - 5}, fit(partName(r), 13, pictureWide-8))
		for k, words := range []string{sentence(r.Outcome.String()) + " (" + r.Strength.String() + ")", numbersOf(r)} {
			c.write(inkText, 10, align{0, -1}, vg.Point{X: left, Y: top - 23 - vg.Length(13*k)}, fit(words, 10, pictureWide-8))
		}
		at := vg.Point{X: left + 8, Y: top - 60}
		for _, k := range []struct {
			words string
			draw  func()
		}{
			{"sheet allows", func() { c.allowed(1, vg.Point{X: at.X, Y: at.Y - 5}, vg.Point{X: at.X, Y: at.Y + 5}) }},
			{"keeps it", func() { c.put(dotSign, 1, at) }},
			{"does not", func() { c.put(crossSign, 1, at) }},
			{"no evidence", func() { c.put(ringSign, 1, at) }},
			{"noted", func() { c.noted(inkText, at) }},
		} {
			k.draw()
			c.write(inkText, 10, rightOf, vg.Point{X: at.X + 10, Y: at.Y}, k.words)
			at.X += 10 + letters(inkText, 10).Width(k.words)*1.04 + 14
		}
	})
	return ch
}

// outputChart sets the output that was read against what the sheet allows; nil
// if there is none.
func outputChart(r *bench.Report, x across) *chart {
	band, top := r.Part.Linear.BandV()
	lo, hi := band, top
	any := false
	each(r, x, func(v *bench.RowVerdict, _ float64) {
		any = true
		err := known(v.OutputErrV)
		lo, hi = math.Min(lo, v.Row.OutputV-err), math.Max(hi, v.Row.OutputV+err)
		if e := v.Expected.OutputLowV; !math.IsNaN(e) {
			lo, hi = math.Min(lo, e), math.Max(hi, v.Expected.OutputHighV)
		}
	})
	if !any {
		return nil
	}
	pad := math.Max(0.1*(hi-lo), 0.01)
	ch := panel(190, x, lo-pad, hi+1.4*pad)
	s := r.Part.Linear.Spec()
	ch.paint(func(c *canvas) {
		c.heading("Output, V")
		each(r, x, func(v *bench.RowVerdict, at float64) {
			if e := v.Expected; !math.IsNaN(e.OutputLowV) {
				c.allowed(x.grain, c.at(at, e.OutputLowV), c.at(at, e.OutputHighV))
			}
		})
		for _, y := range []float64{band, top} {
			c.segment(stroke(inkText, 1, 4, 3), x.lo, y, x.hi, y)
		}
		if x.input && s.MaxInputV >= x.lo && s.MaxInputV <= x.hi {
			c.segment(stroke(inkBad, 1.8), s.MaxInputV, ch.p.Y.Min, s.MaxInputV, ch.p.Y.Max)
		}
		each(r, x, func(v *bench.RowVerdict, at float64) {
			if known(v.OutputErrV) > 0 {
				c.reach(inkText, 1.2, x.grain, at, v.Row.OutputV-v.OutputErrV, v.Row.OutputV+v.OutputErrV)
			}
			c.put(signOf(v.State), x.grain, c.at(at, v.Row.OutputV))
		})
		c.rowLabels(r, x)
		// Words last: their rim keeps them clear of what lies below.
		if c.ty(top)-c.ty(band) < 15 {
			c.say(inkText, 10, align{-1, 0}, x.hi, top, -2, 2, fmt.Sprintf("band %.4g to %.4g V", band, top))
		} else {
			c.say(inkText, 10, align{-1, 0}, x.hi, top, -2, 2, fmt.Sprintf("band up to %.4g V", top))
			c.say(inkText, 10, align{-1, 0}, x.hi, band, -2, 2, fmt.Sprintf("band from %.4g V", band))
		}
		if x.input && s.MaxInputV >= x.lo && s.MaxInputV <= x.hi {
			words, a, dx := fmt.Sprintf("input at most %.4g V", s.MaxInputV), align{-1, -1}, -4.0
			if c.tx(s.MaxInputV)-c.Min.X < letters(inkText, 10).Width(words)*1.1 {
				a, dx = align{0, -1}, 4
			}
			c.say(inkText, 10, a, s.MaxInputV, ch.p.Y.Max, dx, -4, words)
		}
	})
	return ch
}

// rowLabels names the rows that want a second look, those at fault before
// those that decide nothing, as far as there is room.
func (c *canvas) rowLabels(r *bench.Report, x across) {
	var taken []vg.Point
	want := []sign{crossSign, ringSign}
	if _, _, n := reachOf(r, x.of, func(v *bench.RowVerdict) bool { return signOf(v.State) == ringSign }); n > 4 {
		want = want[:1] // rings are many where the input starts low, and no riddle
	}
	for _, s := range want {
		for i := range r.Rows {
			v := &r.Rows[i]
			at := x.of(v)
			if signOf(v.State) != s || math.IsNaN(at) || math.IsNaN(v.Row.OutputV) {
				continue
			}
			y, a, dy := v.Row.OutputV-known(v.OutputErrV), below, -4.0
			if c.at(at, y).Y-16 < c.Min.Y {
				y, a, dy = v.Row.OutputV+known(v.OutputErrV), above, 4
			}
			p := c.at(at, y)
			p.Y += vg.Length(2 * dy) // the middle of the words
			if slices.ContainsFunc(taken, func(q vg.Point) bool { return math.Abs(float64(p.X-q.X)) < 38 && math.Abs(float64(p.Y-q.Y)) < 14 }) {
				continue
			}
			taken = append(taken, p)
			c.say(inkText, 10, a, at, y, 0, dy, rowName(v, i))
		}
	}
}

// lostChart sets the power lost in the part against what the sheet allows and
// what the user noted.
func lostChart(r *bench.Report, x across) *chart {
	lo, hi := 0.0, 0.0
	each(r, x, func(v *bench.RowVerdict, _ float64) {
		if math.IsNaN(v.DissipationW) {
			return
		}
		hi = math.Max(hi, math.Max(v.DissipationW+v.DissipationErrW, known(v.Expected.DissipationHighW)))
		if v.DissipationW < 0 { // readings that contradict each other
			lo = math.Min(lo, v.DissipationW-v.DissipationErrW)
		}
	})
	if hi == 0 {
		return nil
	}
	// A figure that is wrong by a factor of a thousand would flatten the rest.
	end, off := hi, 2.2*hi
	each(r, x, func(v *bench.RowVerdict, _ float64) {
		if own := known(v.Row.OwnW); own <= off {
			end = math.Max(end, own)
		}
	})
	ch := panel(150, x, 1.12*lo, 1.12*end)
	ch.paint(func(c *canvas) {
		c.heading("Lost in the part, W")
		each(r, x, func(v *bench.RowVerdict, at float64) {
			if e := v.Expected; !math.IsNaN(e.DissipationLowW) {
				c.allowed(x.grain, c.at(at, e.DissipationLowW), c.at(at, e.DissipationHighW))
			}
		})
		each(r, x, func(v *bench.RowVerdict, at float64) {
			if own := v.Row.OwnW; !math.IsNaN(own) {
				i := inkText
				if v.Watts != bench.WattsRight && v.Watts != bench.WattsNotGiven {
					i = inkBad
				}
				p := c.at(at, own)
				if own > off {
					p.Y = c.Max.Y - 9 // at the edge, off the heading
				}
				c.noted(i, p)
				if own > off || i == inkBad {
					c.beside(p, fmt.Sprintf("noted %.3g W", own))
				}
			}
			if math.IsNaN(v.DissipationW) {
				return
			}
			c.reach(inkText, 1.2, x.grain, at, math.Max(ch.p.Y.Min, v.DissipationW-v.DissipationErrW), v.DissipationW+v.DissipationErrW)
			c.put(lostSign(v), x.grain, c.at(at, v.DissipationW))
		})
	})
	return ch
}

// beside writes the words of a square to its left if there is room, within the
// axes.
func (c *canvas) beside(p vg.Point, words string) {
	a, dx := leftOf, vg.Length(-9)
	if p.X-c.Min.X < letters(inkText, 10).Width(words)*1.04+12 {
		a, dx = rightOf, 9
	}
	if p.Y-c.Min.Y < 8 {
		a.y, p.Y = 0, p.Y+2 // off the words of the axis
	}
	c.write(inkText, 10, a, vg.Point{X: p.X + dx, Y: p.Y}, words)
}

// lostSign marks the power lost for itself: a bad output may well lose what it
// should.
func lostSign(v *bench.RowVerdict) sign {
	e := v.Expected
	off := v.DissipationW+v.DissipationErrW < e.DissipationLowW || v.DissipationW-v.DissipationErrW > e.DissipationHighW
	switch s := signOf(v.State); {
	case off || v.State == bench.Impossible:
		return crossSign
	case s == ringSign:
		return ringSign
	}
	return dotSign
}

// heatChart shows the tab and the bounds of the junction against its rating.
func heatChart(r *bench.Report, x across) *chart {
	rated := r.Part.Linear.Spec().MaxJunctionC
	touch := thermal.BurnThresholdC(thermal.BareMetal, 1)
	lo, hi := math.Inf(1), math.Inf(-1)
	junctions := false
	each(r, x, func(v *bench.RowVerdict, _ float64) {
		if math.IsNaN(v.Row.TabC) {
			return
		}
		junctions = junctions || !math.IsNaN(v.JunctionHighC)
		for _, t := range []float64{v.Row.TabC, v.Row.RoomC, v.JunctionLowC, v.JunctionHighC} {
			if !math.IsNaN(t) {
				lo, hi = math.Min(lo, t), math.Max(hi, t)
			}
		}
	})
	if math.IsInf(lo, 1) {
		return nil
	}
	hi = math.Max(hi, math.Max(rated, touch))
	ch := panel(170, x, lo-0.05*(hi-lo), hi+0.12*(hi-lo))
	ch.paint(func(c *canvas) {
		if junctions {
			c.heading("Tab (dot) and junction (bar), °C")
		} else {
			c.heading("Tab (dot), °C")
		}
		if rated > 0 {
			c.segment(stroke(inkBad, 1.8), x.lo, rated, x.hi, rated)
		}
		c.segment(stroke(inkText, 1, 1.5, 2.5), x.lo, touch, x.hi, touch)
		each(r, x, func(v *bench.RowVerdict, at float64) {
			if !math.IsNaN(v.JunctionHighC) {
				i := inkWarm
				if rated > 0 && v.JunctionHighC > rated {
					i = inkBad
				}
				c.reach(i, 2.6, x.grain, at, v.JunctionLowC, v.JunctionHighC)
			}
			if !math.IsNaN(v.Row.TabC) {
				c.put(dotSign, x.grain, c.at(at, v.Row.TabC))
			}
		})
		if rated > 0 {
			c.say(inkText, 10, align{0, 0}, x.lo, rated, 3, 2, fmt.Sprintf("junction rated %.0f °C", rated))
		}
		a, from, dx := align{0, 0}, x.lo, 3.0
		if rated > 0 && math.Abs(float64(c.ty(rated)-c.ty(touch))) < 14 {
			a, from, dx = align{-1, 0}, x.hi, -3 // the other line has its words here
		}
		c.say(inkText, 10, a, from, touch, dx, 2, fmt.Sprintf("bare metal burns at a touch, %.0f °C", touch))
	})
	return ch
}
