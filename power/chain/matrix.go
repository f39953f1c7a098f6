package chain

import (
	"math"
	"math/bits"
)

// put adds to one entry of the matrix.
func (w *Workspace) put(row, col int, v float64) {
	w.a[row*w.n+col] += v
	w.used[row*w.words+col>>6] |= 1 << (col & 63)
}

// conduct stamps I = g (Va − Vb) + i0 from a to b.
func (w *Workspace) conduct(a, b int, g, i0 float64) {
	if a != returnNode {
		w.put(a, a, g)
		w.rhs[a] -= i0
		if b != returnNode {
			w.put(a, b, -g)
		}
	}
	if b != returnNode {
		w.put(b, b, g)
		w.rhs[b] += i0
		if a != returnNode {
			w.put(b, a, -g)
		}
	}
}

// flow stamps the unknown current x from a to b, of which a gives factorA.
func (w *Workspace) flow(a, b, x int, factorA float64) {
	if a != returnNode {
		w.put(a, x, factorA)
	}
	if b != returnNode {
		w.put(b, x, -1)
	}
}

// law stamps ca Va + cb Vb + ci I = rhs as the row of the element's current.
func (w *Workspace) law(e *element, ca, cb, ci, rhs float64) {
	if e.a != returnNode && ca != 0 {
		w.put(e.x, e.a, ca)
	}
	if e.b != returnNode && cb != 0 {
		w.put(e.x, e.b, cb)
	}
	w.put(e.x, e.x, ci)
	w.rhs[e.x] += rhs
}

// assemble writes the linear equations at the present states: Kirchhoff's
// current law for each node, leaving currents positive, and the law of each
// branch that has a current of its own.
func (w *Workspace) assemble(anchorS float64) {
	clear(w.a)
	clear(w.rhs)
	clear(w.used)
	nodes := len(w.c.nodes)
	for k := range nodes {
		w.rhs[k] = anchorS * w.anchor[k]
		if w.leaky {
			w.put(k, k, leakS)
			continue
		}
		was, _ := w.within(w.was[k])
		w.put(k, k, gminS+anchorS)
		w.rhs[k] += gminS * was
	}
	for k := range w.act {
		e, s := &w.act[k], &w.st[k]
		switch e.kind {
		case kindConductance:
			w.conduct(e.a, e.b, e.g, 0)
		case kindSink:
			w.conduct(e.a, returnNode, 1/e.r, 0)
		case kindDiode:
			w.conduct(e.a, e.b, s.g, s.i-s.g*s.u)
		case kindCurrent:
			w.conduct(e.a, e.b, 0, e.e)
		case kindCurve:
			// Current s.i − s.g (Vb − u) into b.
			w.conduct(e.b, returnNode, s.g, -s.i-s.g*s.u)
		case kindLoadCurrent, kindLoadPower:
			w.conduct(e.a, returnNode, s.g, s.i-s.g*s.u)
		}
		if e.x < 0 {
			continue
		}
		switch e.kind {
		case kindBranch:
			w.flow(e.a, e.b, e.x, 1)
			w.law(e, 1, -1, -e.r, -e.e)
		case kindOneWay:
			w.flow(e.a, e.b, e.x, 1)
			w.pieces(e, s)
		case kindValve:
			w.valve(e, s)
		default:
			w.law(e, 0, 0, -1, 0)
		}
	}
}

// valve stamps a regulator, converter or charger.
func (w *Workspace) valve(e *element, s *state) {
	// Input current m I, linear about the state, and the part's own.
	ci := s.m + s.i*s.mi
	w.flow(e.a, e.b, e.x, ci)
	w.put(e.a, e.a, s.i*s.ma)
	w.put(e.a, e.b, s.i*s.mb)
	c0 := -s.i * (s.ma*s.va + s.mb*s.vb + s.mi*s.i)
	if s.idleFull {
		c0 += e.idle
	} else {
		w.put(e.a, e.a, e.idle/idleKneeV)
	}
	w.rhs[e.a] -= c0
	w.pieces(e, s)
}

// pieces stamps the law of a valve or one-way branch, blended or not.
func (w *Workspace) pieces(e *element, s *state) {
	if w.blendV == 0 {
		ca, cb, ci, rhs := e.law(s.piece, s)
		w.law(e, ca, cb, ci, rhs)
		return
	}
	// f + Σ share (slack(x) − slack(x*)) = 0
	va, vb, i := w.volt(e.a), w.volt(e.b), w.x[e.x]
	w.rhs[e.x] -= s.miss
	for p, share := range s.share {
		if share == 0 {
			continue
		}
		ca, cb, ci, _ := e.law(piece(p), s)
		w.law(e, share*ca, share*cb, share*ci, share*(ca*va+cb*vb+ci*i))
	}
}

// eliminate solves the equations by Gaussian elimination. A chain's matrix has
// three or four entries in a row, so that each row keeps a set of the columns
// it occupies; among the rows fit for a pivot (within a tenth of the largest)
// the emptiest is taken. It reports false for a matrix without a solution.
func (w *Workspace) eliminate() bool {
	n, words := w.n, w.words
	for k := range w.row {
		w.row[k] = k
	}
	for k := 0; k < n; k++ {
		word, bit := k>>6, uint64(1)<<(k&63)
		big := 0.0
		for _, r := range w.row[k:] {
			if w.used[r*words+word]&bit != 0 {
				if v := math.Abs(w.a[r*n+k]); v > big {
					big = v
				}
			}
		}
		if !(big > 0 && big < inf) {
			return false
		}
		at, few := k, 1<<30
		for i, r := range w.row[k:] {
			if w.used[r*words+word]&bit == 0 || math.Abs(w.a[r*n+k]) < 0.1*big {
				continue
			}
			count := 0
			for _, u := range w.used[r*words+word : (r+1)*words] {
				count += bits.OnesCount64(u)
			}
			if count < few {
				at, few = k+i, count
			}
		}
		w.row[k], w.row[at] = w.row[at], w.row[k]
		p := w.row[k]
		pivot := w.a[p*n : p*n+n]
		w.used[p*words+word] &^= bit | (bit - 1) // what is left of the pivot is done
		for _, r := range w.row[k+1:] {
			if w.used[r*words+word]&bit == 0 {
				continue
			}
			row := w.a[r*n : r*n+n]
			f := row[k] / pivot[k]
			if f == 0 {
				continue
			}
			for q := word; q < words; q++ {
				u := w.used[p*words+q]
				w.used[r*words+q] |= u
				for ; u != 0; u &= u - 1 {
					j := q<<6 + bits.TrailingZeros64(u)
					row[j] -= f * pivot[j]
				}
			}
			w.rhs[r] -= f * w.rhs[p]
		}
	}
	copy(w.was, w.x)
	for k := n - 1; k >= 0; k-- {
		p := w.row[k]
		row := w.a[p*n : p*n+n]
		s := w.rhs[p]
		for q := k >> 6; q < words; q++ {
			for u := w.used[p*words+q]; u != 0; u &= u - 1 {
				j := q<<6 + bits.TrailingZeros64(u)
				s -= row[j] * w.x[j]
			}
		}
		w.x[k] = s / row[k]
		if !(math.Abs(w.x[k]) < inf) {
			return false
		}
	}
	return true
}

// Tolerances on the laws at a solution.
const (
	tolV = 1e-10
	tolA = 1e-12
	// tolRel bounds the error of a power sum: currents differ from their laws by
	// less than this part of themselves.
	tolRel = 1e-11
)

func closeA(a, b float64) bool { return math.Abs(a-b) <= tolA+tolRel*math.Abs(b) }

// update moves the states to the solution of the linear equations and reports
// whether every element's own law held there already.
func (w *Workspace) update() bool {
	done := true
	for k := range w.act {
		e, s := &w.act[k], &w.st[k]
		ok := true
		switch e.kind {
		case kindDiode:
			ok = e.moveDiode(s, w.volt(e.a)-w.volt(e.b))
		case kindCurve:
			v, in := w.within(w.volt(e.b))
			lin := s.i - s.g*(v-s.u)
			s.u = v
			s.i, s.g = e.curveA(v)
			ok = in && closeA(s.i, lin)
		case kindLoadCurrent, kindLoadPower:
			v, in := w.within(w.volt(e.a))
			lin := s.i + s.g*(v-s.u)
			s.u = v
			s.i, s.g = e.loadA(v)
			s.slow(w.lag)
			ok = in && closeA(s.i, lin)
		case kindOneWay:
			e.choose(s, w.volt(e.a), w.volt(e.b), w.x[e.x], w.blendV)
			ok = math.Abs(s.miss) <= math.Max(tolV, 0.01*w.blendV)
		case kindValve:
			ok = w.moveValve(e, s)
		}
		done = done && ok
	}
	return done
}

// within keeps a point of linearisation where a solution may be, and reports
// whether it was there.
func (w *Workspace) within(v float64) (float64, bool) {
	top := 2*w.topV + 10
	if v > top {
		return top, false
	}
	if v < -top {
		return -top, false
	}
	return v, true
}

// moveDiode moves a diode's state. Upwards it goes by current, along which the
// voltage is nearly flat; downwards by voltage, or thirtyfold in current if
// that is the larger step (after Ho, Ruehli and Brennan, IEEE Trans. Circuits
// Syst. 22 (1975) 504, who alternate the basis).
func (e *element) moveDiode(s *state, u float64) bool {
	lin := s.i + s.g*(u-s.u)
	if lin > 0 && lin >= s.i/30 {
		s.i = lin
		s.u = e.diodeV(lin)
		s.g = e.diodeSlope(lin)
		// Where next to nothing flows the voltage has no say.
		return math.Abs(s.u-u) <= tolV || s.g*math.Abs(s.u-u) <= 0.1*tolA
	}
	start := startS * e.vt
	if u > e.diodeV(start) && s.i < start {
		// From blocking straight into conduction: the linear law knows nothing
		// of it.
		s.i, s.u, s.g = start, e.diodeV(start), e.diodeSlope(start)
		return false
	}
	i := e.diodeA(u)
	if s.i > e.sat && i > s.i/30 {
		s.i /= 30
		s.u = e.diodeV(s.i)
		s.g = e.diodeSlope(s.i)
		return false
	}
	s.u, s.i = u, i
	s.g = e.diodeSlope(i)
	return closeA(i, lin)
}

func (w *Workspace) moveValve(e *element, s *state) bool {
	va, inA := w.within(w.volt(e.a))
	vb, inB := w.within(w.volt(e.b))
	i := w.x[e.x]
	in := s.m*i + s.i*(s.ma*(va-s.va)+s.mb*(vb-s.vb)+s.mi*(i-s.i))
	full := s.idleFull
	e.linearise(s, va, vb, i)
	s.slow(w.lag)
	e.choose(s, va, vb, i, w.blendV)
	return inA && inB && math.Abs(s.miss) <= math.Max(tolV, 0.01*w.blendV) && closeA(in, s.m*i) && (full == s.idleFull || math.Abs(va-idleKneeV) < tolV)
}
