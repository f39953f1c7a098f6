package report

import (
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/stationphysics/stationphysics/station/bench"
)

// A sign is how a row is marked.
type sign uint8

const (
	dotSign   sign = iota // keeps its sheet
	ringSign              // decides nothing
	crossSign             // does not keep it, or contradicts itself
)

func signOf(s bench.State) sign {
	switch s {
	case bench.Regulating:
		return dotSign
	case bench.OutOfSpec, bench.DropoutTooLarge, bench.PassElementShorted, bench.ThermallyLimiting, bench.Impossible:
		return crossSign
	}
	return ringSign
}

// put draws a sign at a place of the picture.
func (c *canvas) put(s sign, grain float64, p vg.Point) {
	size := vg.Length(0.4 + 0.6*grain) // a speck would not be seen
	switch s {
	case dotSign:
		c.DrawGlyphNoClip(draw.GlyphStyle{Color: inkText.color(), Shape: draw.CircleGlyph{}, Radius: 3 * size}, p)
	case ringSign:
		// The ground within keeps the error bar out of the ring.
		c.DrawGlyphNoClip(draw.GlyphStyle{Color: inkPaper.color(), Shape: draw.CircleGlyph{}, Radius: 3.4 * size}, p)
		var ring vg.Path
		ring.Move(vg.Point{X: p.X + 3.2*size, Y: p.Y})
		ring.Arc(p, 3.2*size, 0, 2*math.Pi)
		ring.Close()
		c.SetLineStyle(stroke(inkText, 1.4*float64(size)))
		c.Stroke(ring)
	case crossSign:
		for _, d := range []vg.Length{4 * size, -4 * size} {
			c.StrokeLines(stroke(inkBad, 2.2*float64(size)), []vg.Point{{X: p.X - 4*size, Y: p.Y - d}, {X: p.X + 4*size, Y: p.Y + d}})
		}
	}
}

// noted draws the square of a figure that the user noted.
func (c *canvas) noted(i ink, p vg.Point) {
	const h = 5.5 // a dot within it, and its error bar, stay visible
	c.StrokeLines(stroke(i, 1.4), []vg.Point{{X: p.X - h, Y: p.Y - h}, {X: p.X + h, Y: p.Y - h}, {X: p.X + h, Y: p.Y + h}, {X: p.X - h, Y: p.Y + h}, {X: p.X - h, Y: p.Y - h}})
}

// allowed draws the bar of what the sheet allows, its ends marked.
func (c *canvas) allowed(grain float64, a, b vg.Point) {
	h := vg.Length(7 * grain)
	corners := []vg.Point{{X: a.X - h, Y: a.Y}, {X: a.X + h, Y: a.Y}, {X: b.X + h, Y: b.Y}, {X: b.X - h, Y: b.Y}}
	c.FillPolygon(inkFill.color(), corners)
	c.StrokeLines(stroke(inkCold, 1.6), corners[:2])
	c.StrokeLines(stroke(inkCold, 1.6), corners[2:])
}

// reach draws an error bar with its ends.
func (c *canvas) reach(i ink, width, grain, x, lo, hi float64) {
	a, b := c.at(x, lo), c.at(x, hi)
	s, h := stroke(i, width*(0.4+0.6*grain)), vg.Length(3*grain)
	c.StrokeLines(s, []vg.Point{a, b})
	for _, e := range []vg.Point{a, b} {
		c.StrokeLines(s, []vg.Point{{X: e.X - h, Y: e.Y}, {X: e.X + h, Y: e.Y}})
	}
}

// heading writes over the panel what it shows.
func (c *canvas) heading(words string) {
	c.write(inkText, 11, align{0, 0}, vg.Point{X: c.Min.X, Y: c.Max.Y + 6}, fit(words, 11, pictureWide-2-float64(c.Min.X)))
}

// fit shortens words to a width.
func fit(words string, size, wide float64) string {
	s := letters(inkText, size)
	if float64(s.Width(words))*1.04 <= wide {
		return words
	}
	letters := []rune(words)
	for len(letters) > 0 && float64(s.Width(string(letters)+"…"))*1.04 > wide {
		letters = letters[:len(letters)-1]
	}
	return strings.TrimRight(string(letters), " ") + "…"
}
