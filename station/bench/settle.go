package bench

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Settling says whether a row was read after its temperatures had come to rest.
type Settling uint8

// What is known of a row's settling.
const (
	SettlingUnknown Settling = iota
	Settled                  // within half a kelvin of its end
	NotSettled
)

var settlingText = [...]string{"cannot tell", "settled", "not settled"}

// String gives it in words.
func (s Settling) String() string {
	if int(s) < len(settlingText) {
		return settlingText[s]
	}
	return "?"
}

// settledWithinK is what counts as come to rest.
const settledWithinK = 0.5

// leastGainK2 is the least gain in squared kelvins, summed over the rows, that a
// time constant must bring: less is lost in any thermometer's resolution.
const leastGainK2 = 0.01

// A Cooling is what the table says of the way of the heat from the tab to the
// room, assuming one time constant and a cold start.
type Cooling struct {
	Rows                     int     // rows used; the rest is NaN below 2
	CaseAmbientKPerW         float64 // resistance from tab to room
	CaseAmbientErrKPerW      float64 // its standard error, from the scatter or the thermometers, whichever is more
	TrueHighKPerW            float64 // largest true value behind the stated contact error, which scales all readings alike and so cannot be seen in them
	TauKnown                 bool    // the table tells the time constant
	TauS                     float64 // time constant, NaN if not known
	InterceptK               float64 // rise at no power of a straight line through the rows; NaN below 3 rows
	InterceptErrK            float64 // its standard error
	ScatterK                 float64 // of the tab readings about the fit
	JunctionAmbientLowKPerW  float64 // lower end, with the resistance from junction to case added
	JunctionAmbientHighKPerW float64 // its upper end
}

// thermalRow is a row that can be used for the cooling.
type thermalRow struct {
	index         int
	riseK, powerW float64
	dwellS        float64
}

// fitCooling fits rise[k] = θ·b[k] with b[k] = a·b[k-1] + (1-a)·P[k],
// a = exp(-dwell[k]/τ): each row starts where the last one ended, the first in a
// part at room temperature. For a given τ this is linear in θ; τ is searched,
// and taken as known only if leaving it out (every row settled) is worse at the
// 95 % level of an F test.
func (b *Bench) fitCooling(rows []thermalRow) Cooling {
	nan := math.NaN()
	c := Cooling{Rows: len(rows), CaseAmbientKPerW: nan, CaseAmbientErrKPerW: nan, TrueHighKPerW: nan, TauS: nan,
		InterceptK: nan, InterceptErrK: nan, ScatterK: nan, JunctionAmbientLowKPerW: nan, JunctionAmbientHighKPerW: nan}
	if len(rows) < 2 {
		return c
	}
	base := make([]float64, len(rows))
	theta, sse := fitTheta(rows, 0, base)
	dof := float64(len(rows) - 1)
	if tau, better, ok := searchTau(rows, base); ok && len(rows) >= 4 {
		d2 := float64(len(rows) - 2)
		f := (sse - better) / (better / d2) // +Inf without scatter
		if f > (distuv.F{D1: 1, D2: d2}).Quantile(0.95) && sse-better > leastGainK2 {
			c.TauKnown, c.TauS, dof = true, tau, d2
			theta, sse = fitTheta(rows, tau, base)
		}
	}
	if !c.TauKnown {
		fitTheta(rows, 0, base)
	}
	c.CaseAmbientKPerW = theta
	c.ScatterK = math.Sqrt(sse / dof)
	sbb := 0.0
	for _, x := range base {
		sbb += x * x
	}
	reading := math.Hypot(b.m.TabK, b.m.RoomK) / math.Sqrt(3)
	// The thermometers' errors are common to all rows and do not average out.
	byScatter, byReading := c.ScatterK/math.Sqrt(sbb), reading*mean(base)*float64(len(base))/sbb
	c.CaseAmbientErrKPerW = math.Max(byScatter, byReading)
	c.TrueHighKPerW = theta / (1 - b.m.ContactErrorRatio)
	if b.p.JunctionCaseHighKPerW > 0 {
		c.JunctionAmbientLowKPerW = theta - 2*c.CaseAmbientErrKPerW + b.p.JunctionCaseLowKPerW
		c.JunctionAmbientHighKPerW = c.TrueHighKPerW + 2*c.CaseAmbientErrKPerW + b.p.JunctionCaseHighKPerW
	}
	c.InterceptK, c.InterceptErrK = intercept(rows, base)
	return c
}

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// fitTheta fills base with the rise for 1 K/W and fits the factor.
func fitTheta(rows []thermalRow, tauS float64, base []float64) (theta, sse float64) {
	last, by, bb := 0.0, 0.0, 0.0
	for k, r := range rows {
		a := 0.0
		if tauS > 0 {
			a = math.Exp(-r.dwellS / tauS)
		}
		last = a*last + (1-a)*r.powerW
		base[k] = last
		by += last * r.riseK
		bb += last * last
	}
	theta = by / bb
	for k, r := range rows {
		d := r.riseK - theta*base[k]
		sse += d * d
	}
	return theta, sse
}

// searchTau looks for the time constant of least squares between a tenth of the
// shortest dwell and three times their sum. ok is false without dwells, and at
// the long end, where only the product of θ and 1/τ is determined.
func searchTau(rows []thermalRow, base []float64) (tauS, sse float64, ok bool) {
	shortest, sum := inf, 0.0
	for _, r := range rows {
		if !(r.dwellS > 0) {
			return
		}
		shortest = math.Min(shortest, r.dwellS)
		sum += r.dwellS
	}
	const steps = 200
	lo, hi := math.Log(shortest/10), math.Log(3*sum)
	best, at := inf, -1
	for k := range steps + 1 {
		if _, s := fitTheta(rows, math.Exp(lo+(hi-lo)*float64(k)/steps), base); s < best {
			best, at = s, k
		}
	}
	if at <= 0 || at == steps {
		return
	}
	// Two thirds of the bracket survive each step of this ternary search.
	a, b := lo+(hi-lo)*float64(at-1)/steps, lo+(hi-lo)*float64(at+1)/steps
	for b-a > 1e-7 {
		x, y := a+(b-a)/3, b-(b-a)/3
		_, sx := fitTheta(rows, math.Exp(x), base)
		_, sy := fitTheta(rows, math.Exp(y), base)
		if sx < sy {
			b = y
		} else {
			a = x
		}
	}
	tauS = math.Exp((a + b) / 2)
	_, sse = fitTheta(rows, tauS, base)
	return tauS, sse, true
}

// intercept fits rise = c + θ·base and returns c with its standard error.
func intercept(rows []thermalRow, base []float64) (k, errK float64) {
	n := float64(len(rows))
	if n < 3 {
		return math.NaN(), math.NaN()
	}
	mb, my := mean(base), 0.0
	for _, r := range rows {
		my += r.riseK / n
	}
	var sbb, sby, sse float64
	for i, r := range rows {
		sbb += (base[i] - mb) * (base[i] - mb)
		sby += (base[i] - mb) * (r.riseK - my)
	}
	slope := sby / sbb
	k = my - slope*mb
	for i, r := range rows {
		d := r.riseK - k - slope*base[i]
		sse += d * d
	}
	return k, math.Sqrt(sse / (n - 2) * (1/n + mb*mb/sbb))
}
