package report

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"github.com/stationphysics/stationphysics/station/bench"
)

// across is the quantity along the pictures.
type across struct {
	words  string
	of     func(v *bench.RowVerdict) float64
	lo, hi float64
	input  bool
	grain  float64 // size of the marks, 1 or less where rows are many
}

// acrossOf takes what was varied more: input voltage or load.
func acrossOf(r *bench.Report) across {
	input := func(v *bench.RowVerdict) float64 { return v.Row.InputV }
	load := func(v *bench.RowVerdict) float64 { return v.LoadA }
	// A current that follows from a resistor is not what was varied.
	setting := func(v *bench.RowVerdict) float64 {
		if math.IsNaN(v.Row.LoadOhm) {
			return v.LoadA
		}
		return 1 / v.Row.LoadOhm
	}
	// Readings that contradict each other do not say what was varied.
	span := func(of func(v *bench.RowVerdict) float64) float64 {
		lo, hi, _ := reachOf(r, of, func(v *bench.RowVerdict) bool { return v.State != bench.Impossible })
		if !(hi > 0) {
			return 0
		}
		return (hi - lo) / hi
	}
	x := across{words: "volts at the input", of: input, input: true}
	if _, _, n := reachOf(r, input, func(*bench.RowVerdict) bool { return true }); n == 0 || span(setting) > span(input) {
		x = across{words: "amperes through the load", of: load}
	}
	rows := 0
	x.lo, x.hi, rows = reachOf(r, x.of, func(*bench.RowVerdict) bool { return true })
	pad := 0.07 * (x.hi - x.lo)
	if !(pad > 0) {
		pad = math.Max(0.1*math.Abs(x.hi), 1e-3)
	}
	x.lo, x.hi = x.lo-pad, x.hi+pad
	x.grain = math.Min(1, math.Max(0.2, 16/float64(rows)))
	return x
}

// reachOf gives the least and the largest of a quantity over the rows that can
// be drawn and are wanted, and their number.
func reachOf(r *bench.Report, of func(v *bench.RowVerdict) float64, wanted func(v *bench.RowVerdict) bool) (lo, hi float64, rows int) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i := range r.Rows {
		v := &r.Rows[i]
		if q := of(v); !math.IsNaN(q) && !math.IsNaN(v.Row.OutputV) && wanted(v) {
			lo, hi = math.Min(lo, q), math.Max(hi, q)
			rows++
		}
	}
	return lo, hi, rows
}

// each goes through the rows that can be drawn.
func each(r *bench.Report, x across, f func(v *bench.RowVerdict, at float64)) {
	for i := range r.Rows {
		v := &r.Rows[i]
		if at := x.of(v); !math.IsNaN(at) && !math.IsNaN(v.Row.OutputV) {
			f(v, at)
		}
	}
}

// known is a number or, if it is not known, 0.
func known(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}

// panel begins one of the pictures that stand over the same axis.
func panel(high float64, x across, ylo, yhi float64) *chart {
	ch := newChart(high, x.lo, x.hi, ylo, yhi)
	ch.top = 24
	ch.grid(scale(&ch.p.X, 7), scale(&ch.p.Y, 7))
	return ch
}

// lineUp makes the data of charts begin and end at the same places, so that one
// can be read below the other.
func lineUp(charts ...*chart) {
	for range 2 { // the margins of an axis depend a little on its length
		var left, right float64 = 0, pictureWide
		at := make([][2]float64, len(charts))
		for i, ch := range charts {
			whole := draw.New(vgsvg.New(pictureWide, vg.Length(ch.high)))
			d := ch.p.DataCanvas(draw.Crop(whole, vg.Length(ch.left), vg.Length(-ch.right), 0, vg.Length(-ch.top)))
			at[i] = [2]float64{float64(d.Min.X), float64(d.Max.X)}
			left, right = math.Max(left, at[i][0]), math.Min(right, at[i][1])
		}
		for i, ch := range charts {
			ch.left += left - at[i][0]
			ch.right += at[i][1] - right
		}
	}
}
