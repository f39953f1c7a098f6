package report

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"regexp"
	"sort"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Pictures are drawn 360 units wide, the width of a phone: there they appear
// nearly as large as drawn, on a wide screen a little larger.
const pictureWide = 360

// An ink is a colour by its part in the picture. It is drawn as a colour that
// occurs nowhere else and replaced by a variable of the page's style sheet, so
// that one picture serves on light ground, on dark ground and on paper.
type ink uint8

const (
	inkText  ink = iota + 1 // lines and letters
	inkFaint                // grid and frame
	inkGood                 // what is there: sun seen, charge, served
	inkBad                  // what is lost or over a limit
	inkWarm                 // the hot case, the sun
	inkCold                 // the cold case, the pack
	inkFill                 // areas behind everything
	inkPaper                // ground
)

var inkNames = map[ink]string{
	inkText: "--ink", inkFaint: "--faint", inkGood: "--good", inkBad: "--bad", inkWarm: "--warm", inkCold: "--cold", inkFill: "--fill", inkPaper: "--paper",
}

func (i ink) color() color.Color { return color.RGBA{R: uint8(i), G: 0xfe, B: 0x01, A: 0xff} }

// A canvas is the data area of a picture, in the data's coordinates.
type canvas struct {
	draw.Canvas
	tx, ty func(float64) vg.Length
}

func (c *canvas) at(x, y float64) vg.Point { return vg.Point{X: c.tx(x), Y: c.ty(y)} }

func stroke(i ink, width float64, dashes ...float64) draw.LineStyle {
	s := draw.LineStyle{Color: i.color(), Width: vg.Length(width)}
	for _, d := range dashes {
		s.Dashes = append(s.Dashes, vg.Length(d))
	}
	return s
}

// line draws a line through points; a NaN breaks it.
func (c *canvas) line(s draw.LineStyle, xs, ys []float64) {
	var run []vg.Point
	flush := func() {
		if len(run) > 1 {
			c.StrokeLines(s, run)
		}
		run = nil
	}
	for i := range xs {
		if math.IsNaN(xs[i]) || math.IsNaN(ys[i]) {
			flush()
			continue
		}
		run = append(run, c.at(xs[i], ys[i]))
	}
	flush()
}

func (c *canvas) segment(s draw.LineStyle, x0, y0, x1, y1 float64) {
	c.line(s, []float64{x0, x1}, []float64{y0, y1})
}

func (c *canvas) area(i ink, xs, ys []float64) {
	pts := make([]vg.Point, len(xs))
	for k := range xs {
		pts[k] = c.at(xs[k], ys[k])
	}
	c.FillPolygon(i.color(), pts)
}

func (c *canvas) box(i ink, x0, y0, x1, y1 float64) {
	c.area(i, []float64{x0, x1, x1, x0}, []float64{y0, y0, y1, y1})
}

// hatched draws an outlined box with slanted lines: what is lost is told from
// what is there without colour.
func (c *canvas) hatched(i ink, x0, y0, x1, y1 float64) {
	lo, hi := c.at(x0, y0), c.at(x1, y1)
	w, h := hi.X-lo.X, hi.Y-lo.Y
	if w < 0.3 {
		return
	}
	s := stroke(i, 0.8)
	c.StrokeLines(s, []vg.Point{lo, {X: hi.X, Y: lo.Y}, hi, {X: lo.X, Y: hi.Y}, lo})
	for d := vg.Length(4); d < w+h; d += 4 {
		a := vg.Point{X: lo.X + min(d, w), Y: lo.Y + max(0, d-w)}
		b := vg.Point{X: lo.X + max(0, d-h), Y: lo.Y + min(d, h)}
		c.StrokeLines(s, []vg.Point{a, b})
	}
}

type align struct{ x, y float64 }

var (
	rightOf = align{0, -0.5}
	leftOf  = align{-1, -0.5}
	above   = align{-0.5, 0}
	below   = align{-0.5, -1}
)

func letters(i ink, size float64) draw.TextStyle {
	return draw.TextStyle{Color: i.color(), Font: font.From(font.Font{Typeface: "Liberation", Variant: "Sans"}, vg.Length(size)), Handler: plot.DefaultTextHandler}
}

// say writes words beside a point, moved by some units.
func (c *canvas) say(i ink, size float64, a align, x, y, dx, dy float64, words string) {
	p := c.at(x, y)
	p.X += vg.Length(dx)
	p.Y += vg.Length(dy)
	c.write(i, size, a, p, words)
}

// write is say at a place of the picture itself.
func (c *canvas) write(i ink, size float64, a align, p vg.Point, words string) {
	s := letters(i, size)
	s.XAlign, s.YAlign = draw.XAlignment(a.x), draw.YAlignment(a.y)
	// Keep inside the picture: text is measured in the widths of one font and
	// shown in another.
	w := s.Width(words) * 1.04
	lo := p.X + vg.Length(a.x)*w
	p.X += max(0, 2-lo)
	p.X -= max(0, lo+w-(pictureWide-2))
	c.FillText(s, p, words)
}

func (c *canvas) mark(i ink, shape draw.GlyphDrawer, radius, x, y float64) {
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: i.color(), Shape: shape, Radius: vg.Length(radius)}, c.at(x, y))
}

type painter func(c *canvas)

// Plot implements plot.Plotter.
func (p painter) Plot(c draw.Canvas, pl *plot.Plot) {
	tx, ty := pl.Transforms(&c)
	p(&canvas{Canvas: c, tx: tx, ty: ty})
}

// A chart is a picture under way.
type chart struct {
	p           *plot.Plot
	high        float64 // height in units
	left, right float64 // free margins beside axes and data
	top         float64
}

func newChart(high float64, xlo, xhi, ylo, yhi float64) *chart {
	p := plot.New()
	p.BackgroundColor = nil
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Label.TextStyle.Font = letters(inkText, 11).Font
		a.Label.TextStyle.Color = inkText.color()
		a.Tick.Label.Font = letters(inkText, 11).Font
		a.Tick.Label.Color = inkText.color()
		a.LineStyle = stroke(inkFaint, 0.7)
		a.Tick.LineStyle = stroke(inkFaint, 0.7)
		a.Tick.Length = 3
		a.Padding = 0
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = xlo, xhi, ylo, yhi
	return &chart{p: p, high: high, right: 10, top: 8, left: 2}
}

// ticks sets the labels of an axis.
func ticks(a *plot.Axis, at []float64, words []string) {
	t := make([]plot.Tick, len(at))
	for i := range at {
		t[i] = plot.Tick{Value: at[i], Label: words[i]}
	}
	a.Tick.Marker = plot.ConstantTicks(t)
}

// scale puts round numbers with a unit on the last of them.
func scale(a *plot.Axis, most int) []float64 {
	step := roundStep((a.Max - a.Min) / float64(most))
	digits := max(0, int(-math.Floor(math.Log10(step)+1e-9)))
	var at []float64
	var words []string
	for k := math.Ceil(a.Min/step - 1e-9); k*step <= a.Max+1e-9*step; k++ {
		at = append(at, k*step)
		words = append(words, fmt.Sprintf("%.*f", digits, k*step+0))
	}
	ticks(a, at, words)
	return at
}

func roundStep(x float64) float64 {
	if !(x > 0) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 2, 5, 10} {
		if x <= m*p*(1+1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// rows turns the vertical axis into a list of words, the first on top.
func (ch *chart) rows(names []string) {
	at := make([]float64, len(names))
	for i := range names {
		at[i] = -float64(i)
	}
	ch.p.Y.Min, ch.p.Y.Max = -float64(len(names))+0.4, 0.6
	ticks(&ch.p.Y, at, names)
	ch.p.Y.Tick.Length = 0
	ch.p.Y.LineStyle.Width = 0
}

func (ch *chart) paint(f painter) { ch.p.Add(f) }

// grid draws faint lines at the ticks.
func (ch *chart) grid(xs, ys []float64) {
	ch.paint(func(c *canvas) {
		for _, x := range xs {
			c.segment(stroke(inkFaint, 0.5), x, ch.p.Y.Min, x, ch.p.Y.Max)
		}
		for _, y := range ys {
			c.segment(stroke(inkFaint, 0.5), ch.p.X.Min, y, ch.p.X.Max, y)
		}
	})
}

var (
	svgHead  = regexp.MustCompile(`(?s)^.*?<svg[^>]*viewBox="([^"]*)"[^>]*>`)
	svgColor = regexp.MustCompile(`#(0[1-8])FE01`)
	svgFont  = regexp.MustCompile(`font-family:[^;"]*;font-variant:[^;"]*;font-weight:normal;font-style:normal;?`)
)

// svg renders the charts one below the other and gives the element without
// anything that refers outside of the page.
func svg(alt string, charts ...*chart) string {
	high := 0.0
	for _, ch := range charts {
		high += ch.high
	}
	out := vgsvg.New(pictureWide, vg.Length(high))
	whole := draw.New(out)
	from := high
	for _, ch := range charts {
		part := draw.Crop(whole, vg.Length(ch.left), vg.Length(-ch.right), vg.Length(from-ch.high), vg.Length(from-ch.top-high))
		ch.p.Draw(part)
		from -= ch.high
	}
	var b bytes.Buffer
	_, _ = out.WriteTo(&b) // a bytes.Buffer does not fail
	s := svgHead.ReplaceAllString(b.String(), `<svg role="img" aria-label="`+escape(alt)+`" viewBox="$1">`)
	s = svgColor.ReplaceAllStringFunc(s, func(m string) string { return "var(" + inkNames[ink(m[2]-'0')] + ")" })
	s = svgFont.ReplaceAllString(s, "")
	return strings.TrimSpace(s)
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "'", "&#39;", "$", "$$")

// escape makes text fit for an attribute that regexp puts in.
func escape(s string) string { return escaper.Replace(s) }

// spread moves labels apart along a line: positions at least gap from each
// other, within lo and hi, as near as they can be to where they belong.
func spread(want []float64, gap, lo, hi float64) []float64 {
	order := make([]int, len(want))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return want[order[a]] < want[order[b]] })
	out := append([]float64(nil), want...)
	for range 50 {
		for k := 1; k < len(order); k++ {
			a, b := order[k-1], order[k]
			if short := gap - (out[b] - out[a]); short > 0 {
				out[a] -= short / 2
				out[b] += short / 2
			}
		}
		if n := len(order); n > 0 {
			out[order[0]] = math.Max(out[order[0]], lo)
			out[order[n-1]] = math.Min(out[order[n-1]], hi)
		}
	}
	return out
}
