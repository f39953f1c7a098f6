package wind

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

var (
	offsetRange = limit.Range{Quantity: "offset of the cup", Unit: "m/s", Min: -1, Max: 3}
	slopeRange  = limit.Range{Quantity: "slope of the cup", Unit: "m/s per Hz", Min: 0.01, Max: 10}
	freqRange   = limit.Range{Quantity: "pulse frequency", Unit: "Hz", Min: 0, Max: 10000}
	speedRange  = limit.Range{Quantity: "wind speed", Unit: "m/s", Min: 0, Max: 110, Slips: []limit.Slip{{Min: 110, Max: 400, Looks: "km/h"}}}
	countRange  = limit.Range{Quantity: "number of calibration points", Min: 3, Max: 1e6}
	windowRange = limit.Range{Quantity: "counting window", Unit: "s", Min: 1e-3, Max: 86400}
)

// A Cup turns the pulse frequency of a cup anemometer into wind speed,
// U = a + b f (IEC 61400-12-1 annex F and ISO 17713-1 calibrate cups by this
// line; from memory). The zero value is no cup: its speeds are NaN.
type Cup struct{ offset, slope float64 }

// NewCup makes a cup from offset a, -1..3 m/s, and slope b, 0.01..10 m/s per
// Hz. The slope is the metres of air that pass in one pulse. The error is a
// *stationphysics.RangeError.
func NewCup(offsetMPerS, slopeMPerSPerHz float64) (Cup, error) {
	if err := limit.First(offsetRange.Check(offsetMPerS), slopeRange.Check(slopeMPerSPerHz)); err != nil {
		return Cup{}, err
	}
	return Cup{offsetMPerS, slopeMPerSPerHz}, nil
}

// OffsetMPerS returns a.
func (c Cup) OffsetMPerS() float64 { return c.offset }

// SlopeMPerSPerHz returns b.
func (c Cup) SlopeMPerSPerHz() float64 { return c.slope }

// SpeedMPerS returns the wind speed at a pulse frequency of 0..10000 Hz, NaN
// outside. A cup that does not turn says nothing but that the wind is below
// its start: the result is 0, not the offset. A negative result near the foot
// of the line is 0.
func (c Cup) SpeedMPerS(frequencyHz float64) float64 {
	if !freqRange.Holds(frequencyHz) || c.slope == 0 {
		return math.NaN()
	}
	if frequencyHz == 0 {
		return 0
	}
	return math.Max(0, c.offset+c.slope*frequencyHz)
}

// CountMPerS returns the speed for a number of pulses counted in a window of
// 0.001..86400 s; NaN outside or for a negative count.
func (c Cup) CountMPerS(pulses int, windowS float64) float64 {
	if pulses < 0 || !windowRange.Holds(windowS) {
		return math.NaN()
	}
	return c.SpeedMPerS(float64(pulses) / windowS)
}

// PeriodMPerS returns the speed from period timing: the time between the first
// and the last of a number of pulses, at least two. It has no quantum, where
// counting has QuantumMPerS. NaN for fewer pulses or a span that is not above
// 0.
func (c Cup) PeriodMPerS(pulses int, spanS float64) float64 {
	if pulses < 2 {
		return math.NaN()
	}
	// A span that is not above 0 makes a frequency that is refused there.
	return c.SpeedMPerS(float64(pulses-1) / spanS)
}

// QuantumMPerS is the step of a speed that is counted in a window: one pulse
// more or less. A quarter of a second suits a gust's samples only with period
// timing. NaN for a window outside 0.001..86400 s and for the zero Cup.
func (c Cup) QuantumMPerS(windowS float64) float64 {
	if !windowRange.Holds(windowS) || c.slope == 0 {
		return math.NaN()
	}
	return c.slope / windowS
}

// LargestMPerS is the highest speed that can be read with pulses ignored for
// ignoreS seconds after each one, against contact bounce: an ignore time that
// is too long caps the wind. +Inf for 0, NaN below.
func (c Cup) LargestMPerS(ignoreS float64) float64 {
	if !(ignoreS >= 0) || c.slope == 0 {
		return math.NaN()
	}
	return c.offset + c.slope/ignoreS
}

// StartMPerS scales a cup's starting speed to another air density: friction
// stays while the torque of the wind goes with density times speed squared, so
// the start goes with the root of 1.225 over the density (balance of torques;
// 1.225 kg/m3 is the standard atmosphere at sea level). The slope hardly
// changes: a cup measures speed, not pressure. startMPerS 0..5 m/s at 1.225,
// density 0.5..1.7 kg/m3; NaN outside.
func StartMPerS(startMPerS, densityKgPerM3 float64) float64 {
	if !(startMPerS >= 0 && startMPerS <= 5) || !(densityKgPerM3 >= 0.5 && densityKgPerM3 <= 1.7) {
		return math.NaN()
	}
	return startMPerS * math.Sqrt(1.225/densityKgPerM3)
}

// A CupPoint is one point of a calibration beside a reference.
type CupPoint struct {
	FrequencyHz float64 // 0..10000
	SpeedMPerS  float64 // of the reference, 0..110
}

// A CupFit is a line through calibration points and how well it fits.
type CupFit struct {
	Cup                  Cup
	OffsetErrorMPerS     float64 // standard error of a
	SlopeErrorMPerSPerHz float64 // standard error of b
	CovarianceRatio      float64 // correlation of a and b, -1..1
	ScatterMPerS         float64 // standard deviation of the residuals, n-2 degrees of freedom
	LargestMPerS         float64 // residual of largest size, with its sign
	LargestAt            int     // its point
	Bent                 bool    // the residuals bend: a second-order term is significant at 95 %, the line does not hold; told from five points on
}

// FitCup fits U = a + b f by least squares to at least three points (JCGM
// 100:2008, H.3, gives the same formulas). Errors are a
// *stationphysics.RangeError for a value out of range or too few points, and a
// *stationphysics.ConflictError if all frequencies are the same.
func FitCup(points []CupPoint) (CupFit, error) {
	if err := countRange.Check(float64(len(points))); err != nil {
		return CupFit{}, err
	}
	n := float64(len(points))
	mf, mu := 0.0, 0.0
	lo, hi := points[0].FrequencyHz, points[0].FrequencyHz
	for _, p := range points {
		if err := limit.First(freqRange.Check(p.FrequencyHz), speedRange.Check(p.SpeedMPerS)); err != nil {
			return CupFit{}, err
		}
		lo, hi = min(lo, p.FrequencyHz), max(hi, p.FrequencyHz)
		mf += p.FrequencyHz / n
		mu += p.SpeedMPerS / n
	}
	var sff, sfu float64
	for _, p := range points {
		d := p.FrequencyHz - mf
		sff += d * d
		sfu += d * (p.SpeedMPerS - mu)
	}
	if sff <= 1e-18*n*mf*mf { // rounding alone
		return CupFit{}, &stationphysics.ConflictError{
			Quantities: []string{"lowest frequency", "highest frequency"}, Values: []float64{lo, hi}, Units: []string{"Hz", "Hz"},
			Rule: "a line needs points at different speeds",
		}
	}
	b := sfu / sff
	a := mu - b*mf
	cup, err := NewCup(a, b)
	if err != nil {
		return CupFit{}, err
	}
	fit := CupFit{Cup: cup}
	rss, sum2 := 0.0, 0.0
	for i, p := range points {
		r := p.SpeedMPerS - a - b*p.FrequencyHz
		rss += r * r
		sum2 += p.FrequencyHz * p.FrequencyHz
		if math.Abs(r) > math.Abs(fit.LargestMPerS) {
			fit.LargestMPerS, fit.LargestAt = r, i
		}
	}
	s2 := rss / (n - 2)
	fit.ScatterMPerS = math.Sqrt(s2)
	fit.SlopeErrorMPerSPerHz = math.Sqrt(s2 / sff)
	fit.OffsetErrorMPerS = math.Sqrt(s2 * sum2 / (n * sff))
	fit.CovarianceRatio = -mf * n / math.Sqrt(n*sum2)
	fit.Bent = bent(points, mf, sff, rss)
	return fit, nil
}

// bent tests a second-order term, orthogonal to the line, by the F test with 1
// and n-3 degrees of freedom at 95 %.
func bent(points []CupPoint, mf, sff, rss float64) bool {
	n := float64(len(points))
	if n < 5 {
		return false
	}
	m3 := 0.0
	for _, p := range points {
		d := p.FrequencyHz - mf
		m3 += d * d * d
	}
	var qq, qu, uu float64
	for _, p := range points {
		uu += p.SpeedMPerS * p.SpeedMPerS
		d := p.FrequencyHz - mf
		q := d*d - sff/n - m3/sff*d
		qq += q * q
		qu += q * p.SpeedMPerS
	}
	// At two frequencies no bend shows: q is then nothing but rounding.
	if qq <= 1e-18*sff*sff/n {
		return false
	}
	// Nor where the points lie on the line to all but rounding.
	if rss <= 1e-24*uu {
		return false
	}
	gain := qu * qu / qq
	left := math.Max(rss-gain, 0) / (n - 3)
	return gain > f95(n-3)*left
}

// f95 approximates the 95 % point of F with 1 and v degrees of freedom by the
// square of Student's t, t95(v) = 1.96 + 2.37/v + 2.82/v² + 2.56/v³ (expansion of
// Abramowitz & Stegun 26.7.5; t within 1 % from v = 3, 3 % at v = 2).
func f95(v float64) float64 {
	t := 1.96 + 2.37/v + 2.82/(v*v) + 2.56/(v*v*v)
	return t * t
}
