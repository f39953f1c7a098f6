package panel

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A resistance behind the panel adds to the one in it.
func TestHeldBehindAResistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 2026))
	flowed := 0
	for range 20000 {
		m := randomModule(rng)
		c := m.At(1200*rng.Float64(), -30+100*rng.Float64())
		hold := m.HighestV() * 0.16 * rng.Float64() // to above open circuit
		ohm := math.Pow(10, -3+4*rng.Float64())
		amps, drop := c.HeldBehind(hold, func(i float64) (float64, float64) { return ohm * i, ohm })
		one := c
		one.rs += ohm
		one.lnK = math.Log(one.rs*one.i0) - math.Log(one.a) - math.Log1p(one.rs*one.gsh)
		want := one.HeldA(hold)
		// The last step of Newton's method is below 1e-5, its square 1e-10; the closed form
		// loses digits where the current is a small part of the light's.
		require.InDelta(t, want, amps, 1e-9*(want+c.iL*1e-3), "%+v %g V %g ohm", c, hold, ohm)
		require.InDelta(t, ohm*amps, drop, 1e-9*(1+drop))
		if amps > 0 {
			flowed++
		}
	}
	require.Greater(t, flowed, 5000)
}

// A diode with its sharp knee behind the panel: what the panel gives at the sum of
// the voltages is the current whose drop it is.
func TestHeldBehindADiode(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 2026))
	const nVt, is, rs = 0.0271, 3e-7, 0.04 // an invented diode with series resistance
	for range 20000 {
		m := randomModule(rng)
		c := m.At(1200*rng.Float64(), -30+100*rng.Float64())
		hold := m.HighestV() * 0.14 * rng.Float64()
		amps, drop := c.HeldBehind(hold, func(i float64) (float64, float64) {
			return nVt*math.Log1p(i/is) + rs*i, nVt/(i+is) + rs
		})
		if amps == 0 {
			require.Zero(t, drop)
			require.LessOrEqual(t, c.CurrentA(hold), 1e-12*c.iL)
			continue
		}
		// Squares of 1e-5 of the current, in units of nVt; the panel's slope carries that to
		// its current.
		require.InDelta(t, nVt*math.Log1p(amps/is)+rs*amps, drop, 1e-9)
		require.InDelta(t, c.CurrentA(hold+drop), amps, 1e-8*(c.iL+c.iL*c.iL), "%+v %g V", c, hold)
	}
}

// Held so close below open circuit that the current is lost in the rounding of the light's,
// with diodes that drop hundredths of a volt or more all the same: a current that neither
// panel nor diode exceeds, but for rounding, and no NaN.
func TestHeldBehindCloseToOpenCircuit(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 2026))
	for range 20000 {
		m := randomModule(rng)
		c := m.At(math.Pow(10, -3+6*rng.Float64()), -30+100*rng.Float64())
		nVt, is := 0.0271+0.03*rng.Float64(), math.Pow(10, -18+12*rng.Float64()) // invented diodes
		gap := math.Pow(10, -14+13*rng.Float64())
		hold := c.OpenCircuitV() - gap
		amps, drop := c.HeldBehind(hold, func(i float64) (float64, float64) { return nVt * math.Log1p(i/is), nVt / (i + is) })
		require.GreaterOrEqual(t, amps, 0.0, "%+v, %g V below open circuit, diode %g V %g A", c, gap, nVt, is)
		// Five roundings, of the currents that cancel and of the exponent of the diode's.
		lost := 1e-15 * (1 + c.OpenCircuitV()/c.a) * (c.iL + c.i0 + c.a*c.gsh)
		require.LessOrEqual(t, amps, c.HeldA(hold)+lost)
		// Squares of 1e-5 of the current, and the rounding of some tens of volts.
		require.LessOrEqual(t, amps, is*math.Expm1((gap+1e-13)/nVt)*(1+1e-9)+lost)
		require.False(t, math.IsNaN(drop))
	}
}

func TestHeldBehindAtTheEdges(t *testing.T) {
	m, err := New(Parameters{PhotocurrentA: 0.6, SaturationCurrentA: 1e-9, IdealityV: 1, SeriesOhm: 1, ShuntOhm: 500, CellsInSeries: 36})
	require.NoError(t, err)
	c := m.At(800, 30)
	nothing := func(float64) (float64, float64) { return 0, 0 }
	amps, drop := c.HeldBehind(14, nothing)
	require.InDelta(t, c.CurrentA(14), amps, 1e-9) // the square of the last step
	require.Zero(t, drop)
	amps, drop = c.HeldBehind(c.OpenCircuitV()+0.1, nothing)
	require.Zero(t, amps)
	require.Zero(t, drop)
	dark := m.At(0, 30)
	amps, _ = dark.HeldBehind(14, nothing)
	require.Zero(t, amps)
	var zero Curve
	amps, _ = zero.HeldBehind(14, nothing)
	require.Zero(t, amps)
	for _, v := range []float64{math.NaN(), math.Inf(1), m.HighestV() + 1, m.LowestV() - 1} {
		amps, drop = c.HeldBehind(v, nothing)
		require.True(t, math.IsNaN(amps) && math.IsNaN(drop), v)
	}
	out := m.At(math.NaN(), 30)
	amps, _ = out.HeldBehind(14, nothing)
	require.True(t, math.IsNaN(amps))
	amps, drop = c.HeldBehind(14, func(float64) (float64, float64) { return math.NaN(), 0 })
	require.True(t, math.IsNaN(amps) && math.IsNaN(drop))
}

var behind float64

func BenchmarkHeldBehind(b *testing.B) {
	m, _ := New(Parameters{PhotocurrentA: 0.6, SaturationCurrentA: 1e-9, IdealityV: 1, SeriesOhm: 1, ShuntOhm: 500, CellsInSeries: 36})
	c := m.At(800, 30)
	diode := func(i float64) (float64, float64) { return 0.0271 * math.Log(1+i/3e-7), 0.0271 / i }
	b.ReportAllocs()
	for b.Loop() {
		behind, _ = c.HeldBehind(14, diode)
	}
}

// A series solved side by side gives what its elements give one by one, in whatever
// company.
func TestBatchOutputBehindIsSingleOnes(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 2026))
	const nVt, is = 0.0271, 3e-7 // an invented diode
	diode := func(i float64) (float64, float64) { return nVt * math.Log1p(i/is), nVt / (i + is) }
	for range 300 {
		m := randomModule(rng)
		series := make([]Weather, rng.IntN(40))
		for i := range series {
			series[i] = Weather{IrradianceWPerM2: 1200 * rng.Float64(), AirC: -40 + 80*rng.Float64(), WindMPerS: 20 * rng.Float64()}
			switch rng.IntN(8) {
			case 0:
				series[i].IrradianceWPerM2 = 0
			case 1:
				series[i].IrradianceWPerM2 = math.NaN()
			case 2:
				series[i].IrradianceWPerM2 *= 1e-4
			}
		}
		hold := m.HighestV() * 0.15 * rng.Float64()
		dst := make([]Output, len(series))
		m.BatchOutputBehind(dst, series, nil, hold, diode)
		for i, w := range series {
			c := m.At(w.IrradianceWPerM2, w.cellC(usualHeat))
			amps, drop := c.HeldBehind(hold, diode)
			want := Output{w.cellC(usualHeat), c.MaxPower().Pmp, amps, amps * (hold + drop)}
			if math.IsNaN(w.IrradianceWPerM2) {
				require.True(t, math.IsNaN(dst[i].MaxPowerW) && math.IsNaN(dst[i].HeldA) && math.IsNaN(dst[i].HeldW))
				continue
			}
			// The same operations, some hundred of 1e-16; a machine that fuses some may not fuse the same ones.
			for k, v := range [][2]float64{{want.CellC, dst[i].CellC}, {want.MaxPowerW, dst[i].MaxPowerW}, {want.HeldA, dst[i].HeldA}, {want.HeldW, dst[i].HeldW}} {
				require.InDelta(t, v[0], v[1], 1e-14*math.Abs(v[0]), "%d: %+v", k, w)
			}
		}
	}
	m := randomModule(rng)
	dst := make([]Output, 1)
	m.BatchOutputBehind(dst, []Weather{{IrradianceWPerM2: 500, AirC: 20}}, nil, -1, diode)
	require.True(t, math.IsNaN(dst[0].HeldA))
	require.Positive(t, dst[0].MaxPowerW)
}
