package chain

import "math"

const (
	returnNode = -1   // the common return among node indices
	floorOhm   = 1e-3 // below it a resistance is carried by its current
	unboundedV = 1e6  // a set voltage that the input limits
	// gminS holds a cut-off node near where it was while the solution is sought.
	// leakS then leads it to the return, so that what is cut off from everything
	// reads zero; at 20 V it takes 40 pW.
	gminS = 1e-12
	leakS = 1e-13
	// shareOhm lets two sources of equal set voltage share a load; at 10 A it
	// moves a voltage by 10 nV.
	shareOhm = 1e-9
	// weightOhm weighs amperes against volts when a piece is chosen away from a
	// solution. Large, so that a current that should merely shrink is not cut off.
	weightOhm = 100
	idleKneeV = 1.0 // input at which a regulator draws its full own current
)

// inf stands for a limit that there is not.
var inf = math.Inf(1)

type kind uint8

const (
	kindOpen        kind = iota
	kindConductance      // I = g (Va − Vb)
	kindBranch           // Va − Vb + e = r I
	kindOneWay           // as kindBranch with 0 ≤ I ≤ lim
	kindDiode            // Shockley's law with r
	kindCurrent          // I = e, from a to b
	kindCurve            // I(Vb) of a source
	kindValve            // regulator, converter, charger: I at b, m I + idle at a
	kindLoadCurrent      // I = e above set, proportional below
	kindLoadPower        // I = e / Va above set, proportional below
	kindSink             // r from a to the return; b is left open
)

type conv uint8

const (
	convNone conv = iota // input current equals output current
	convDown
	convUp
)

// An element is the elementary form of a part. Current I counts from a to b.
type element struct {
	kind       kind
	conv       conv
	a, b       int // nodes
	x          int // its current among the unknowns, or -1
	g, r, e    float64
	sat, vt    float64
	set, out   float64 // set voltage and output resistance
	drop       float64 // headroom
	lim, hold  float64
	idle, back float64
	eff        float64
	effAt      func(float64) float64
	curve      Curve
}

func (e *element) needsCurrent() bool {
	return e.kind == kindBranch || e.kind == kindOneWay || e.kind == kindValve
}

// A piece is the branch of a piecewise law that holds at the moment.
type piece uint8

const (
	pieceOff   piece = iota
	pieceSet         // the output is held
	pieceDrop        // out of headroom
	pieceLimit       // current limit
	pieceHold        // the input is held
	pieceBack        // current flows backwards
	piecePass        // step-up part not stepping up
	pieces
)

// A state is the point at which an element is linearised.
type state struct {
	piece      piece
	idleFull   bool
	u, i, g    float64         // two-terminal laws: voltage, current, slope
	va, vb     float64         // valves
	share      [pieces]float64 // of each piece in a blended law
	miss       float64         // the blended law at this point
	m          float64         // input current / output current
	ma, mb, mi float64         // its derivatives
}

// omega is Wright's function, the w with w + ln w = x, by one step of
// Fritsch, Shafer and Crowley (Comm. ACM 16 (1973) 123), repeated.
func omega(x float64) float64 {
	var w float64
	switch {
	case x < -30:
		return math.Exp(x) // w = exp(x − w), and w < 1e-13
	case x < -2:
		w = math.Exp(x)
		w = math.Exp(x - w)
	case x < 1:
		w = math.Exp((x - 1) * (2.0 / 3))
	default:
		w = x - math.Log(x)
	}
	for range 2 {
		r := x - w - math.Log(w)
		t := 1 + w
		q := t * (t + r*(2.0/3))
		w *= 1 + r/t*(q-0.5*r)/(q-r)
	}
	return w
}

// diodeA is the diode's current at the voltage u across it.
func (e *element) diodeA(u float64) float64 {
	if e.r == 0 {
		return e.sat * math.Expm1(math.Min(u/e.vt, 600))
	}
	return e.vt/e.r*omega((u+e.sat*e.r)/e.vt+math.Log(e.sat*e.r/e.vt)) - e.sat
}

// diodeV is the voltage across the diode at a current above −sat.
func (e *element) diodeV(i float64) float64 { return e.vt*math.Log1p(i/e.sat) + e.r*i }

// efficiency at an output current.
func (e *element) efficiency(i float64) float64 {
	if e.effAt == nil {
		return e.eff
	}
	eta := e.effAt(math.Max(i, 1e-9))
	if !(eta > 0.01) {
		return 0.01 // also for NaN: the curve was checked by decades only
	}
	return math.Min(eta, 1)
}

// inputRatio is the input current over the output current: what carries the
// output power at the efficiency, at most one for a step-down part and at least
// one for a step-up part. A step-up part that passes its input through takes no
// more than it gives; it steps up in full once its output exceeds its input.
func (e *element) inputRatio(va, vb, i float64) float64 {
	if e.conv == convNone || i <= 0 {
		return 1
	}
	if e.conv == convDown {
		q := e.efficiency(i) * va
		if q <= vb {
			return 1
		}
		return math.Max(vb, 0) / q
	}
	q := vb / (e.efficiency(i) * math.Max(va, 0.5*e.hold))
	return 1 + e.stepping(va, vb)*math.Max(0, q-1)
}

// stepping goes from none at the pass-through voltage to one where the output
// equals the input.
func (e *element) stepping(va, vb float64) float64 {
	return math.Max(0, math.Min(1, 1+(vb-va)/e.rampV()))
}

func (e *element) rampV() float64 { return math.Max(e.drop, 0.1) }

// linearise sets the state of a valve at the given point. The derivatives of
// the ratio are zero where it is one.
func (e *element) linearise(s *state, va, vb, i float64) {
	s.va, s.vb, s.i = va, vb, i
	s.ma, s.mb, s.mi = 0, 0, 0
	s.m = e.inputRatio(va, vb, i)
	s.idleFull = va > idleKneeV
	if s.m == 1 || s.m == 0 {
		return
	}
	t, q := 1.0, s.m
	if e.conv == convUp {
		t = e.stepping(va, vb)
		q = 1 + (s.m-1)/t
		if t < 1 {
			s.mb = (q - 1) / e.rampV()
			s.ma = -s.mb
		}
	}
	s.mb += t * q / vb
	if va > 0.5*e.hold || e.conv == convDown {
		s.ma -= t * q / va
	}
	if e.effAt != nil {
		h := 1e-4 * i
		s.mi = (e.inputRatio(va, vb, i+h) - e.inputRatio(va, vb, i-h)) / (2 * h)
	}
}

// slow drops the slopes that make constant power hard to solve: the current
// falling with the voltage.
func (s *state) slow(lag bool) {
	if lag {
		s.g = math.Max(s.g, 0)
		s.ma, s.mb, s.mi = 0, 0, 0
	}
}

// law gives a piece as the linear law ca Va + cb Vb + ci I = rhs. The left side
// less the right is the piece's slack: by how much it still lets the current
// grow, in volts; a lack of current is weighed by weightOhm.
func (e *element) law(p piece, s *state) (ca, cb, ci, rhs float64) {
	switch p {
	case pieceSet:
		return 0, -1, -(e.out + shareOhm), -e.set
	case pieceDrop, piecePass:
		return 1, -1, -(e.r + shareOhm), e.drop
	case pieceLimit:
		if e.conv != convUp {
			return 0, 0, -weightOhm, -weightOhm * e.lim
		}
		// The limit is on the input current m I, linear about the state.
		q := weightOhm * s.i
		return -q * s.ma, -q * s.mb, -weightOhm * (s.m + s.i*s.mi), -weightOhm*e.lim - q*(s.ma*s.va+s.mb*s.vb+s.mi*s.i)
	case pieceHold:
		return 1, 0, -shareOhm, e.hold
	case pieceBack:
		return 1, -1, -(e.r + shareOhm), -e.back
	default:
		return 0, 0, -weightOhm, 0
	}
}

func (e *element) slack(p piece, s *state, va, vb, i float64) float64 {
	ca, cb, ci, rhs := e.law(p, s)
	return ca*va + cb*vb + ci*i - rhs
}

// lower is the smaller of two slacks and the share of the first in it, upper
// the larger. With a positive blendV they are smoothed (Chen, Harker, Kanzow
// and Smale's function: Comput. Optim. Appl. 2 (1993) 97).
func lower(a, b, blendV float64) (v, shareA float64) {
	if blendV == 0 {
		if b < a {
			return b, 0
		}
		return a, 1
	}
	d := math.Sqrt((a-b)*(a-b) + 4*blendV*blendV)
	return 0.5 * (a + b - d), 0.5 * (1 - (a-b)/d)
}

func upper(a, b, blendV float64) (v, shareA float64) {
	v, shareA = lower(-a, -b, blendV)
	return -v, shareA
}

// choose finds the pieces of a valve or one-way branch that hold at a point,
// and the residual of the law there: zero at a solution. The current is as
// large as the tightest of its limits allows, and not negative unless the part
// feeds back.
func (e *element) choose(s *state, va, vb, i, blendV float64) {
	if blendV == 0 {
		e.chooseSharp(s, va, vb, i)
		return
	}
	s.share = [pieces]float64{}
	var m, w float64
	tighten := func(q piece) {
		m, w = lower(m, e.slack(q, s, va, vb, i), blendV)
		for k := range s.share {
			s.share[k] *= w
		}
		s.share[q] = 1 - w
	}
	first := pieceSet
	if e.kind == kindOneWay {
		first = pieceDrop
	}
	m = e.slack(first, s, va, vb, i)
	s.share[first] = 1
	if e.kind == kindValve && e.conv != convUp {
		tighten(pieceDrop)
	}
	if e.lim != inf {
		tighten(pieceLimit)
	}
	if e.kind == kindValve && e.hold != -inf {
		tighten(pieceHold)
	}
	if e.conv == convUp {
		m, w = upper(m, e.slack(piecePass, s, va, vb, i), blendV)
		for k := range s.share {
			s.share[k] *= w
		}
		s.share[piecePass] = 1 - w
	}
	low, wOff := e.slack(pieceOff, s, va, vb, i), 1.0
	if e.kind == kindValve && e.back != inf {
		low, wOff = lower(low, e.slack(pieceBack, s, va, vb, i), blendV)
	}
	m, w = upper(m, low, blendV)
	for k := range s.share {
		s.share[k] *= w
	}
	s.share[pieceOff] = (1 - w) * wOff
	s.share[pieceBack] = (1 - w) * (1 - wOff)
	s.miss = m
	s.piece = pieceOff
	for k := range s.share {
		if s.share[k] > s.share[s.piece] {
			s.piece = piece(k)
		}
	}
}

// chooseSharp is choose without a blend: one piece holds, and its slack is the
// residual.
func (e *element) chooseSharp(s *state, va, vb, i float64) {
	p := pieceSet
	if e.kind == kindOneWay {
		p = pieceDrop
	}
	m := e.slack(p, s, va, vb, i)
	tighten := func(q piece) {
		if t := e.slack(q, s, va, vb, i); t < m {
			m, p = t, q
		}
	}
	if e.kind == kindValve && e.conv != convUp {
		tighten(pieceDrop)
	}
	if e.lim != inf {
		tighten(pieceLimit)
	}
	if e.kind == kindValve && e.hold != -inf {
		tighten(pieceHold)
	}
	if e.conv == convUp {
		if t := e.slack(piecePass, s, va, vb, i); t > m {
			m, p = t, piecePass
		}
	}
	low, q := -weightOhm*i, pieceOff
	if e.kind == kindValve && e.back != inf {
		if t := e.slack(pieceBack, s, va, vb, i); t < low {
			low, q = t, pieceBack
		}
	}
	if low > m {
		m, p = low, q
	}
	s.miss, s.piece = m, p
}

// loadA is the current of a load at its node's voltage, and its slope.
func (e *element) loadA(v float64) (i, g float64) {
	switch {
	case e.kind == kindLoadCurrent && v >= e.set:
		return e.e, 0
	case e.kind == kindLoadCurrent:
		return e.e * v / e.set, e.e / e.set
	case v >= e.set:
		return e.e / v, -e.e / (v * v)
	default:
		g = e.e / (e.set * e.set)
		return g * v, g
	}
}

// curveA is the current of a source by curve, and by how much it falls per
// volt.
func (e *element) curveA(v float64) (i, g float64) {
	h := 1e-6 * math.Max(1, math.Abs(v))
	i = e.curve.CurrentA(v)
	g = (e.curve.CurrentA(v-h) - e.curve.CurrentA(v+h)) / (2 * h)
	return i, math.Max(g, 0)
}
