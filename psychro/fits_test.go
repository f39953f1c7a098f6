package psychro

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

func TestPolynomialsAreWhatTheyWereFittedTo(t *testing.T) {
	refdata.Each(t, "psychro/fits", func(r *refdata.Row) {
		c := r.F("tempC")
		call := fmt.Sprintf("at %g °C", c)
		aa, aw, ww := second(reduced(c))
		r.Check("baaPerHPa", aa, call)
		r.Check("bawPerHPa", aw, call)
		r.Check("bwwPerHPa", ww, call)
		ha, _ := airEnthalpy(c)
		hv, _ := vapourEnthalpy(c)
		r.Check("airJPerMol", ha, call)
		r.Check("vapourJPerMol", hv, call)
		l := math.Log1p(c / kelvin)
		r.Check("airJPerMolK", airEntropy(c, l), call)
		r.Check("vapourJPerMolK", vapourEntropy(c, l), call)
		hw, _ := condensedEnthalpy(Water, c, 1000)
		hi, _ := condensedEnthalpy(Ice, c, 1000)
		r.Check("waterJPerMol", hw, call)
		r.Check("iceJPerMol", hi, call)
	})
}

// TestSlopesOfThePolynomials compares each derivative that is written out with
// the difference of its function.
func TestSlopesOfThePolynomials(t *testing.T) {
	near := func(name string, f func(float64) float64, got, at, h float64) {
		want := difference(f, at, h)
		require.InDelta(t, want, got, 5e-7*math.Abs(want)+1e-16, "%s at %g", name, at)
	}
	three := func(f func(float64) (a, b, c float64), i int) func(float64) float64 {
		return func(z float64) float64 { a, b, c := f(z); return [...]float64{a, b, c}[i] }
	}
	four := func(f func(float64) (a, b, c, d float64), i int) func(float64) float64 {
		return func(z float64) float64 { a, b, c, d := f(z); return [...]float64{a, b, c, d}[i] }
	}
	for _, z := range []float64{-0.25, -0.1, 0.03, 0.2, 0.4} {
		for i := range 3 {
			near("secondZ", three(second, i), three(secondZ, i)(z), z, 1e-2)
			near("secondZZ", three(secondZ, i), three(secondZZ, i)(z), z, 1e-2)
		}
		for i := range 4 {
			near("thirdZ", four(third, i), four(thirdZ, i)(z), z, 1e-2)
			near("thirdZZ", four(thirdZ, i), four(thirdZZ, i)(z), z, 1e-2)
		}
		for _, over := range []Phase{Water, Ice} {
			for _, x := range []float64{0, 0.02, 0.4} {
				near("enhancementZ", func(z float64) float64 { return enhancementAt(over, z, 1000).ln(x) }, enhancementZ(over, z, 1000).ln(x), z, 1e-2)
				near("lnX", func(x float64) float64 { return enhancementAt(over, z, 1000).ln(x) }, enhancementAt(over, z, 1000).lnX(x), x, 1e-2)
			}
		}
	}
	for _, c := range []float64{-80, -20, 5, 60, 95} {
		ha := func(c float64) float64 { h, _ := airEnthalpy(c); return h }
		hv := func(c float64) float64 { h, _ := vapourEnthalpy(c); return h }
		_, a1 := airEnthalpy(c)
		_, v1 := vapourEnthalpy(c)
		near("airEnthalpy", ha, a1, c, 0.5)
		near("vapourEnthalpy", hv, v1, c, 0.5)
		for _, over := range []Phase{Water, Ice} {
			_, h1 := condensedEnthalpy(over, c, 900)
			near("condensedEnthalpy", func(c float64) float64 { h, _ := condensedEnthalpy(over, c, 900); return h }, h1, c, 0.5)
			near("by pressure", func(p float64) float64 { h, _ := condensedEnthalpy(over, c, p); return h }, condensedByPressure(over), 900, 50)
		}
	}
	// Below -25 °C liquid water goes on with the slope it has there.
	a, _ := condensedEnthalpy(Water, -30, 1000)
	b, s := condensedEnthalpy(Water, -25, 1000)
	require.InDelta(t, b-5*s, a, 1e-9)
}

// TestStartsAreAsGoodAsTheySay holds the starts of the iterations to the quality
// that the comments state and that the bounds of the steps rely on.
func TestStartsAreAsGoodAsTheySay(t *testing.T) {
	quality := func(over Phase, n int, lo, hi float64) (worst []float64) {
		for i := range n {
			w := 0.0
			for k := range 400 {
				l := lo + (hi-lo)*(float64(i)+(float64(k)+0.5)/400)/float64(n)
				w = math.Max(w, math.Abs(guess(over, l)-saturationTemperature(over, l)))
			}
			worst = append(worst, w)
		}
		return worst
	}
	for i, w := range quality(Water, 12, lnWaterLow, lnWaterHigh) {
		require.InEpsilon(t, []float64{3.4e-7, 6.6e-7, 5.3e-7, 8.2e-7, 8.0e-7, 1.9e-6, 1.2e-5, 5.6e-6, 3.5e-5, 2.0e-5, 6.7e-5, 1.9e-4}[i], w, 0.12, "water %d", i)
	}
	for i, w := range quality(Ice, 8, lnIceLow, lnIceHigh) {
		require.InEpsilon(t, []float64{2.5e-5, 3.6e-5, 5.4e-5, 8.4e-5, 1.36e-4, 2.3e-4, 4.3e-4, 8.9e-4}[i], w, 0.12, "ice %d", i)
	}
	r := rand.New(rand.NewPCG(9, 9))
	var sum [2]float64
	var n [2]int
	for range 6000 {
		c, rh, p := drawAir(r)
		s, err := New(c, rh, p)
		if err != nil || s.x > 0.4 {
			continue
		}
		for _, over := range []Phase{Water, Ice} {
			b := s.balance(over)
			root := b.solve(b.start())
			if over == Ice && root > 0.5 || root < -45 {
				continue
			}
			d := b.start() - root
			require.Less(t, math.Abs(d), 1.4, "%v %v %v over %v", c, rh, p, over)
			if math.Abs(root) < 2 {
				require.Less(t, math.Abs(d), 1.0, "near 0 °C: %v %v %v over %v", c, rh, p, over)
			}
			sum[over] += d * d
			n[over]++
		}
	}
	// Over these airs the surfaces miss by 0.19 and 0.08 K.
	require.InDelta(t, 0.188585979, math.Sqrt(sum[Water]/float64(n[Water])), 2e-8)
	require.InDelta(t, 0.076383925, math.Sqrt(sum[Ice]/float64(n[Ice])), 2e-8)
}

func TestEndsOfTheCurves(t *testing.T) {
	require.InDelta(t, math.Log(murphyKoop(-150)), lnES(-150), 1e-12)
	require.InDelta(t, lnWaterLow, lnES(-150), 1e-12)
	require.InDelta(t, lnWaterHigh, lnES(100), 1e-12)
	require.InDelta(t, math.Log(iceR14(-150)), lnEI(-150), 1e-9)
	require.InDelta(t, lnIceLow, lnEI(-150), 1e-12)
	require.InDelta(t, lnIceHigh, lnEI(triple), 1e-9)
	// In the middle of each interval as well.
	for i := range lnWater {
		c := -137.5 + 25*float64(i)
		if c < 0 {
			require.InDelta(t, math.Log(murphyKoop(c)), lnWater[i][0], 5e-8)
		}
		if i < len(lnIce) {
			require.InDelta(t, math.Log(iceR14(c)), lnIce[i][0], 3e-9)
		}
	}
}

func TestStartOfTheSaturationPoint(t *testing.T) {
	for over, want := range map[Phase]float64{Water: 5.254543047e-06, Ice: 2.765021140e-06} {
		sum, n := 0.0, 0.0
		for c := -90.0; c <= 80; c += 2.5 {
			for p := 300.0; p <= 1100; p += 100 {
				x := saturatedFraction(over, c, p)
				if over == Ice && c > 0 || x > 0.6 {
					continue
				}
				d := (1-x)*p*lnStart(over, math.Log(x*p), x) - enhancementAt(over, reduced(c), p).ln(x)
				require.Less(t, math.Abs(d), 3.3e-5, "%v %g °C %g hPa", over, c, p)
				sum += d * d
				n++
			}
		}
		require.InEpsilon(t, want, math.Sqrt(sum/n), 1e-5, "over %v", over)
	}
}

func TestMolarDerivatives(t *testing.T) {
	for _, a := range sampleAir {
		s := mustNew(t, a[0], a[1], a[2])
		m := derivativesAt(s.t, s.x, s.p)
		z := func(c, x, p float64) float64 { return 1 + compressibility(reduced(c), x, p) }
		for name, c := range map[string]struct {
			f    func(c, x, p float64) float64
			want [3]float64 // by temperature, mole fraction and pressure
		}{
			"h": {molarEnthalpy, [3]float64{m.hT, m.hX, m.hP}},
			"s": {molarEntropy, [3]float64{m.sT, m.sX, m.sP}},
			"Z": {z, [3]float64{m.zT, m.zX, m.zP}},
		} {
			got := [3]float64{
				difference(func(v float64) float64 { return c.f(v, s.x, s.p) }, s.t, 0.5),
				difference(func(v float64) float64 { return c.f(s.t, v, s.p) }, s.x, 0.05*s.x),
				difference(func(v float64) float64 { return c.f(s.t, s.x, v) }, s.p, 10),
			}
			// The size of the function limits what a difference can show.
			size := math.Abs(c.f(s.t, s.x, s.p)) + 1
			for i, h := range []float64{0.5, 0.05 * s.x, 10} {
				require.InDelta(t, got[i], c.want[i], 2e-6*math.Abs(got[i])+4e-15*size/h, "%s of %v by %d", name, a, i)
			}
		}
	}
}
