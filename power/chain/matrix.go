package chain

import "math"

// conduct stamps I = g (Va − Vb) + i0 from a to b.
func (w *Workspace) conduct(a, b int, g, i0 float64) {
	n := w.n
	if a != returnNode {
		w.a[a*n+a] += g
		w.rhs[a] -= i0
		if b != returnNode {
			w.a[a*n+b] -= g
		}
	}
	if b != returnNode {
		w.a[b*n+b] += g
		w.rhs[b] += i0
		if a != returnNode {
			w.a[b*n+a] -= g
		}
	}
}

// flow stamps the unknown current x from a to b.
func (w *Workspace) flow(a, b, x int, factorA float64) {
	if a != returnNode {
		w.a[a*w.n+x] += factorA
	}
	if b != returnNode {
		w.a[b*w.n+x]--
	}
}

// law stamps ca Va + cb Vb + cx I = rhs as the row of the current x.
func (w *Workspace) law(e *element, ca, cb, cx, rhs float64) {
	at := e.x * w.n
	if e.a != returnNode {
		w.a[at+e.a] += ca
	}
	if e.b != returnNode {
		w.a[at+e.b] += cb
	}
	w.a[at+e.x] += cx
	w.rhs[e.x] += rhs
}

// assemble writes the linear equations at the present states: Kirchhoff's
// current law for each node, leaving currents positive, and the law of each
// branch that has a current of its own.
func (w *Workspace) assemble(anchorS float64) {
	clear(w.a)
	clear(w.rhs)
	nodes := len(w.c.nodes)
	for k := range nodes {
		// The least conductance leads to where the node was, not to the return:
		// it keeps a cut-off node solvable and carries nothing at a solution.
		w.a[k*w.n+k] = gminS + anchorS
		w.rhs[k] = anchorS*w.anchor[k] + gminS*w.was[k]
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
			switch s.piece {
			case pieceDrop:
				w.law(e, 1, -1, -(e.r + shareOhm), -e.e)
			case pieceLimit:
				w.law(e, 0, 0, -weightOhm, -weightOhm*e.lim)
			default:
				w.law(e, 0, 0, -weightOhm, 0)
			}
		case kindValve:
			w.valve(e, s)
		default:
			w.law(e, 0, 0, -1, 0)
		}
		w.a[e.x*w.n+e.x] -= anchorS
		w.rhs[e.x] -= anchorS * w.anchor[e.x]
	}
}

// valve stamps a regulator, converter or charger.
func (w *Workspace) valve(e *element, s *state) {
	// Input current m I, linear about the state, and the part's own.
	ci := s.m + s.i*s.mi
	w.flow(e.a, e.b, e.x, ci)
	w.a[e.a*w.n+e.a] += s.i * s.ma
	w.a[e.a*w.n+e.b] += s.i * s.mb
	c0 := -s.i * (s.ma*s.va + s.mb*s.vb + s.mi*s.i)
	if s.idleFull {
		c0 += e.idle
	} else {
		w.a[e.a*w.n+e.a] += e.idle / idleKneeV
	}
	w.rhs[e.a] -= c0
	switch s.piece {
	case pieceSet:
		w.law(e, 0, -1, -(e.out + shareOhm), -e.set)
	case pieceDrop, piecePass:
		w.law(e, 1, -1, -(e.r + shareOhm), e.drop)
	case pieceLimit:
		if e.conv != convUp {
			w.law(e, 0, 0, -weightOhm, -weightOhm*e.lim)
			return
		}
		w.law(e, -weightOhm*s.i*s.ma, -weightOhm*s.i*s.mb, -weightOhm*ci, -weightOhm*(e.lim+s.i*(s.ma*s.va+s.mb*s.vb+s.mi*s.i)))
	case pieceHold:
		w.law(e, 1, 0, -shareOhm, e.hold)
	case pieceBack:
		w.law(e, 1, -1, -(e.r + shareOhm), -e.back)
	default:
		w.law(e, 0, 0, -weightOhm, 0)
	}
}

// eliminate solves the equations by Gaussian elimination with partial
// pivoting. Most multipliers of a chain are zero and are skipped. It reports
// false for a matrix without a solution.
func (w *Workspace) eliminate() bool {
	n := w.n
	for k := range w.row {
		w.row[k] = k * n
	}
	for k := 0; k < n; k++ {
		p, big := k, math.Abs(w.a[w.row[k]+k])
		for i := k + 1; i < n; i++ {
			if v := math.Abs(w.a[w.row[i]+k]); v > big {
				p, big = i, v
			}
		}
		if !(big > 1e-200) || math.IsInf(big, 1) {
			return false
		}
		w.row[k], w.row[p] = w.row[p], w.row[k]
		w.rhs[k], w.rhs[p] = w.rhs[p], w.rhs[k]
		pivot := w.a[w.row[k]+k : w.row[k]+n]
		for i := k + 1; i < n; i++ {
			r := w.a[w.row[i]+k : w.row[i]+n]
			if r[0] == 0 {
				continue
			}
			f := r[0] / pivot[0]
			for j := 1; j < len(pivot); j++ {
				r[j] -= f * pivot[j]
			}
			w.rhs[i] -= f * w.rhs[k]
		}
	}
	copy(w.was, w.x)
	for k := n - 1; k >= 0; k-- {
		s := w.rhs[k]
		r := w.a[w.row[k] : w.row[k]+n]
		for j := k + 1; j < n; j++ {
			s -= r[j] * w.x[j]
		}
		w.x[k] = s / r[k]
		if math.IsNaN(w.x[k]) || math.IsInf(w.x[k], 0) {
			return false
		}
	}
	return true
}

// Tolerances on the laws at a solution.
const (
	tolV = 1e-10
	tolA = 1e-12
)

func closeA(a, b float64) bool { return math.Abs(a-b) <= tolA+1e-10*math.Abs(b) }

// update moves the states to the solution of the linear equations and reports
// whether every element's own law held there already.
func (w *Workspace) update(anchorS float64) bool {
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
			ok = in && closeA(s.i, lin)
		case kindOneWay:
			var miss float64
			s.piece, miss = e.chooseOneWay(w.volt(e.a), w.volt(e.b), w.x[e.x])
			ok = math.Abs(miss-anchorS*(w.x[e.x]-w.anchor[e.x])) <= tolV
		case kindValve:
			ok = w.moveValve(e, s, anchorS)
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
		return math.Abs(s.u-u) <= tolV
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

func (w *Workspace) moveValve(e *element, s *state, anchorS float64) bool {
	va, inA := w.within(w.volt(e.a))
	vb, inB := w.within(w.volt(e.b))
	i := w.x[e.x]
	in := s.m*i + s.i*(s.ma*(va-s.va)+s.mb*(vb-s.vb)+s.mi*(i-s.i))
	full := s.idleFull
	e.linearise(s, va, vb, i)
	var miss float64
	s.piece, miss = e.choose(va, vb, i)
	miss -= anchorS * (i - w.anchor[e.x])
	return inA && inB && math.Abs(miss) <= tolV && closeA(in, s.m*i) && (full == s.idleFull || math.Abs(va-idleKneeV) < tolV)
}
