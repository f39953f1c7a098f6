package main

import (
	"fmt"
	"math"
	"strconv"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A task is what is asked for.
type task struct {
	f         func(x float64) float64
	lo, hi    float64 // as asked for
	from, to  float32 // the float32 numbers within
	bound     float64
	relative  bool
	inScale   int // integer inputs in one unit
	maxDegree int
	outScale  int // integer outputs in one unit; 0 if free
	maxKnots  int
}

// weight turns a deviation into the error that is bounded.
func (t *task) weight(x float64) float64 {
	if !t.relative {
		return 1
	}
	return 1 / math.Abs(t.f(x))
}

// A fit is a function as the device has it.
type fit struct {
	// Float forms: u = (x - origin)·perStep in float32.
	origin, perStep float32
	poly            []float32 // coefficients of 1, u, u²...
	knots           []float32 // values at u = 0, 1, 2...
	// Integer form: values at first, first + step, ...
	table             []int32
	first, last, step int32
	outScale          int
	bits              int

	proven   float64 // no input in the range has a larger error
	seen     float64 // the largest that was found
	where    float64 // and there
	rounding float64 // part of proven that allows for float32
	bytes    int
}

// eval32 computes in float32 what the device computes, one rounding at a time:
// the explicit conversions forbid the compiler to fuse.
func (f *fit) eval32(x float32) float32 {
	u := float32(float32(x-f.origin) * f.perStep)
	if f.poly != nil {
		y := f.poly[len(f.poly)-1]
		for i := len(f.poly) - 2; i >= 0; i-- {
			y = float32(float32(y*u) + f.poly[i])
		}
		return y
	}
	i := f.segment(u)
	a, b := f.knots[i], f.knots[i+1]
	return float32(a + float32(float32(b-a)*float32(u-float32(i))))
}

func (f *fit) segment(u float32) int { return max(0, min(int(u), len(f.knots)-2)) }

// exact is the same without any rounding to speak of.
func (f *fit) exact(x float64) float64 {
	u := (x - float64(f.origin)) * float64(f.perStep)
	if f.poly != nil {
		y := 0.0
		for i := len(f.poly) - 1; i >= 0; i-- {
			y = y*u + float64(f.poly[i])
		}
		return y
	}
	i := max(0, min(int(u), len(f.knots)-2))
	a, b := float64(f.knots[i]), float64(f.knots[i+1])
	return a + (b-a)*(u-float64(i))
}

// roundingAt bounds how far eval32 can be from exact: the roundings of the
// argument times the slope, and a running bound of those of the sums (Higham,
// Accuracy and Stability of Numerical Algorithms, 2002, sec. 5.1, from memory).
// Fused multiplication rounds less often and stays within it.
func (f *fit) roundingAt(x float64) float64 {
	const half = 0x1p-24 // half a unit in the last place, relative
	u := (x - float64(f.origin)) * float64(f.perStep)
	du := 2.01 * half * math.Abs(u)
	if f.poly != nil {
		y, slope, e := float64(f.poly[len(f.poly)-1]), 0.0, 0.0
		for i := len(f.poly) - 2; i >= 0; i-- {
			slope = slope*u + y
			product := y * u
			y = product + float64(f.poly[i])
			e = e*math.Abs(u) + half*(math.Abs(product)+math.Abs(y))
		}
		return 1.01 * (e + du*math.Abs(slope))
	}
	i := max(0, min(int(u), len(f.knots)-2))
	a, b := math.Abs(float64(f.knots[i])), math.Abs(float64(f.knots[i+1])-float64(f.knots[i]))
	// An argument that rounds across a knot is continued along the neighbour: the
	// change of slope counts once.
	bend := 0.0
	for _, j := range []int{i - 1, i + 1} {
		if j >= 0 && j+1 < len(f.knots) {
			bend = math.Max(bend, math.Abs(float64(f.knots[j+1])-float64(f.knots[j])))
		}
	}
	return 1.01 * (du*(b+bend) + 3*half*b + half*(a+b))
}

// prove bounds the error over the whole range. Between the points of a dense
// grid a smooth error can exceed them by an eighth of its second difference;
// the peaks are narrowed besides, and twice that eighth is added.
func (t *task) prove(f *fit) {
	lo, hi := float64(t.from), float64(t.to)
	e := func(x float64) float64 { return (f.exact(x) - t.f(x)) * t.weight(x) }
	segments, per := 1, 8192
	if f.knots != nil {
		segments = len(f.knots) - 1
		per = max(16, 8192/segments)
	}
	smooth, bow, rounding := 0.0, 0.0, 0.0
	f.seen = 0
	for s := range segments {
		a, b := lo, hi
		if f.knots != nil {
			a = math.Max(lo, float64(f.origin)+float64(s)/float64(f.perStep))
			b = math.Min(hi, float64(f.origin)+float64(s+1)/float64(f.perStep))
			if s == segments-1 {
				b = hi // the step as float32 may end a little before
			}
		}
		at := func(i int) float64 { return math.Min(hi, a+(b-a)*float64(i)/float64(per)) }
		before, here := e(at(0)), e(at(1))
		smooth = math.Max(smooth, math.Max(math.Abs(before), math.Abs(here)))
		for i := 1; i < per; i++ {
			after := e(at(i + 1))
			bow = math.Max(bow, math.Abs(after-2*here+before))
			if math.Abs(here) >= math.Abs(before) && math.Abs(here) >= math.Abs(after) && math.Abs(here) > 0.9*smooth {
				x := numeric.PeakNear(func(x float64) float64 { return math.Abs(e(x)) }, at(i-1), at(i), at(i+1))
				smooth = math.Max(smooth, math.Abs(e(x)))
				t.look(f, x)
			}
			smooth = math.Max(smooth, math.Abs(after))
			before, here = here, after
		}
		for i := 0; i <= per; i++ {
			x := at(i)
			rounding = math.Max(rounding, f.roundingAt(x)*t.weight(x))
			t.look(f, x)
		}
	}
	f.rounding = rounding * 1.01
	f.proven = roundUp(smooth + bow/4 + f.rounding)
}

// look takes the error of the device at the float32 nearest to x.
func (t *task) look(f *fit, x float64) {
	v := min(max(float32(x), t.from), t.to)
	if e := math.Abs(float64(f.eval32(v))-t.f(float64(v))) * t.weight(float64(v)); e > f.seen {
		f.seen, f.where = e, float64(v)
	}
}

// roundUp keeps three digits, never downwards: the decimal text of the result
// with three digits is no less than v.
func roundUp(v float64) float64 {
	if !(v > 0) || math.IsInf(v, 0) {
		return v
	}
	for unit := 0.0; ; unit += 0.5 {
		up, err := strconv.ParseFloat(strconv.FormatFloat(v+unit*math.Pow(10, math.Floor(math.Log10(v))-2), 'e', 2, 64), 64)
		if err != nil || up >= v {
			return up
		}
	}
}

// An unreachableError says how far one can get.
type unreachableError struct{ what, best string }

func (e *unreachableError) Error() string {
	return fmt.Sprintf("-bound: not reachable by %s; reachable is %s", e.what, e.best)
}

// polynomial returns the one of the lowest degree that keeps the bound.
func (t *task) polynomial() (*fit, error) {
	lo, hi := float64(t.from), float64(t.to)
	best, degree := math.Inf(1), 0
	for n := 0; n <= t.maxDegree; n++ {
		series, _, _, ok := numeric.Minimax(t.f, t.weight, lo, hi, n)
		if !ok {
			continue
		}
		f := &fit{origin: float32((lo + hi) / 2), perStep: float32(2 / (hi - lo)), bytes: 4 * (n + 3)}
		for _, c := range monomials(series) {
			f.poly = append(f.poly, float32(c))
		}
		t.prove(f)
		if f.proven <= t.bound {
			return f, nil
		}
		if f.proven < best {
			best, degree = f.proven, n
		}
	}
	return nil, &unreachableError{fmt.Sprintf("a polynomial up to degree %d in float32", t.maxDegree), fmt.Sprintf("%.3g at degree %d", best, degree)}
}

// monomials turns a Chebyshev series into powers.
func monomials(series []float64) []float64 {
	n := len(series)
	out := make([]float64, n)
	before, here := make([]float64, n), make([]float64, n)
	before[0] = 1
	out[0] = series[0]
	if n > 1 {
		here[1] = 1
		out[1] = series[1]
	}
	for k := 2; k < n; k++ {
		next := make([]float64, n)
		for i := range next {
			next[i] = -before[i]
			if i > 0 {
				next[i] += 2 * here[i-1]
			}
			out[i] += series[k] * next[i]
		}
		before, here = here, next
	}
	return out
}

// knotValues returns n values at lo, lo + step...: those of the curve, moved by
// half of the error that the two neighbouring chords would have. The last knot
// may lie beyond the range; it continues the last chord.
func (t *task) knotValues(n int, lo, hi, step float64) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = t.f(math.Min(t.hi, math.Max(t.lo, math.Min(hi, lo+float64(i)*step))))
	}
	if x := lo + float64(n-2)*step; hi > x {
		v[n-1] = v[n-2] + (v[n-1]-v[n-2])*step/(hi-x)
	}
	bow := make([]float64, n-1) // of each chord, signed
	for i := range bow {
		for k := 1; k < 16; k++ {
			x := lo + (float64(i)+float64(k)/16)*step
			if x > hi {
				break
			}
			if e := v[i] + (v[i+1]-v[i])*float64(k)/16 - t.f(math.Min(t.hi, math.Max(t.lo, x))); math.Abs(e) > math.Abs(bow[i]) {
				bow[i] = e
			}
		}
	}
	for i := range v {
		// At its ends a chord has the weight of two.
		v[i] -= (bow[max(i-1, 0)] + bow[min(i, n-2)]) / 4
	}
	return v
}

// least returns the smallest n from 2 on that works. The error falls with n but
// for rounding, so it is doubled first and then halved.
func least(most int, works func(n int) bool) (int, bool) {
	high := 2
	for !works(high) {
		if high == most {
			return 0, false
		}
		high = min(2*high, most)
	}
	low := high / 2
	for high-low > 1 && high > 2 {
		if mid := (low + high) / 2; works(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, true
}

// linear returns the table of float32 with the fewest knots.
func (t *task) linear() (*fit, error) {
	lo, hi := float64(t.from), float64(t.to)
	best, knots := math.Inf(1), 0
	var found *fit
	_, ok := least(t.maxKnots, func(n int) bool {
		step := (hi - lo) / float64(n-1)
		f := &fit{origin: t.from, perStep: float32(1 / step), bytes: 4 * (n + 2)}
		for _, v := range t.knotValues(n, lo, hi, step) {
			f.knots = append(f.knots, float32(v))
		}
		t.prove(f)
		if f.proven < best {
			best, knots = f.proven, n
		}
		if f.proven > t.bound {
			return false
		}
		found = f
		return true
	})
	if !ok {
		return nil, &unreachableError{fmt.Sprintf("a table up to %d knots in float32", t.maxKnots), fmt.Sprintf("%.3g with %d knots", best, knots)}
	}
	return found, nil
}

// evalInt is what the device computes from an integer input.
func (f *fit) evalInt(x int32) int32 {
	i := min((x-f.first)/f.step, int32(len(f.table)-2))
	r := x - f.first - i*f.step
	q := (f.table[i+1] - f.table[i]) * r
	if q < 0 {
		return f.table[i] - (f.step/2-q)/f.step
	}
	return f.table[i] + (q+f.step/2)/f.step
}

// integer returns the integer table with the fewest bytes. Its inputs are
// finite in number, so every one of them is tried.
func (t *task) integer() (*fit, error) {
	first := math.Ceil(t.lo*float64(t.inScale) - 1e-9)
	last := math.Floor(t.hi*float64(t.inScale) + 1e-9)
	if !(math.Abs(first) < 1e9 && math.Abs(last) < 1e9 && last-first >= 1) || last-first > 2e5 {
		return nil, fmt.Errorf("-in-scale: %d gives %.0f inputs in the range; it takes 2 to 200001", t.inScale, last-first+1)
	}
	n := int(last-first) + 1
	truth := make([]float64, n)
	largest := 0.0
	for i := range truth {
		truth[i] = t.f(math.Min(t.hi, math.Max(t.lo, (first+float64(i))/float64(t.inScale))))
		largest = math.Max(largest, math.Abs(truth[i]))
	}
	var found *fit
	best, how := math.Inf(1), ""
	for outScale := 1; outScale <= 1e9 && largest*float64(outScale) < math.MaxInt32; outScale *= 10 {
		if t.outScale > 0 {
			outScale = t.outScale
		}
		_, _ = least(min(t.maxKnots, n), func(knots int) bool {
			step := int32((n - 1 + knots - 2) / (knots - 1))
			f, ok := t.integerTable(truth, int32(first), int32(last), step, outScale)
			if !ok {
				return false
			}
			if f.proven < best {
				best, how = f.proven, fmt.Sprintf("%.3g with %d knots in 1/%d", f.proven, len(f.table), outScale)
			}
			if f.proven > t.bound {
				return false
			}
			if found == nil || f.bytes < found.bytes {
				found = f
			}
			return true
		})
		if t.outScale > 0 {
			break
		}
	}
	if found == nil {
		if how == "" {
			how = "none: the values do not fit 32 bits"
		}
		return nil, &unreachableError{fmt.Sprintf("an integer table up to %d knots", t.maxKnots), how}
	}
	return found, nil
}

// integerTable is false if a product would leave 32 bits.
func (t *task) integerTable(truth []float64, first, last, step int32, outScale int) (*fit, bool) {
	knots := (int(last-first)+int(step)-1)/int(step) + 1
	f := &fit{first: first, last: last, step: step, outScale: outScale, bits: 16}
	scale := float64(t.inScale)
	for _, v := range t.knotValues(knots, float64(first)/scale, float64(last)/scale, float64(step)/scale) {
		k := math.Round(v * float64(outScale))
		if !(math.Abs(k) < math.MaxInt32) {
			return nil, false
		}
		if k < math.MinInt16 || k > math.MaxInt16 {
			f.bits = 32
		}
		f.table = append(f.table, int32(k))
	}
	for i := 1; i < knots; i++ {
		if d := math.Abs(float64(f.table[i]) - float64(f.table[i-1])); d*float64(step)+float64(step) >= math.MaxInt32 {
			return nil, false
		}
	}
	f.bytes = knots * f.bits / 8
	for i, want := range truth {
		e := math.Abs(float64(f.evalInt(first+int32(i)))/float64(outScale) - want)
		if t.relative {
			e /= math.Abs(want)
		}
		if e > f.seen {
			f.seen, f.where = e, float64(first+int32(i))/scale
		}
	}
	f.proven = roundUp(f.seen)
	return f, true
}
