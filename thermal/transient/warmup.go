package transient

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A WarmUp is what a record of one exponential warm-up tells: the temperature
// it ends at, its time constant and the thermal resistance, each with the
// standard error that follows from the scatter of the readings. Errors common
// to all readings (a loose thermometer, a wrong wattmeter, a draught) are not
// in them.
type WarmUp struct {
	ThetaKPerW, ThetaErrorKPerW float64 // resistance from the place of the reading to the air
	TauS, TauErrorS             float64 // time constant
	EndC, EndErrorC             float64 // temperature after a long time
	StartC                      float64 // temperature of the curve at the first reading
	ScatterK                    float64 // standard deviation of the readings about the curve
	// SpanRatio is how many time constants the record spans. Below about 2
	// the end is an extrapolation, and the standard errors say so.
	SpanRatio float64
}

// A WarmUpError reports a record that does not determine a time constant.
type WarmUpError struct {
	Problem string // what is wrong
	Missing string // what to measure
}

// Error gives the one-line text.
func (e *WarmUpError) Error() string {
	return "warm-up record: " + e.Problem + ": " + e.Missing
}

var recordTime = limit.Range{Quantity: "time of a reading", Unit: "s", Min: -1e9, Max: 1e9}

// FitWarmUp fits T(t) = Tend - (Tend - Tstart)·exp(-(t - t1)/τ) to readings taken at
// timesS while the part dissipates powerW, above 0 up to 1e5 W, in air at
// ambientC, by least squares, all readings of equal weight; θ is (Tend -
// ambientC)/P. Cooling curves fit as well as warming ones. At least five
// readings at rising times are needed.
//
// A value outside its range is a *stationphysics.RangeError. A record that is
// too short, does not move, or does not bend (which leaves the end open) is a
// *WarmUpError that says what to measure.
func FitWarmUp(timesS, tempsC []float64, ambientC, powerW float64) (WarmUp, error) {
	if len(timesS) != len(tempsC) {
		panic("transient: the slices of times and temperatures differ in length")
	}
	heat := heatPower.Named("power")
	heat.Min = 1e-9
	if err := limit.First(ambientTemp.Check(ambientC), heat.Check(powerW)); err != nil {
		return WarmUp{}, err
	}
	if n := len(timesS); n < 5 {
		return WarmUp{}, &WarmUpError{fmt.Sprintf("%d readings", n), "at least five are needed, better twenty, from switching on until nothing changes"}
	}
	for i, t := range timesS {
		if err := limit.First(recordTime.Check(t), partTemp.Check(tempsC[i])); err != nil {
			return WarmUp{}, fmt.Errorf("reading %d: %w", i+1, err)
		}
		if i > 0 && t <= timesS[i-1] {
			return WarmUp{}, &WarmUpError{fmt.Sprintf("reading %d at %g s is not later than the one before at %g s", i+1, t, timesS[i-1]), "times must rise"}
		}
	}
	f := newWarmFit(timesS, tempsC)
	tau, ok := f.bestTau()
	if !ok {
		return WarmUp{}, &WarmUpError{"the readings do not bend towards an end", "go on until the last tenth of the time changes little, and read more often at the start"}
	}
	return f.result(tau, ambientC, powerW)
}

// A warmFit separates the problem: for a given time constant the two
// temperatures are a straight-line fit over exp(-t/τ), so only τ is searched.
type warmFit struct {
	t, y   []float64
	spanS  float64
	firstS float64
}

func newWarmFit(t, y []float64) *warmFit {
	return &warmFit{t: t, y: y, firstS: t[0], spanS: t[len(t)-1] - t[0]}
}

// line fits y = end + amp·exp(-(t-t0)/τ).
func (f *warmFit) line(tau float64) (end, amp, sse float64) {
	n := float64(len(f.t))
	var se, sy float64
	for i, t := range f.t {
		se += math.Exp(-(t - f.firstS) / tau)
		sy += f.y[i]
	}
	me, my := se/n, sy/n
	var see, sey float64
	for i, t := range f.t {
		d := math.Exp(-(t-f.firstS)/tau) - me
		see += d * d
		sey += d * (f.y[i] - my)
	}
	amp = sey / see
	end = my - amp*me
	for i, t := range f.t {
		r := f.y[i] - end - amp*math.Exp(-(t-f.firstS)/tau)
		sse += r * r
	}
	return end, amp, sse
}

// bestTau scans the logarithm of τ for the smallest sum of squares and refines
// it by golden section. ok is false at either end of the scan: there a straight
// line or a jump fits as well as any exponential.
func (f *warmFit) bestTau() (tau float64, ok bool) {
	const steps = 240
	shortest := math.Inf(1)
	for i := 1; i < len(f.t); i++ {
		shortest = math.Min(shortest, f.t[i]-f.t[i-1])
	}
	lo, hi := math.Log(shortest/5), math.Log(f.spanS*20)
	at := func(k int) float64 { return lo + (hi-lo)*float64(k)/steps }
	best, bestSSE := 0, math.Inf(1)
	for k := range steps + 1 {
		if _, _, sse := f.line(math.Exp(at(k))); sse < bestSSE {
			best, bestSSE = k, sse
		}
	}
	if best == 0 || best == steps {
		return 0, false
	}
	const golden = 0.6180339887498949 // (√5 - 1)/2
	a, b := at(best-1), at(best+1)
	sse := func(x float64) float64 { _, _, s := f.line(math.Exp(x)); return s }
	x1, x2 := b-golden*(b-a), a+golden*(b-a)
	s1, s2 := sse(x1), sse(x2)
	for b-a > 1e-9 {
		if s1 < s2 {
			b, x2, s2 = x2, x1, s1
			x1 = b - golden*(b-a)
			s1 = sse(x1)
		} else {
			a, x1, s1 = x1, x2, s2
			x2 = a + golden*(b-a)
			s2 = sse(x2)
		}
	}
	return math.Exp((a + b) / 2), true
}

// result adds the standard errors: the inverse of JᵀJ for end, amplitude and τ.
func (f *warmFit) result(tau, ambientC, powerW float64) (WarmUp, error) {
	end, amp, sse := f.line(tau)
	n := float64(len(f.t))
	var m [3][3]float64
	for _, t := range f.t {
		x := (t - f.firstS) / tau
		e := math.Exp(-x)
		j := [3]float64{1, e, amp * e * x / tau}
		for a := range 3 {
			for b := range 3 {
				m[a][b] += j[a] * j[b]
			}
		}
	}
	variance := sse / (n - 3)
	cof := func(a, b int) float64 {
		r, s := (a+1)%3, (a+2)%3
		p, q := (b+1)%3, (b+2)%3
		return m[r][p]*m[s][q] - m[r][q]*m[s][p]
	}
	det := m[0][0]*cof(0, 0) + m[0][1]*cof(0, 1) + m[0][2]*cof(0, 2)
	scatter := math.Sqrt(variance)
	// A movement lost in the scatter gives a time constant of the noise.
	if !(det > 0) || !(math.Abs(amp) > 2*scatter) {
		return WarmUp{}, &WarmUpError{"the temperature does not move enough to be told from the scatter", "start the record at switching on, with the part at ambient temperature"}
	}
	endErr := math.Sqrt(variance * cof(0, 0) / det)
	tauErr := math.Sqrt(variance * cof(2, 2) / det)
	return WarmUp{
		ThetaKPerW: (end - ambientC) / powerW, ThetaErrorKPerW: endErr / powerW,
		TauS: tau, TauErrorS: tauErr,
		EndC: end, EndErrorC: endErr,
		StartC:    end + amp,
		ScatterK:  scatter,
		SpanRatio: f.spanS / tau,
	}, nil
}
