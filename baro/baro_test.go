package baro

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

var column = Column{Height: 553.4, TempC: -8.4, VapourPressureHPa: 2.9605}

func mustReduction(t testing.TB, c Column) Reduction {
	t.Helper()
	r, err := NewReduction(c)
	require.NoError(t, err)
	return r
}

func TestHypsometricFormDiffersAsDocumented(t *testing.T) {
	// 1016.79 by WMO-No. 8, 1016.84 with g/R: half a unit of the last digit,
	// and 0.0007 hPa because the source of 1016.84 takes R as 287.05.
	h, err := NewHypsometric(column)
	require.NoError(t, err)
	require.InDelta(t, 1016.84, float64(h.SeaLevel(947.3)), 0.0057)
	require.InDelta(t, 1016.79, float64(mustReduction(t, column).SeaLevel(947.3)), 0.005)
	l, err := NewLayer(column.Height, h.MeanVirtualC())
	require.NoError(t, err)
	// The same equation by another way in: rounding only.
	require.InEpsilon(t, float64(h.SeaLevel(947.3)), float64(l.SeaLevel(947.3)), 1e-14)
}

func TestErrorsNameTheSlip(t *testing.T) {
	for _, c := range []struct {
		err  error
		says string
	}{
		{StationHPa(94730).Check(), "station pressure 94730 hPa is outside 300..1100 hPa: pascals?"},
		{StationHPa(94.73).Check(), "station pressure 94.73 hPa is outside 300..1100 hPa: kilopascals?"},
		{StationHPa(27.97).Check(), "station pressure 27.97 hPa is outside 300..1100 hPa: inches of mercury?"},
		{StationHPa(30.12).Check(), "station pressure 30.12 hPa is outside 300..1100 hPa: inches of mercury?"},
		{SeaLevelHPa(101325).Check(), "sea-level pressure 101325 hPa is outside 850..1100 hPa: pascals?"},
		{AltimeterHPa(29.92).Check(), "altimeter setting 29.92 hPa is outside 850..1100 hPa: inches of mercury?"},
		{CheckStandard(90000), "geopotential height in the standard atmosphere 90000 gpm is outside -5000..80000 gpm"},
		{CheckPlace(-5000, 0), "height above sea level -5000 m is outside -430..6000 m"},
		{CheckPlace(9000, 0), "height above sea level 9000 m is outside -430..6000 m: feet?"},
		{CheckPlace(0, 95), "latitude 95 deg is outside -90..90 deg"},
		{second(NewReduction(Column{Height: 751})), "geopotential height for the WMO reduction 751 gpm is outside -430..750 gpm"},
		{second(NewReduction(Column{TempC: 264.75})), "air temperature 264.75 °C is outside -90..60 °C: kelvins?"},
		{second(NewReduction(Column{TempC: 77})), "air temperature 77 °C is outside -90..60 °C: degrees Fahrenheit?"},
		{second(NewReduction(Column{VapourPressureHPa: 1166})), "vapour pressure 1166 hPa is outside 0..200 hPa: pascals?"},
		{second(NewHypsometric(Column{Height: 9000})), "geopotential height 9000 gpm is outside -435..6020 gpm: feet?"},
		{second(NewHypsometric(Column{TempC: math.NaN()})), "air temperature NaN °C is outside -90..60 °C"},
		{second(NewHypsometric(Column{VapourPressureHPa: 1166})), "vapour pressure 1166 hPa is outside 0..200 hPa: pascals?"},
		{second(NewLayer(9000, 10)), "geopotential height 9000 gpm is outside -435..6020 gpm: feet?"},
		{second(NewLayer(100, 280)), "mean virtual temperature 280 °C is outside -90..70 °C: kelvins?"},
		{CheckLow(94730, 20, 10), "station pressure 94730 hPa is outside 300..1100 hPa: pascals?"},
		{CheckLow(1000, 20, 283), "mean virtual temperature 283 °C is outside -90..70 °C: kelvins?"},
		{CheckLow(1000, 60, 10), "geopotential height for the low-station form 60 gpm is outside -50..50 gpm"},
	} {
		require.EqualError(t, c.err, c.says)
		var re *stationphysics.RangeError
		require.True(t, errors.As(c.err, &re))
	}
	require.NoError(t, StationHPa(947).Check())
	require.NoError(t, CheckPlace(553, 47))
	require.NoError(t, CheckLow(1000, 20, 10))
	require.NoError(t, CheckStandard(-5000))
}

func second(_ Reduction, err error) error { return err }

// Where a value looks like another unit, and where it no longer does.
func TestSlipsHaveEnds(t *testing.T) {
	slip := func(err error) string {
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re))
		return re.Slip
	}
	col := func(c Column) error { _, err := NewReduction(c); return err }
	for _, c := range []struct {
		check   func(x float64) error
		lo, hi  float64
		looks   string
		openLow bool // below lo the range begins
	}{
		{func(x float64) error { return StationHPa(x).Check() }, 30000, 110000, "pascals", false},
		{func(x float64) error { return StationHPa(x).Check() }, math.Nextafter(32.5, 33), 110, "kilopascals", false},
		{func(x float64) error { return StationHPa(x).Check() }, 17, 32.5, "inches of mercury", false},
		{func(x float64) error { return SeaLevelHPa(x).Check() }, 85000, 110000, "pascals", false},
		{func(x float64) error { return SeaLevelHPa(x).Check() }, 85, 110, "kilopascals", false},
		{func(x float64) error { return SeaLevelHPa(x).Check() }, 25, 32.5, "inches of mercury", false},
		{func(x float64) error { return AltimeterHPa(x).Check() }, 85000, 110000, "pascals", false},
		{func(x float64) error { return AltimeterHPa(x).Check() }, 25, 32.5, "inches of mercury", false},
		{func(x float64) error { return col(Column{TempC: x}) }, 183, 333.15, "kelvins", true},
		{func(x float64) error { return col(Column{TempC: x}) }, 60.01, 140, "degrees Fahrenheit", true},
		{func(x float64) error { return col(Column{VapourPressureHPa: x}) }, 200.01, 20000, "pascals", true},
		{func(x float64) error { return CheckPlace(GeometricM(x), 0) }, 6000.01, 20000, "feet", true},
		{func(x float64) error { _, err := NewHypsometric(Column{Height: GeopotentialM(x)}); return err }, 6020.01, 20000, "feet", true},
		{func(x float64) error { _, err := NewLayer(0, x); return err }, 183, 343.15, "kelvins", false},
	} {
		for _, x := range []float64{c.lo, c.hi} {
			require.Equal(t, c.looks, slip(c.check(x)), "%g", x)
		}
		require.NotEqual(t, c.looks, slip(c.check(math.Nextafter(c.hi, 1e9))), "just above %g", c.hi)
		if !c.openLow {
			require.NotEqual(t, c.looks, slip(c.check(math.Nextafter(c.lo, -1e9))), "just below %g", c.lo)
		}
	}
}

func TestNaNForWhatIsOutside(t *testing.T) {
	r := mustReduction(t, column)
	n := math.NaN()
	for name, v := range map[string]float64{
		"station too low":    float64(r.SeaLevel(299)),
		"station NaN":        float64(r.SeaLevel(StationHPa(n))),
		"sea level pascals":  float64(r.Station(101325)),
		"result too high":    float64(r.Station(1101)),
		"gravity":            NormalGravityMPerS2(91),
		"gravity at height":  GravityAtMPerS2(-500, 45),
		"geopotential":       float64(Geopotential(-5000, 45)),
		"geopotential lat":   float64(Geopotential(100, 95)),
		"geometric":          float64(Geometric(7000, 45)),
		"geometric lat":      float64(Geometric(100, n)),
		"ISO geopotential":   float64(ISOGeopotential(82000)),
		"ISO geometric":      float64(ISOGeometric(-6000)),
		"pressure altitude":  float64(PressureAltitude(2000)),
		"pressure altitude0": float64(PressureAltitude(0)),
		"density altitude":   float64(DensityAltitude(2)),
		"density altitude 0": float64(DensityAltitude(0)),
		"altimeter":          float64(AltimeterSetting(94730, 553)),
		"altimeter height":   float64(AltimeterSetting(947, 7000)),
		"smithsonian":        float64(AltimeterSettingSmithsonian(94730, 553)),
		"from altimeter":     float64(StationFromAltimeter(29.92, 553)),
		"from altimeter res": float64(StationFromAltimeter(1100, -400)),
		"from altimeter too": float64(StationFromAltimeter(1150, 553)),
		"from altimeter h":   float64(StationFromAltimeter(1013, 7000)),
		"low station":        float64(SeaLevelLow(1000, 51, 10)),
		"low station back":   float64(StationLow(101300, 20, 10)),
		"low station back h": float64(StationLow(1013, 51, 10)),
		"at height":          float64(AtHeight(1000, 300, 10)),
		"at height temp":     float64(AtHeight(1000, 30, 283)),
		"temperature error":  r.TempErrorHPa(947.3, 280),
		"sensitivity":        r.Sensitivity(94730).HPaPerK,
	} {
		require.True(t, math.IsNaN(v), "%s = %g", name, v)
	}
	s := StandardAt(80001)
	for _, v := range []float64{s.TempC, s.PressureHPa, s.DensityKgPerM3, s.SoundMPerS, s.ViscosityPaS, s.KinematicM2PerS, s.GravityMPerS2} {
		require.True(t, math.IsNaN(v))
	}
}

// The documented ranges include their ends and nothing beyond.
func TestEndsOfRanges(t *testing.T) {
	for name, c := range map[string]struct {
		f      func(x float64) float64
		lo, hi float64
	}{
		"AtHeight":         {func(x float64) float64 { return float64(AtHeight(1000, x, 10)) }, -200, 200},
		"AtHeight temp":    {func(x float64) float64 { return float64(AtHeight(1000, 10, x)) }, -90, 60},
		"TempErrorHPa":     {func(x float64) float64 { return mustReduction(t, column).TempErrorHPa(947.3, x) }, -90, 90},
		"GravityAtMPerS2":  {func(x float64) float64 { return GravityAtMPerS2(GeometricM(x), 45) }, -430, 80000},
		"gravity latitude": {func(x float64) float64 { return GravityAtMPerS2(0, x) }, -90, 90},
		"Geopotential":     {func(x float64) float64 { return float64(Geopotential(GeometricM(x), 45)) }, -430, 6000},
		"ISOGeopotential":  {func(x float64) float64 { return float64(ISOGeopotential(GeometricM(x))) }, -5000, 81100},
		"ISOGeometric":     {func(x float64) float64 { return float64(ISOGeometric(GeopotentialM(x))) }, -5004, 80100},
		"StandardAt":       {func(x float64) float64 { return StandardAt(GeopotentialM(x)).PressureHPa }, -5000, 80000},
		"SeaLevel":         {func(x float64) float64 { return float64(mustReduction(t, column).SeaLevel(StationHPa(x))) }, 300, 1100},
		"AltimeterSetting": {func(x float64) float64 { return float64(AltimeterSetting(900, GeopotentialM(x))) }, -435, 6020},
		"SeaLevelLow":      {func(x float64) float64 { return float64(SeaLevelLow(1000, GeopotentialM(x), 10)) }, -50, 50},
		"PressureAltitude": {func(x float64) float64 { return float64(PressureAltitude(StationHPa(x))) }, StandardAt(80000).PressureHPa, StandardAt(-5000).PressureHPa},
		"DensityAltitude":  {func(x float64) float64 { return float64(DensityAltitude(x)) }, StandardAt(80000).DensityKgPerM3, StandardAt(-5000).DensityKgPerM3},
	} {
		for _, in := range []float64{c.lo, (c.lo + c.hi) / 2, c.hi} {
			require.False(t, math.IsNaN(c.f(in)), "%s(%g)", name, in)
		}
		step := 1e-9 * (c.hi - c.lo)
		for _, out := range []float64{c.lo - step, c.hi + step, math.NaN()} {
			require.True(t, math.IsNaN(c.f(out)), "%s(%g)", name, out)
		}
	}
}

func TestZeroReductionReducesByNothing(t *testing.T) {
	var r Reduction
	require.Equal(t, SeaLevelHPa(947.3), r.SeaLevel(947.3))
	require.Equal(t, StationHPa(947.3), r.Station(947.3))
	require.Equal(t, 1.0, r.Factor())
	require.Zero(t, r.TempErrorHPa(947.3, 20))
	require.Zero(t, r.TempErrorHPa(947.3, 0))
	require.Equal(t, Sensitivity{HPaPerHPa: 1}, r.Sensitivity(947.3))
}

// Every inverse returns to its start: 1e-12 relative is some thousand
// roundings, met by the exactness of the closed forms.
func TestRoundTrips(t *testing.T) {
	for p := 850.0; p <= 1050; p += 7 {
		for _, h := range []GeopotentialM{-400, -30, 0, 12, 49, 300, 750} {
			for _, c := range []float64{-60, -8.4, 15, 50} {
				r := mustReduction(t, Column{Height: h, TempC: c, VapourPressureHPa: 3})
				if p0 := r.SeaLevel(StationHPa(p)); p0 >= 850 && p0 <= 1100 {
					require.InEpsilon(t, p, float64(r.Station(p0)), 1e-12)
				}
				if math.Abs(float64(h)) <= 50 && p >= 860 {
					require.InEpsilon(t, p, float64(StationLow(SeaLevelLow(StationHPa(p), h, c), h, c)), 1e-12)
				}
			}
			if q := AltimeterSetting(StationHPa(p), h); q >= 850 && q <= 1100 {
				require.InEpsilon(t, p, float64(StationFromAltimeter(q, h)), 1e-12)
			}
		}
	}
	for h := lowestM; h <= highestM; h += 250 {
		s := StandardAt(GeopotentialM(h))
		// Heights come back to 1e-8 gpm: the pressure's own rounding, 1e-16,
		// divided by its gradient near 80 km.
		require.InDelta(t, h, float64(PressureAltitude(StationHPa(s.PressureHPa))), 1e-8)
		require.InDelta(t, h, float64(DensityAltitude(s.DensityKgPerM3)), 1e-8)
		require.InDelta(t, h, float64(ISOGeopotential(ISOGeometric(GeopotentialM(h)))), 1e-8)
	}
	for z := -430.0; z <= 6000; z += 37 {
		for lat := -90.0; lat <= 90; lat += 15 {
			require.InDelta(t, z, float64(Geometric(Geopotential(GeometricM(z), lat), lat)), 1e-9)
		}
	}
}

func TestMonotone(t *testing.T) {
	last := StandardAt(lowestM)
	for h := lowestM + 100; h <= highestM; h += 100 {
		s := StandardAt(GeopotentialM(h))
		require.Less(t, s.PressureHPa, last.PressureHPa)
		require.Less(t, s.DensityKgPerM3, last.DensityKgPerM3)
		last = s
	}
	cold, warm := mustReduction(t, column), mustReduction(t, Column{Height: column.Height, TempC: 20, VapourPressureHPa: 2.9605})
	require.Greater(t, cold.Factor(), warm.Factor(), "cold air is heavier")
}

// The temperatures at the borders follow from the gradients of ISO 2533:1975, table 4,
// by hand: 15 - 6.5·11 = -56.5, + 1·12 = -44.5, + 2.8·15 = -2.5, - 2.8·20 = -58.5 and
// - 2·9 = -76.5 °C. Some roundings of 300 K are left.
func TestTemperaturesAtTheBorders(t *testing.T) {
	for hM, tempC := range map[GeopotentialM]float64{0: 15, 11000: -56.5, 20000: -56.5, 32000: -44.5, 47000: -2.5, 51000: -2.5, 71000: -58.5, 80000: -76.5} {
		require.InDelta(t, tempC, StandardAt(hM).TempC, 1e-12, "%g gpm", hM)
	}
}

// The layers join: nothing jumps at their borders.
func TestLayersJoin(t *testing.T) {
	for _, l := range layers[1:] {
		below, above := StandardAt(GeopotentialM(math.Nextafter(l.baseM, 0))), StandardAt(GeopotentialM(l.baseM))
		require.InEpsilon(t, below.PressureHPa, above.PressureHPa, 1e-12) // rounding of two closed forms
		require.InDelta(t, below.TempC, above.TempC, 1e-9)
	}
}

// Geopotential is the integral of gravity over height: Simpson's rule on the
// exact series of the closed formula is the witness, and gravity its slope.
func TestGeopotentialIntegratesGravity(t *testing.T) {
	for _, lat := range []float64{0, 30, 45, 60, 90} {
		for _, z := range []float64{-400, 553, 3000, 6000} {
			sum := numeric.Simpson(func(h float64) float64 { return GravityAtMPerS2(GeometricM(h), lat) }, 0, z, 200)
			// Simpson is exact for the cubic that this is; rounding only.
			require.InEpsilon(t, sum/standardGravity, float64(Geopotential(GeometricM(z), lat)), 1e-12)
		}
	}
	// One metre near the ground is the gravity there over 9.80665, to the
	// 3e-7 that gravity falls in a metre.
	require.InDelta(t, NormalGravityMPerS2(90)/standardGravity, float64(Geopotential(1, 90)), 4e-7)
	// Free air: 3.086e-6 m/s2 a metre (Torge, Geodesy, from memory), to its last digit.
	require.InDelta(t, 3.086e-6, (GravityAtMPerS2(0, 45) - GravityAtMPerS2(1, 45)), 1e-9)
}

// Where sin²φ is 0, 1/2 and 1, eq. 4-3 of TR8350.2 can be written without a sine:
// γ/γ0 = 1 - 2 (1 + f + m - 2 f sin²φ) h/a + 3 (h/a)², with f = 1/298.257223563,
// m = 0.00344978650684 and a = 6378137 m (table 3.1 and 3.4). Rounding is left.
func TestGravityFallsWithHeight(t *testing.T) {
	const f, m, a = 1 / 298.257223563, 0.00344978650684, 6378137.0
	for latDeg, flat := range map[float64]float64{0: 1 + f + m, 45: 1 + m, -45: 1 + m, 90: 1 - f + m} {
		for _, z := range []float64{-430, 6000, 80000} {
			want := 1 - 2*flat*z/a + 3*(z/a)*(z/a)
			require.InEpsilon(t, want, GravityAtMPerS2(GeometricM(z), latDeg)/NormalGravityMPerS2(latDeg), 1e-14, "%g m at %g°", z, latDeg)
		}
	}
}

// The analytic derivatives agree with central differences; 1e-6 relative is
// the truncation error of the steps taken.
func TestSensitivities(t *testing.T) {
	for _, make := range []func(Column) (Reduction, error){NewReduction, NewHypsometric} {
		p := StationHPa(947.3)
		at := func(dp, dt, de, dh float64) float64 {
			r, err := make(Column{Height: column.Height + GeopotentialM(dh), TempC: column.TempC + dt, VapourPressureHPa: column.VapourPressureHPa + de})
			require.NoError(t, err)
			return float64(r.SeaLevel(p + StationHPa(dp)))
		}
		r, err := make(column)
		require.NoError(t, err)
		s := r.Sensitivity(p)
		require.InEpsilon(t, (at(0.5, 0, 0, 0)-at(-0.5, 0, 0, 0))/1, s.HPaPerHPa, 1e-6)
		require.InEpsilon(t, (at(0, 0.05, 0, 0)-at(0, -0.05, 0, 0))/0.1, s.HPaPerK, 1e-6)
		require.InEpsilon(t, (at(0, 0, 0.1, 0)-at(0, 0, -0.1, 0))/0.2, s.VapourHPaPerHPa, 1e-6)
		require.InEpsilon(t, (at(0, 0, 0, 0.1)-at(0, 0, 0, -0.1))/0.2, s.HPaPerM, 1e-6)
		g := 1e-4 / standardGravity
		require.InEpsilon(t, (at(0, 0, 0, float64(column.Height)*g)-at(0, 0, 0, -float64(column.Height)*g))/2e-4, s.HPaPerMPerS2, 1e-6)
	}
	l, err := NewLayer(553.4, -5)
	require.NoError(t, err)
	s := l.Sensitivity(947.3)
	warmer, err := NewLayer(553.4, -4.95)
	require.NoError(t, err)
	colder, err := NewLayer(553.4, -5.05)
	require.NoError(t, err)
	require.InEpsilon(t, float64(warmer.SeaLevel(947.3)-colder.SeaLevel(947.3))/0.1, s.HPaPerK, 1e-6)
	higher, err := NewLayer(553.5, -5)
	require.NoError(t, err)
	lower, err := NewLayer(553.3, -5)
	require.NoError(t, err)
	require.InEpsilon(t, float64(higher.SeaLevel(947.3)-lower.SeaLevel(947.3))/0.2, s.HPaPerM, 1e-6)
	require.Zero(t, s.VapourHPaPerHPa)
}

func TestTempErrorIsTheDifferenceOfTwoReductions(t *testing.T) {
	r := mustReduction(t, column)
	for _, used := range []float64{-40, -8.4, 15, 21, 50} {
		wrong := mustReduction(t, Column{Height: column.Height, TempC: used, VapourPressureHPa: column.VapourPressureHPa})
		// The difference of two numbers near 1000 carries their rounding.
		require.InDelta(t, float64(wrong.SeaLevel(947.3)-r.SeaLevel(947.3)), r.TempErrorHPa(947.3, used), 1e-11)
	}
}

func TestAtHeightAgreesWithTheLayer(t *testing.T) {
	l, err := NewLayer(12, 9)
	require.NoError(t, err)
	require.InEpsilon(t, float64(l.SeaLevel(950)), float64(AtHeight(950, -12, 9)), 1e-14)
	require.Equal(t, StationHPa(950), AtHeight(950, 0, 9))
}

// The two altimeter forms agree to 0.4 hPa where stations are, as documented.
func TestAltimeterFormsStayClose(t *testing.T) {
	worst := 0.0
	for h := -400.0; h <= 2000; h += 50 {
		p := StationHPa(StandardAt(GeopotentialM(h)).PressureHPa)
		worst = math.Max(worst, math.Abs(float64(AltimeterSetting(p, GeopotentialM(h))-AltimeterSettingSmithsonian(p, GeopotentialM(h)))))
	}
	require.Less(t, worst, 0.4)
	require.Greater(t, worst, 0.25)
}

func TestBatchEqualsScalar(t *testing.T) {
	p := []StationHPa{947.3, 1013, 94730, 900, StationHPa(math.NaN())}
	c := []Column{column, {Height: 3, TempC: 20, VapourPressureHPa: 12}, column, {Height: 5000}, column}
	dst := make([]SeaLevelHPa, len(p))
	BatchSeaLevel(dst, p, c)
	for i := range 2 {
		require.Equal(t, SeaLevel(p[i], c[i]), dst[i])
		require.Equal(t, mustReduction(t, c[i]).SeaLevel(p[i]), dst[i])
	}
	for i := 2; i < 5; i++ {
		require.True(t, math.IsNaN(float64(dst[i])))
	}
	require.PanicsWithValue(t, badLength, func() { BatchSeaLevel(dst[:1], p, c) })
	require.PanicsWithValue(t, badLength, func() { BatchSeaLevel(dst, p, c[:1]) })
}

func TestNothingAllocates(t *testing.T) {
	dst, p, c := make([]SeaLevelHPa, 8), make([]StationHPa, 8), make([]Column, 8)
	var w TendencyWindow
	require.Zero(t, testing.AllocsPerRun(100, func() {
		r, _ := NewReduction(column)
		_ = r.Sensitivity(947.3)
		_ = StandardAt(1000)
		_ = PressureAltitude(900)
		BatchSeaLevel(dst, p, c)
		_, _ = w.Tendency()
	}))
}

func BenchmarkExp(b *testing.B) {
	b.ReportAllocs()
	x, s := 0.0, 0.0
	for b.Loop() {
		x += 1e-9
		s += math.Exp(x)
	}
	sink = s
}

var sink float64

func BenchmarkSeaLevelReduction(b *testing.B) {
	b.ReportAllocs()
	c, s := column, 0.0
	for b.Loop() {
		c.TempC += 1e-9
		r, _ := NewReduction(c)
		s += float64(r.SeaLevel(947.3))
	}
	sink = s
}

func BenchmarkSeaLevel(b *testing.B) {
	b.ReportAllocs()
	c, s := column, 0.0
	for b.Loop() {
		c.TempC += 1e-9
		s += float64(SeaLevel(947.3, c))
	}
	sink = s
}

func BenchmarkBatchSeaLevel1000(b *testing.B) {
	b.ReportAllocs()
	dst, p, c := make([]SeaLevelHPa, 1000), make([]StationHPa, 1000), make([]Column, 1000)
	for i := range p {
		p[i], c[i] = 947.3, column
	}
	for b.Loop() {
		BatchSeaLevel(dst, p, c)
	}
}

func BenchmarkStandardAt(b *testing.B) {
	b.ReportAllocs()
	h, s := 0.0, 0.0
	for b.Loop() {
		h += 1e-6
		s += StandardAt(GeopotentialM(h)).PressureHPa
	}
	sink = s
}
