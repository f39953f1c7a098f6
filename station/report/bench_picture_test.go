package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/station/bench"
)

// A drawing is a file of BenchSVG taken apart.
type drawing struct {
	title, words, style string
	root                map[string]string
	high                float64
	paths               []drawnPath // style: the classes, then the style
	texts               []drawnText
}

func drawnBench(t testing.TB, r bench.Report) *drawing {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, BenchSVG(&b, r))
	return takeApart(t, b.String())
}

func takeApart(t testing.TB, file string) *drawing {
	t.Helper()
	for _, bad := range []string{"NaN", "Inf", "%!", "<script", "http:", "https:", "href", "url(", "@import", "FE01", "var(", "\x00"} {
		require.NotContains(t, strings.TrimPrefix(file, `<svg xmlns="http://www.w3.org/2000/svg"`), bad)
	}
	d := &drawing{root: map[string]string{}}
	dec := xml.NewDecoder(strings.NewReader(file))
	var at []xml.StartElement
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			at = append(at, e.Copy())
			a := map[string]string{}
			for _, x := range e.Attr {
				a[x.Name.Local] = x.Value
			}
			switch e.Name.Local {
			case "svg":
				require.Equal(t, "http://www.w3.org/2000/svg", e.Name.Space)
				d.root = a
			case "path":
				p := drawnPath{style: a["class"] + ";" + a["style"]}
				for _, q := range pathPoint.FindAllStringSubmatch(arcRadii.ReplaceAllString(a["d"], "L"), -1) {
					p.x, p.y = append(p.x, parsed(t, q[1])), append(p.y, parsed(t, q[2]))
				}
				require.NotEmpty(t, p.x)
				d.paths = append(d.paths, p)
			case "text":
				d.texts = append(d.texts, drawnText{parsed(t, a["x"]), -parsed(t, a["y"]), ""})
			}
		case xml.EndElement:
			at = at[:len(at)-1]
		case xml.CharData:
			if len(at) == 0 {
				continue
			}
			switch at[len(at)-1].Name.Local {
			case "title":
				d.title += string(e)
			case "desc":
				d.words += string(e)
			case "style":
				d.style += string(e)
			case "text":
				d.texts[len(d.texts)-1].words += string(e)
			}
		}
	}
	require.Empty(t, at)
	m := regexp.MustCompile(`^0 0 360 (\d+)$`).FindStringSubmatch(d.root["viewBox"])
	require.NotNil(t, m, d.root["viewBox"])
	d.high = parsed(t, m[1])
	return d
}

func parsed(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}

// panel gives what stands below one heading and above the next.
func (d *drawing) panel(t testing.TB, heading string) *drawing {
	t.Helper()
	top, bottom := math.NaN(), 0.0
	for _, w := range d.texts {
		switch {
		case w.words == heading:
			top = w.y
		case !math.IsNaN(top) && bottom == 0 && (strings.HasPrefix(w.words, "Lost in") || strings.HasPrefix(w.words, "Tab (")):
			bottom = w.y
		}
	}
	require.False(t, math.IsNaN(top), "no panel %q", heading)
	p := &drawing{}
	for _, x := range d.paths {
		if m := middle(x.y); m < top && m > bottom {
			p.paths = append(p.paths, x)
		}
	}
	for _, w := range d.texts {
		if w.y < top && w.y > bottom {
			p.texts = append(p.texts, w)
		}
	}
	return p
}

// with picks paths by class and a part of the style.
func (d *drawing) with(class, style string) (out []drawnPath) {
	for _, p := range d.paths {
		if strings.HasPrefix(p.style, class+";") && strings.Contains(p.style, style) {
			out = append(out, p)
		}
	}
	return out
}

// Marks of rows: dots, rings (their ground) and crosses (their first stroke).
func (d *drawing) dots() []drawnPath  { return d.with("fill-ink", "") }
func (d *drawing) rings() []drawnPath { return d.with("fill-paper", "") }
func (d *drawing) crosses() (out []drawnPath) {
	for i, p := range d.with("stroke-bad", "stroke-width:2.2") {
		if i%2 == 0 {
			out = append(out, p)
		}
	}
	return out
}

func (d *drawing) bars() []drawnPath { return d.with("fill-fill", "") }

// errorBars picks the upright strokes of a class.
func (d *drawing) upright(class, width string) (out []drawnPath) {
	for _, p := range d.with(class, "stroke-width:"+width) {
		if len(p.x) == 2 && p.x[0] == p.x[1] {
			out = append(out, p)
		}
	}
	return out
}

// straight checks that places are one straight line of the values, to the
// hundredth of a unit that the file's five digits leave.
func straight(t testing.TB, values, at []float64) (zero, perUnit float64) {
	t.Helper()
	require.Len(t, at, len(values))
	lo, hi := 0, 0
	for i := range values {
		if values[i] < values[lo] {
			lo = i
		}
		if values[i] > values[hi] {
			hi = i
		}
	}
	require.NotEqual(t, values[lo], values[hi])
	perUnit = (at[hi] - at[lo]) / (values[hi] - values[lo])
	for i := range values {
		require.InDelta(t, at[lo]+perUnit*(values[i]-values[lo]), at[i], 0.03, "value %g", values[i])
	}
	return at[lo] - perUnit*values[lo], perUnit
}

// ends gives the lower and the upper place of paths.
func ends(paths []drawnPath, y bool) (lo, hi []float64) {
	for _, p := range paths {
		v := p.x
		if y {
			v = p.y
		}
		a, b := v[0], v[0]
		for _, x := range v {
			a, b = math.Min(a, x), math.Max(b, x)
		}
		lo, hi = append(lo, a), append(hi, b)
	}
	return lo, hi
}

func middles(paths []drawnPath, y bool) (out []float64) {
	for _, p := range paths {
		v := p.x
		if y {
			v = p.y
		}
		out = append(out, middle(v))
	}
	return out
}

const (
	outputPanel = "Output, V"
	lostPanel   = "Lost in the part, W"
	heatPanel   = "Tab (dot) and junction (bar), °C"
)

// Every reading, every bar of what is allowed and every limit of the invented
// table stands where its number is, and the axes say the same numbers.
func TestBenchPointsStandWhereTheirNumbersAre(t *testing.T) {
	r := benchDemo(t)
	require.Len(t, r.Rows, 6)
	d := drawnBench(t, r)
	p := d.panel(t, outputPanel)
	// Line 7 is a dropout, 8 and 10 regulate, 9 contradicts itself, 11 and 12 are off.
	require.Len(t, p.rings(), 1)
	require.Len(t, p.dots(), 2)
	require.Len(t, p.crosses(), 3)
	marks := append(append(p.rings(), p.dots()...), p.crosses()...)
	order := []int{0, 1, 3, 2, 4, 5}
	var values, places, inputs, across []float64
	for k, i := range order {
		v := &r.Rows[i]
		values, places = append(values, v.Row.OutputV), append(places, middle(marks[k].y))
		inputs, across = append(inputs, v.Row.InputV), append(across, middle(marks[k].x))
	}
	bars := p.bars()
	require.Len(t, bars, 6)
	low, high := ends(bars, true)
	readings := p.upright("stroke-ink", "1.2")
	require.Len(t, readings, 6)
	from, to := ends(readings, true)
	for i := range r.Rows {
		v := &r.Rows[i]
		values = append(values, v.Expected.OutputLowV, v.Expected.OutputHighV, v.Row.OutputV-v.OutputErrV, v.Row.OutputV+v.OutputErrV)
		places = append(places, low[i], high[i], from[i], to[i])
		inputs, across = append(inputs, v.Row.InputV, v.Row.InputV), append(across, middle(bars[i].x), readings[i].x[0])
	}
	dashed := p.with("stroke-ink", "dasharray")
	require.Len(t, dashed, 2)
	values, places = append(values, 4.8, 5.2), append(places, dashed[0].y[0], dashed[1].y[0])
	zero, perV := straight(t, values, places)
	require.Positive(t, perV)
	axis(t, p, []string{"4.2", "4.4", "4.6", "4.8", "5.0", "5.2"}, zero, perV)
	left, perIn := straight(t, inputs, across)
	require.Positive(t, perIn)
	// The words of the horizontal axis: their middle is where their number is.
	for _, w := range p.texts {
		if w.words == "6" || w.words == "11" {
			n := parsed(t, w.words)
			require.InDelta(t, left+perIn*n, w.x+float64(letters(inkText, 11).Width(w.words))/2, 0.1)
		}
	}
	labelled := map[string]bool{}
	for _, w := range p.texts {
		if strings.HasPrefix(w.words, "line ") {
			labelled[w.words] = true
		}
	}
	require.Equal(t, map[string]bool{"line 7": true, "line 9": true, "line 11": true, "line 12": true}, labelled)

	// Lost: the power that was noted as Vin·I stands where 1.55 and 1.76 W are.
	p = d.panel(t, lostPanel)
	require.Len(t, p.crosses(), 1, "only the contradictory row")
	require.Len(t, p.dots(), 4, "a bad output loses what it should")
	low, high = ends(p.bars(), true)
	readings = p.upright("stroke-ink", "1.2")
	from, to = ends(readings, true)
	wrong, right := p.with("stroke-bad", "stroke-width:1.4"), p.with("stroke-ink", "stroke-width:1.4")
	require.Len(t, wrong, 2)
	require.Len(t, right, 4+1, "four squares and the ring's edge")
	values, places, inputs, across = nil, nil, nil, nil
	for i := range r.Rows {
		v := &r.Rows[i]
		values = append(values, v.Expected.DissipationLowW, v.Expected.DissipationHighW, v.DissipationW-v.DissipationErrW, v.DissipationW+v.DissipationErrW)
		places = append(places, low[i], high[i], from[i], to[i])
		inputs, across = append(inputs, v.Row.InputV), append(across, readings[i].x[0])
	}
	values, places = append(values, 1.55, 1.76), append(places, middles(wrong, true)...)
	zero, perW := straight(t, values, places)
	axis(t, p, []string{"0.0", "0.5", "1.0", "1.5"}, zero, perW)
	l, k := straight(t, inputs, across)
	require.InDelta(t, left, l, 0.03, "one panel can be read below the other")
	require.InDelta(t, perIn, k, 0.01)

	// Heat: tab, junction, rating, and the temperature that burns at a touch.
	p = d.panel(t, heatPanel)
	tabs, junctions := p.dots(), p.upright("stroke-warm", "2.6")
	require.Len(t, tabs, 6)
	require.Len(t, junctions, 5, "no junction of a row that contradicts itself")
	rated, touch := p.with("stroke-bad", "stroke-width:1.8"), p.with("stroke-ink", "dasharray")
	require.Len(t, rated, 1)
	require.Len(t, touch, 1)
	values, places, inputs, across = []float64{125, 65}, []float64{rated[0].y[0], touch[0].y[0]}, nil, nil
	n := 0
	for i := range r.Rows {
		v := &r.Rows[i]
		values, places = append(values, v.Row.TabC), append(places, middle(tabs[i].y))
		inputs, across = append(inputs, v.Row.InputV), append(across, middle(tabs[i].x))
		if !math.IsNaN(v.JunctionHighC) {
			lo, hi := ends(junctions[n:n+1], true)
			values, places = append(values, v.JunctionLowC, v.JunctionHighC), append(places, lo[0], hi[0])
			n++
		}
	}
	zero, perK := straight(t, values, places)
	axis(t, p, []string{"20", "40", "60", "80", "100", "120"}, zero, perK)
	l, k = straight(t, inputs, across)
	require.InDelta(t, left, l, 0.03)
	require.InDelta(t, perIn, k, 0.01)
}

// axis checks that the words of the vertical axis stand at their numbers: the
// foot of a word lies half the height of its letters below.
func axis(t *testing.T, p *drawing, words []string, zero, perUnit float64) {
	t.Helper()
	var below []float64
	for _, want := range words {
		found := false
		for _, w := range p.texts {
			if w.words == want && w.x < 40 {
				found = true
				below = append(below, zero+perUnit*parsed(t, want)-w.y)
			}
		}
		require.True(t, found, "the axis does not say %s", want)
	}
	for _, b := range below {
		require.InDelta(t, below[0], b, 0.05, "%v", words)
		require.True(t, b > 2 && b < 6, "%g", b)
	}
}

// A screen reader is told what the eye sees.
func TestBenchPictureGivesItsNumbersInWords(t *testing.T) {
	r := benchDemo(t)
	d := drawnBench(t, r)
	require.Equal(t, "img", d.root["role"])
	require.Equal(t, "title", d.root["aria-labelledby"])
	require.Equal(t, "words", d.root["aria-describedby"])
	require.Equal(t, "Bench test of LM1117I-5.0: does not meet the sheet (sound)", d.title)
	for _, want := range []string{
		"Over volts at the input", "Output 4.58 V, limit 4.80 V, margin \u22120.22 V, the least, in line 12.", "Band of the output 4.8 to 5.2 V.", "Rated junction 125 °C.",
		"Line 7: dropout. Input 5.50 V. Output 4.28 ± 0.05 V, allowed 4.19 to 5.20 V. Load 0.143 A. Lost 0.20 ± 0.06 W, allowed 0.05 to 0.27 W, noted 0.2 W. Tab 29 °C, junction 29 to 40 °C.",
		"Line 9: impossible readings. ", "Load 0.176 A.", "Line 12: out of specification. Input 11.50 V. Output 4.58 ± 0.05 V, allowed 4.80 to 5.20 V.", "noted 1.76 W", "junction 81 to 110 °C.",
	} {
		require.Contains(t, d.words, want)
	}
	require.Equal(t, 6, strings.Count(d.words, "\nLine "))
	require.NotContains(t, d.words, "Not drawn")
	require.NotContains(t, d.words, "rows more")
	d = drawnBench(t, judgedTable(t, benchTables()["many"]))
	require.Equal(t, mostRows, strings.Count(d.words, "\nLine "))
	require.Contains(t, d.words, "\nAnd 276 rows more.")
	d = drawnBench(t, judgedTable(t, benchTables()["gaps"]))
	require.Contains(t, d.words, "\nNot drawn, for want of a reading: 2 rows.")
	d = drawnBench(t, judgedTable(t, benchTables()["derived"]))
	require.Contains(t, d.words, "Output by the power noted, not read 4.13 V")
	require.Contains(t, d.words, "\nNo panel of tab and junction: the table has no temperatures.")
}

func TestNothingLeavesTheBenchPicture(t *testing.T) {
	tables := benchTables()
	for name, table := range tables {
		r := judgedTable(t, table)
		if name == "clean" {
			r.Part.Name = "A part & <its> \"sheet\" \x01\ufffe\xff of a name that is far too long for the width of a phone, and longer"
		}
		d := drawnBench(t, r)
		for _, p := range d.paths {
			for i := range p.x {
				require.True(t, p.x[i] > -1 && p.x[i] < 361 && p.y[i] > -1 && p.y[i] < d.high+1, "%s: %g, %g in %s", name, p.x[i], p.y[i], p.style)
			}
		}
		for _, w := range d.texts {
			wide := float64(letters(inkText, 9).Width(w.words))
			require.True(t, w.x > 0 && w.x+wide < 360 && w.y > 0 && w.y+7 < d.high, "%s: %q at %g, %g", name, w.words, w.x, w.y)
		}
		if name == "clean" {
			require.Contains(t, d.title, "A part & <its> \"sheet\" \ufffd\ufffd\ufffd of a name")
			require.True(t, strings.HasSuffix(d.texts[0].words, "…"), d.texts[0].words)
		}
	}
}

func TestBenchAxisIsWhatWasVaried(t *testing.T) {
	for name, want := range map[string]string{
		"load": "amperes through the load", "short": "volts at the input", "derived": "volts at the input", "clean": "volts at the input", "one": "volts at the input",
	} {
		r := judgedTable(t, benchTables()[name])
		require.Equal(t, want, acrossOf(&r).words, name)
	}
	// More is meant as a share: inputs of 9 to 10 V are varied less than loads of
	// 0.1 to 0.2 A.
	r := judgedTable(t, "input V,output V,current mA\n9,5,100\n10,5,200\n")
	require.Equal(t, "amperes through the load", acrossOf(&r).words)
	// A mistyped current is no load that was varied.
	r = judgedTable(t, "input V,output V,load ohm,current mA\n7,5,30,167\n9,5,30,17\n11,5,30,167\n")
	require.Equal(t, "volts at the input", acrossOf(&r).words)
	// Neither is a table without inputs a table over inputs.
	r = judgedTable(t, "input V,output V,load ohm\n,5,30\n,5,30\n")
	require.Equal(t, "amperes through the load", acrossOf(&r).words)
}

func TestBenchMarksGrowSmallerWhereRowsAreMany(t *testing.T) {
	wide := func(name string) float64 {
		r := judgedTable(t, benchTables()[name])
		lo, hi := ends(drawnBench(t, r).panel(t, outputPanel).bars(), false)
		return hi[0] - lo[0]
	}
	require.InDelta(t, 14, wide("clean"), 0.02)
	require.InDelta(t, 14*0.2, wide("many"), 0.02)
	// Signs shrink less, to be seen: to 0.4 + 0.6·0.2.
	many := drawnBench(t, judgedTable(t, benchTables()["many"])).panel(t, outputPanel)
	for size, marks := range map[float64][]drawnPath{6: many.dots(), 6.8: many.rings(), 8: many.with("stroke-bad", "stroke-width:1.144")} {
		lo, hi := ends(marks, false)
		require.Greater(t, len(lo), 3)
		require.InDelta(t, size*0.52, hi[0]-lo[0], 0.02)
	}
}

// frame gives the ends of a panel's axes, from the lines of its grid.
func (d *drawing) frame(t testing.TB) (left, right, foot, top float64) {
	t.Helper()
	left, right, foot, top = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	lines := d.with("stroke-faint", "stroke-width:0.5")
	require.NotEmpty(t, lines)
	for _, p := range lines {
		for i := range p.x {
			left, right, foot, top = math.Min(left, p.x[i]), math.Max(right, p.x[i]), math.Min(foot, p.y[i]), math.Max(top, p.y[i])
		}
	}
	return left, right, foot, top
}

// Whatever the table, what is drawn of it stands within the axes and fills
// them: a mark may reach beyond by its own size.
func TestBenchPanelsHoldTheirData(t *testing.T) {
	for name, table := range benchTables() {
		r := judgedTable(t, table)
		d := drawnBench(t, r)
		for _, heading := range []string{outputPanel, lostPanel, heatPanel, "Tab (dot), °C"} {
			if !slices.ContainsFunc(d.texts, func(w drawnText) bool { return w.words == heading }) {
				continue
			}
			p := d.panel(t, heading)
			left, right, foot, top := p.frame(t)
			lo, hi := math.Inf(1), math.Inf(-1)
			from, to := math.Inf(1), math.Inf(-1)
			for _, x := range p.paths {
				if strings.HasPrefix(x.style, "stroke-faint") || strings.Contains(x.style, "dasharray") || len(x.x) == 2 && right-left < 1+math.Abs(x.x[1]-x.x[0]) {
					continue // the grid, the axes and limits
				}
				x0 := middle(x.x)
				require.True(t, x0 > left && x0 < right, "%s, %s: %g outside %g to %g in %s", name, heading, x0, left, right, x.style)
				a, b := ends([]drawnPath{x}, true)
				require.True(t, a[0] > foot-6 && b[0] < top+6, "%s, %s: %g to %g outside %g to %g in %s", name, heading, a[0], b[0], foot, top, x.style)
				lo, hi = math.Min(lo, a[0]), math.Max(hi, b[0])
				from, to = math.Min(from, x0), math.Max(to, x0)
			}
			switch heading { // of temperatures the limits may stand far above
			case outputPanel:
				require.Greater(t, hi-lo, 0.6*(top-foot), "%s: flattened", name)
			case lostPanel: // whose axis begins at nothing
				require.Greater(t, hi-foot, 0.6*(top-foot), "%s: flattened", name)
			}
			if name != "one" && name != "gaps" {
				require.InDelta(t, 1/(1+2*0.07), (to-from)/(right-left), 0.03, "%s, %s: a margin of 7 %% at both ends", name, heading)
			}
		}
	}
	// Readings that contradict each other may give a loss below nothing.
	r := judgedTable(t, benchTables()["swapped meters"])
	require.Negative(t, r.Rows[0].DissipationW)
	require.Len(t, drawnBench(t, r).panel(t, lostPanel).crosses(), 1)
}

// The shapes are what the key of the picture shows.
func TestBenchShapes(t *testing.T) {
	d := drawnBench(t, benchDemo(t))
	size := func(p drawnPath) [2]float64 {
		a, b := ends([]drawnPath{p}, false)
		c, e := ends([]drawnPath{p}, true)
		return [2]float64{b[0] - a[0], e[0] - c[0]}
	}
	near := func(want float64, paths []drawnPath, both bool) {
		t.Helper()
		require.NotEmpty(t, paths)
		for _, p := range paths {
			s := size(p)
			require.InDelta(t, want, s[0], 0.02)
			if both {
				require.InDelta(t, want, s[1], 0.02)
			}
		}
	}
	near(8, d.crosses(), true)
	near(6, d.dots(), false) // of a circle the file gives two points
	ring := d.panel(t, outputPanel).rings()
	near(6.8, ring, false)
	edge := d.panel(t, outputPanel).with("stroke-ink", "stroke-width:1.4")
	require.Len(t, edge, 1)
	near(6.4, edge, false)
	require.Equal(t, middle(ring[0].x), middle(edge[0].x))
	require.Equal(t, edge[0].x[0], edge[0].x[len(edge[0].x)-1], "the ring is closed")
	squares := d.with("stroke-bad", "stroke-width:1.4")
	require.Len(t, squares, 2)
	near(11, squares, true)
	for _, p := range squares {
		require.Len(t, p.x, 5)
		require.Equal(t, []float64{p.x[0], p.x[1], p.y[0], p.y[2]}, []float64{p.x[3], p.x[2], p.y[1], p.y[3]}, "a square stands upright")
		require.Equal(t, []float64{p.x[0], p.y[0]}, []float64{p.x[4], p.y[4]}, "and is closed")
	}
	// Both ends of each bar of what is allowed are marked over its whole width.
	marked := d.with("stroke-cold", "stroke-width:1.6")
	require.Len(t, marked, 2*len(d.bars()))
	near(14, marked, false)
	require.Len(t, d.bars(), 6+6+1)
}

// Where the sheet rates no junction, none is drawn and none is told.
func TestBenchWithoutARatedJunction(t *testing.T) {
	r := benchDemo(t)
	spec := r.Part.Linear.Spec()
	spec.MaxJunctionC = 0
	var err error
	r.Part.Linear, err = power.NewLinear(spec)
	require.NoError(t, err)
	d := drawnBench(t, r)
	require.NotContains(t, d.words, "Rated junction")
	p := d.panel(t, heatPanel)
	require.Empty(t, p.with("stroke-bad", "stroke-width:1.8"))
	require.Len(t, p.upright("stroke-warm", "2.6"), 5)
	for _, w := range p.texts {
		require.NotContains(t, w.words, "rated")
	}
	// Without a room temperature there is no junction either, and no bar is named.
	d = drawnBench(t, judgedTable(t, "input V,output V,load ohm,tab C\n9,5,30,40\n10,5,30,45\n"))
	require.Len(t, d.panel(t, "Tab (dot), °C").dots(), 2)
}

// Words that do not fit lose no more letters than they must.
func TestFit(t *testing.T) {
	wide := func(words string) float64 { return float64(letters(inkText, 13).Width(words)) * 1.04 }
	const words = "a regulator whose name is longer"
	require.Equal(t, words, fit(words, 13, wide(words)))
	short := fit(words, 13, 120)
	kept, cut := strings.CutSuffix(short, "…")
	require.True(t, cut)
	require.True(t, strings.HasPrefix(words, kept))
	require.LessOrEqual(t, wide(short), 120.0)
	require.Greater(t, wide(words[:len(kept)+1]+"…"), 120.0)
	require.Equal(t, "…", fit(words, 13, 1))
}

// No words cover others: each is told from its neighbours.
func TestBenchWordsKeepApart(t *testing.T) {
	for name, table := range benchTables() {
		r := judgedTable(t, table)
		d := drawnBench(t, r)
		for i, a := range d.texts {
			for _, b := range d.texts[:i] {
				// The sizes are not in what was taken apart: the smallest letters
				// are 10 units high, of which the small ones fill two thirds.
				wide := func(w drawnText) float64 { return float64(letters(inkText, 10).Width(w.words)) }
				over := math.Min(a.x+wide(a), b.x+wide(b)) - math.Max(a.x, b.x)
				if over > 1 && math.Abs(a.y-b.y) < 7 {
					t.Errorf("%s: %q at %.0f, %.0f covers %q at %.0f, %.0f", name, a.words, a.x, a.y, b.words, b.x, b.y)
				}
			}
		}
		require.Equal(t, r.Part.Name, d.texts[0].words)
		require.True(t, strings.HasPrefix(d.texts[1].words, sentence(r.Outcome.String())), d.texts[1].words)
		require.Less(t, d.texts[1].y, d.texts[0].y)
		require.Less(t, d.texts[2].y, d.texts[1].y, "the verdict stands over its numbers")
	}
}

// A figure wrong by a thousand does not flatten the rest: it stands at the edge
// with its number.
func TestFiguresFarOff(t *testing.T) {
	r := judgedTable(t, benchTables()["thousand"])
	d := drawnBench(t, r)
	p := d.panel(t, lostPanel)
	said := ""
	for _, w := range p.texts {
		said += w.words + "|"
	}
	require.Contains(t, said, "noted 370 W|")
	require.Contains(t, said, "noted 0.000718 W|")
	left, _, foot, _ := p.frame(t)
	for _, w := range p.texts {
		if strings.HasPrefix(w.words, "noted") {
			require.True(t, w.x > left && w.y > foot, "%q covers the axis", w.words)
		}
	}
	lo, hi := ends(p.upright("stroke-ink", "1.2"), true)
	require.Greater(t, hi[2]-lo[2], 5.0, "the error of a real reading can still be seen")
	require.Len(t, p.with("stroke-bad", "stroke-width:1.4"), 2)
}

func TestOverLimitsInThePicture(t *testing.T) {
	d := drawnBench(t, judgedTable(t, benchTables()["short"]))
	p := d.panel(t, outputPanel)
	most := p.upright("stroke-bad", "1.8")
	require.Len(t, most, 1, "the absolute maximum of the input is crossed")
	crosses := p.crosses()
	require.Len(t, crosses, 2)
	straight(t, []float64{12, 20, 21}, []float64{middle(crosses[0].x), most[0].x[0], middle(crosses[1].x)})
	hot := drawnBench(t, judgedTable(t, benchTables()["hot"])).panel(t, heatPanel)
	require.Len(t, hot.upright("stroke-bad", "2.6"), 3, "junctions over their rating")
	require.Empty(t, drawnBench(t, benchDemo(t)).panel(t, heatPanel).upright("stroke-bad", "2.6"))
}

func TestNothingToDraw(t *testing.T) {
	for name, r := range map[string]bench.Report{
		"no rows": benchOf5V(t).Judge(nil), "zero": {}, "no outputs": judgedTable(t, "input V,output V,load ohm\n9,,30\n"), "no input and no load": judgedTable(t, "input V,output V,load ohm\n,5,\n"),
	} {
		var b bytes.Buffer
		require.ErrorIs(t, BenchSVG(&b, r), ErrNothingToDraw, name)
		require.Empty(t, b.String())
	}
}

// The file takes the colours of the page, whose contrast TestContrast holds, in
// light and in dark.
func TestBenchPictureHasItsColours(t *testing.T) {
	d := drawnBench(t, benchDemo(t))
	require.Equal(t, []string{"540", digits(1.5*d.high, 0)}, []string{d.root["width"], d.root["height"]}, "half as large again as on a phone")
	light, dark, found := strings.Cut(d.style, "@media (prefers-color-scheme:dark)")
	require.True(t, found)
	for i, sheet := range []string{light, dark} {
		paper := inkOfSheetNamed(t, i, "paper")
		require.Contains(t, sheet, "\nsvg{background:"+paper+"}\ntext{stroke:"+paper+"}", "ground, and rim of the letters")
	}
	used := map[string]bool{}
	for _, p := range d.paths {
		classes, _, _ := strings.Cut(p.style, ";")
		for _, c := range strings.Fields(classes) {
			used[c] = true
		}
	}
	require.Greater(t, len(used), 5)
	for c := range used {
		kind, name, _ := strings.Cut(c, "-")
		for i, sheet := range []string{light, dark} {
			m := regexp.MustCompile(`\.` + c + `\{` + kind + `:(#[0-9a-f]{3,6})\}`).FindStringSubmatch(sheet)
			require.NotNil(t, m, "%s has no colour in sheet %d", c, i)
			require.Equal(t, inkOfSheetNamed(t, i, name), m[1])
		}
	}
}

func inkOfSheetNamed(t *testing.T, sheet int, name string) string {
	t.Helper()
	m := regexp.MustCompile(`--` + name + `:(#[0-9a-f]{3,6})`).FindStringSubmatch(regexp.MustCompile(`:root\{[^}]*\}`).FindAllString(pageStyle, -1)[sheet])
	require.NotNil(t, m)
	return m[1]
}

func TestBenchPictureInLightAndDark(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, BenchSVG(&b, benchDemo(t)))
	path := filepath.Join(t.TempDir(), "bench.svg")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
	for scheme, setting := range map[string]string{"dark": "0", "light": "1"} {
		shot := filepath.Join(t.TempDir(), scheme+".png")
		browse(t, "--blink-settings=preferredColorScheme="+setting, "--screenshot="+shot, "--window-size=600,900", "file://"+path)
		f, err := os.Open(shot)
		require.NoError(t, err)
		defer f.Close()
		img, err := png.Decode(f)
		require.NoError(t, err)
		seen := map[[3]uint32]int{}
		sum, n := 0.0, 0.0
		for y := 0; y < img.Bounds().Max.Y; y += 2 {
			for x := 0; x < img.Bounds().Max.X; x += 2 {
				r, g, bl, _ := img.At(x, y).RGBA()
				seen[[3]uint32{r >> 12, g >> 12, bl >> 12}]++
				sum += float64(r+g+bl) / 3 / 0xffff
				n++
			}
		}
		require.Greater(t, len(seen), 20, "%s: an empty picture", scheme)
		if scheme == "dark" {
			require.Less(t, sum/n, 0.3)
		} else {
			require.Greater(t, sum/n, 0.7)
		}
	}
}

// Whatever table can be read has a text of 80 columns and a sound picture.
func FuzzBench(f *testing.F) {
	for _, table := range benchTables() {
		if len(table) < 2000 {
			f.Add(table)
		}
	}
	f.Fuzz(func(t *testing.T, table string) {
		rows, err := bench.ReadTable(strings.NewReader(table), "t.csv")
		if err != nil || len(rows) > 200 {
			return
		}
		r := benchOf5V(t).Judge(rows)
		text := benchText(t, r)
		require.NotContains(t, text, "NaN")
		var b bytes.Buffer
		if err := BenchSVG(&b, r); err != nil {
			require.ErrorIs(t, err, ErrNothingToDraw)
			return
		}
		takeApart(t, b.String())
	})
}
