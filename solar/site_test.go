package solar

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func TestNewSiteRefuses(t *testing.T) {
	for _, c := range []struct {
		lat, lon, height float64
		quantity, slip   string
	}{
		{90.001, 0, 0, "latitude", ""}, {-90.001, 0, 0, "latitude", ""}, {math.NaN(), 0, 0, "latitude", ""},
		{0, 180.001, 0, "longitude", "counted eastwards to 360, subtract 360"}, {0, -180.001, 0, "longitude", ""}, {0, math.Inf(1), 0, "longitude", ""},
		{0, 0, 9001, "height of the site", "feet"}, {0, 0, -501, "height of the site", ""}, {0, 0, math.NaN(), "height of the site", ""},
	} {
		s, err := NewSite(c.lat, c.lon, c.height)
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re), "%+v", c)
		require.Equal(t, c.quantity, re.Quantity)
		require.Equal(t, c.slip, re.Slip)
		require.Equal(t, Site{}, s)
	}
	for _, c := range [][3]float64{{90, 180, 9000}, {-90, -180, -500}, {0, 0, 0}} {
		s, err := NewSite(c[0], c[1], c[2])
		require.NoError(t, err)
		require.Equal(t, c, [3]float64{s.LatDeg(), s.LonDeg(), s.HeightM()})
	}
}

func TestOptionsRefuse(t *testing.T) {
	s := site(t, 47, 8, 400)
	for name, f := range map[string]func() (Site, error){
		"pascals":    func() (Site, error) { return s.WithAir(96500, 10) },
		"kelvins":    func() (Site, error) { return s.WithAir(965, 283) },
		"Fahrenheit": func() (Site, error) { return s.WithAir(965, 75) },
		"kilopascal": func() (Site, error) { return s.WithAir(96.5, 10) },
		"-100..1000": func() (Site, error) { return s.WithDeltaT(1001) },
		"NaN s":      func() (Site, error) { return s.WithDeltaT(math.NaN()) },
		"UT1 - UTC":  func() (Site, error) { return s.WithUT1(1.1) },
		"-1..1":      func() (Site, error) { return s.WithUT1(math.Inf(-1)) },
	} {
		got, err := f()
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re), name)
		require.ErrorContains(t, err, name)
		require.Equal(t, Site{}, got)
	}
	for _, v := range []float64{-100, 0, 1000} {
		_, err := s.WithDeltaT(v)
		require.NoError(t, err)
	}
}

func TestDefaultAir(t *testing.T) {
	refdata.Each(t, "solar/standard_air", func(r *refdata.Row) {
		p, c := site(t, 0, 0, r.F("heightM")).Air()
		r.Check("pressureHPa", p, "Air")
		r.Check("tempC", c, "Air")
	})
	s, err := site(t, 0, 0, 2000).WithAir(800, -5)
	require.NoError(t, err)
	p, c := s.Air()
	require.Equal(t, []float64{800, -5}, []float64{p, c})
}

func TestOutsideTheYears(t *testing.T) {
	s := site(t, 47, 8, 400)
	for _, c := range []struct {
		at time.Time
		in bool
	}{
		{time.Date(1899, 12, 20, 0, 0, 0, 0, time.UTC), false},
		{time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC), true},
		{time.Date(2200, 12, 31, 23, 59, 59, 0, time.UTC), true},
		{time.Date(2201, 1, 12, 0, 0, 0, 0, time.UTC), false},
		{time.Time{}, false},
		{time.Unix(math.MaxInt64/2, 0), false},
		{time.Unix(math.MinInt64/2, 0), false},
	} {
		if c.in {
			require.False(t, math.IsNaN(s.At(c.at).AzimuthDeg), "%v", c.at)
			require.False(t, math.IsNaN(DeltaT(c.at)))
			continue
		}
		requireNowhere(t, s.At(c.at))
		require.True(t, math.IsNaN(DeltaT(c.at)), "%v", c.at)
	}
	requireNowhere(t, Site{}.At(time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC)))
}

func TestDeltaTIsContinuous(t *testing.T) {
	last := DeltaT(time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC))
	require.InDelta(t, -2.72, last, 0.01)
	for at := time.Date(1900, 1, 2, 0, 0, 0, 0, time.UTC); at.Year() < 2201; at = at.AddDate(0, 0, 1) {
		v := DeltaT(at)
		// The fastest change since 1900 was 1.83 s in 1912, 0.005 s a day.
		require.InDelta(t, last, v, 0.0055, "%v", at)
		last = v
	}
	// Each year begins with its own value.
	for i, want := range observedDeltaT {
		require.InDelta(t, want, DeltaT(time.Date(1900+i, 1, 1, 0, 0, 0, 0, time.UTC)), 0.006, "%d", 1900+i)
	}
}

// A fixed TT - UT1 moves the sun by 0.04″ a second along the ecliptic.
func TestDeltaTMovesTheSun(t *testing.T) {
	s := site(t, 0, 0, 0)
	at := time.Date(2024, 3, 20, 12, 0, 0, 0, time.UTC)
	a, b := withDeltaT(t, s, 0).At(at), withDeltaT(t, s, 100).At(at)
	require.InDelta(t, 4.1, separationArcsec(a.DeclinationDeg, 0, b.DeclinationDeg, (a.HourAngleDeg-b.HourAngleDeg)), 0.05)
	require.InDelta(t, DeltaT(at), s.lag(s.day(at)), 1e-9)
}

// The sun of one instant, seen from places that differ in one thing only.
func TestPlaceMovesTheSun(t *testing.T) {
	at := time.Date(2024, 3, 20, 3, 6, 26, 0, time.UTC) // the equinox, from memory
	p := site(t, 0, 0, 0).At(at)
	require.InDelta(t, 0, p.DeclinationDeg, 0.001)
	require.InDelta(t, 0.9959, p.DistanceAU, 1e-3)
	// 15° of longitude are an hour of solar time.
	q := site(t, 0, 15, 0).At(at)
	require.InDelta(t, 1, q.SolarTimeH()-p.SolarTimeH(), 1e-9)
	// From high up the horizontal parallax of 8.8″ grows by height over the
	// radius of the Earth: 0.01″ at 9 km.
	low, high := site(t, 0, 0, 0).At(at), site(t, 0, 0, 9000).At(at)
	require.InDelta(t, 0, separationArcsec(low.TrueElevationDeg, low.AzimuthDeg, high.TrueElevationDeg, high.AzimuthDeg), 0.02)
	require.NotEqual(t, low.TrueElevationDeg, high.TrueElevationDeg)
	// Thin air bends less.
	s := site(t, 0, 90, 0)
	rise := time.Date(2024, 3, 20, 0, 15, 0, 0, time.UTC)
	thin, err := s.WithAir(500, 15)
	require.NoError(t, err)
	warm, err := s.WithAir(1013.25, 40)
	require.NoError(t, err)
	bend := func(s Site) float64 { x := s.At(rise); return x.ApparentElevationDeg - x.TrueElevationDeg }
	require.InDelta(t, bend(s)*500/1013.25, bend(thin), 1e-9)
	require.InDelta(t, bend(s)*288/313, bend(warm), 1e-9)
	require.Positive(t, bend(s))
}

// At the poles the azimuth is counted from the site's meridian, the elevation is
// the declination less the parallax, and nothing is NaN.
func TestPoles(t *testing.T) {
	for _, lat := range []float64{90, -90} {
		for _, lon := range []float64{-180, -75, 0, 33, 180} {
			s := site(t, lat, lon, 0)
			for month := time.January; month <= time.December; month++ {
				p := s.At(time.Date(2024, month, 15, 7, 0, 0, 0, time.UTC))
				require.InDelta(t, math.Copysign(p.DeclinationDeg, p.DeclinationDeg*lat), p.TrueElevationDeg, 0.0025)
				want := p.HourAngleDeg + 180 // north pole: south of it lies the meridian
				if lat < 0 {
					want = 360 - p.HourAngleDeg
				}
				require.InDelta(t, 0, signedDeg(want-p.AzimuthDeg), 1e-6)
			}
		}
	}
}

// Quantities of a year that the almanacs give: the range of the declination, of
// the equation of time, of the distance; and identities between the fields.
func TestYearOfTheSun(t *testing.T) {
	s := site(t, 48, 16, 200)
	tr, err := s.Year(2024, nil)
	require.NoError(t, err)
	lo, hi := tr.At(tr.from), tr.At(tr.from)
	var near, far time.Time
	for at, p := range tr.Every(time.Hour) {
		if p.DistanceAU < lo.DistanceAU {
			near = at
		}
		if p.DistanceAU > hi.DistanceAU {
			far = at
		}
		lo.DeclinationDeg, hi.DeclinationDeg = math.Min(lo.DeclinationDeg, p.DeclinationDeg), math.Max(hi.DeclinationDeg, p.DeclinationDeg)
		lo.EquationOfTimeMin, hi.EquationOfTimeMin = math.Min(lo.EquationOfTimeMin, p.EquationOfTimeMin), math.Max(hi.EquationOfTimeMin, p.EquationOfTimeMin)
		lo.DistanceAU, hi.DistanceAU = math.Min(lo.DistanceAU, p.DistanceAU), math.Max(hi.DistanceAU, p.DistanceAU)
		require.InDelta(t, 180, p.TrueZenithDeg()+p.TrueElevationDeg+90, 1e-9)
		require.InDelta(t, 90, p.ApparentZenithDeg()+p.ApparentElevationDeg, 1e-9)
		require.GreaterOrEqual(t, p.ApparentElevationDeg, p.TrueElevationDeg)
		require.True(t, p.AzimuthDeg >= 0 && p.AzimuthDeg < 360)
		// Mean solar time plus the equation of time is true solar time.
		mean := float64(at.Hour()) + 16.0/15
		require.InDelta(t, 0, math.Remainder(mean+p.EquationOfTimeMin/60-p.SolarTimeH(), 24), 0.0002)
	}
	require.InDelta(t, -23.437, lo.DeclinationDeg, 0.002)
	require.InDelta(t, 23.437, hi.DeclinationDeg, 0.002)
	require.InDelta(t, -14.2, lo.EquationOfTimeMin, 0.1)
	require.InDelta(t, 16.45, hi.EquationOfTimeMin, 0.1)
	extremes := map[string]float64{near.Format(time.DateOnly): lo.DistanceAU, far.Format(time.DateOnly): hi.DistanceAU}
	refdata.Each(t, "solar/apsides", func(r *refdata.Row) {
		require.Contains(t, extremes, r.S("date"))
		r.Check("distanceAU", extremes[r.S("date")], "DistanceAU of "+r.S("date"))
	})
}

// Refraction sets in with the upper limb, lifts the sun by half a degree there
// and by a minute of arc at 45°, and keeps the order of elevations above.
func TestRefractionOverTheSky(t *testing.T) {
	s := site(t, 0, 0, 0)
	at := func(trueDeg float64) float64 {
		p := Position{DistanceAU: 1}
		s.obsX, s.obsZ, s.aberration = 0, 0, 0
		s.look(&p, 0, 0, math.Cos(trueDeg*rad), math.Sin(trueDeg*rad))
		return p.ApparentElevationDeg - p.TrueElevationDeg
	}
	require.Zero(t, at(-0.8334))
	require.Zero(t, at(-50))
	require.InDelta(t, 0.6, at(-0.8332), 0.1)
	require.InDelta(t, 0.48, at(0), 0.02)
	require.InDelta(t, 1.0/60, at(45), 0.001)
	require.InDelta(t, 0, at(90), 5e-5)
	for e := -0.8333; e < 90; e += 0.37 {
		// Eq 42 as it is printed, 1013.25 hPa and 15 °C.
		want := 1013.25 / 1010 * 283 / (273 + 15) * 1.02 / (60 * math.Tan((e+10.3/(e+5.11))*rad))
		require.InDelta(t, want, at(e), 1e-9, "at %v", e)
	}
	last := -0.833 + at(-0.833)
	for e := -0.82; e <= 90; e += 0.01 {
		require.Greater(t, e+at(e), last)
		last = e + at(e)
	}
}
