package solar

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// utc reads a time or a date of a table.
func utc(t *testing.T, s string) time.Time {
	t.Helper()
	for _, layout := range []string{time.RFC3339, time.DateOnly} {
		if at, err := time.Parse(layout, s); err == nil {
			return at
		}
	}
	t.Fatalf("%q is not a time", s)
	return time.Time{}
}

func site(t testing.TB, latDeg, lonDeg, heightM float64) Site {
	t.Helper()
	s, err := NewSite(latDeg, lonDeg, heightM)
	require.NoError(t, err)
	return s
}

func withDeltaT(t testing.TB, s Site, deltaT float64) Site {
	t.Helper()
	s, err := s.WithDeltaT(deltaT)
	require.NoError(t, err)
	return s
}

// separationArcsec is the angle between two directions, by the half-angle
// formula, which keeps its digits for small angles.
func separationArcsec(elevA, azA, elevB, azB float64) float64 {
	de, da := math.Sin((elevA-elevB)*rad/2), math.Sin((azA-azB)*rad/2)
	return 2 * math.Asin(math.Sqrt(de*de+math.Cos(elevA*rad)*math.Cos(elevB*rad)*da*da)) / arcsec
}

func TestPositionAgainstThreeEphemerides(t *testing.T) {
	n := 0
	var worst, worstFarFromPole float64
	refdata.Each(t, "solar/position", func(r *refdata.Row) {
		n++
		s := withDeltaT(t, site(t, r.F("latDeg"), r.F("lonDeg"), r.F("heightM")), r.F("deltaTS"))
		s, err := s.WithAir(r.F("pressureHPa"), r.F("tempC"))
		require.NoError(t, err)
		at := utc(t, r.S("ut1"))
		p := s.At(at)
		call := fmt.Sprintf("%s: At(%s) at %v N %v E", r.S("stratum"), r.S("ut1"), r.F("latDeg"), r.F("lonDeg"))
		sep := separationArcsec(p.TrueElevationDeg, p.AzimuthDeg, 90-r.F("erfaZenithDeg"), r.F("erfaAzimuthDeg"))
		worst = math.Max(worst, sep)
		if math.Abs(r.F("latDeg")) < 85 {
			worstFarFromPole = math.Max(worstFarFromPole, sep)
		}
		r.Check("erfaSepArcsec", sep, call)
		r.Check("ephemSepArcsec", separationArcsec(p.TrueElevationDeg, p.AzimuthDeg, 90-r.F("ephemZenithDeg"), r.F("ephemAzimuthDeg")), call)
		r.Check("erfaDecDeg", p.DeclinationDeg, call)
		// From the observer the sun is nearer by the height of the centre of the
		// Earth over his horizon, 4.26e-5 au at the zenith.
		near := 6378140 / 149597870700.0 * math.Sin(p.TrueElevationDeg*rad)
		r.Check("erfaDistAU", p.DistanceAU-near, call)
		s.aberration = 0
		p = s.At(at)
		r.Check("spaSepArcsec", separationArcsec(p.TrueElevationDeg, p.AzimuthDeg, 90-r.F("spaZenithDeg"), r.F("spaAzimuthDeg")), call)
		r.Check("spaApparentZenithDeg", p.ApparentZenithDeg(), call)
	})
	require.Equal(t, 158, n)
	// The figures of the package comment.
	require.Less(t, worst, 0.62)
	require.Greater(t, worst, 0.3, "better than the comment says: say so there")
	require.Greater(t, worstFarFromPole, 0.0)
}

func TestPositionAtTheEdges(t *testing.T) {
	strata := map[string]int{}
	refdata.Each(t, "solar/position_edges", func(r *refdata.Row) {
		strata[r.S("stratum")]++
		s := withDeltaT(t, site(t, r.F("latDeg"), r.F("lonDeg"), r.F("heightM")), r.F("deltaTS"))
		p := s.At(utc(t, r.S("ut1")))
		r.Check("sepArcsec", separationArcsec(p.TrueElevationDeg, p.AzimuthDeg, 90-r.F("zenithDeg"), r.F("azimuthDeg")),
			fmt.Sprintf("%s: At(%s) at %v N %v E", r.S("stratum"), r.S("ut1"), r.F("latDeg"), r.F("lonDeg")))
	})
	for _, s := range []string{"early", "late", "pole", "date line", "leap second"} {
		require.Positive(t, strata[s], s)
	}
}

func TestDistance(t *testing.T) {
	refdata.Each(t, "solar/distance", func(r *refdata.Row) {
		d := withDeltaT(t, site(t, 0, 0, 0), r.F("deltaTS")).At(utc(t, r.S("date"))).DistanceAU
		r.Check("valueWPerM2", 1361.1/(d*d), "1361.1/R²("+r.S("date")+")")
	})
}

func TestSolarTime(t *testing.T) {
	refdata.Each(t, "solar/solar_time", func(r *refdata.Row) {
		p := site(t, 43, r.F("lonDeg"), 0).At(utc(t, r.S("at")))
		r.Check("solarTimeH", p.SolarTimeH(), "SolarTimeH at "+r.S("at"))
	})
}

func TestDeltaTAgainstMonthlyValues(t *testing.T) {
	refdata.Each(t, "solar/delta_t", func(r *refdata.Row) {
		r.Check("valueS", DeltaT(utc(t, r.S("ut"))), "DeltaT("+r.S("ut")+")")
	})
}

func TestDeltaTAtTheBeginningOfYears(t *testing.T) {
	n := 0
	refdata.Each(t, "solar/delta_t_years", func(r *refdata.Row) {
		n++
		year := int(r.F("year"))
		r.Check("valueS", DeltaT(time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)), r.S("year"))
	})
	require.Equal(t, len(observedDeltaT), n+1, "the last value is a prediction")
}

// The refraction of the almanacs is that of a site with 1010 hPa and 10 °C.
func TestRefraction(t *testing.T) {
	s, err := site(t, 0, 0, 0).WithAir(1010, 10)
	require.NoError(t, err)
	refdata.Each(t, "solar/refraction", func(r *refdata.Row) {
		want := r.F("trueDeg")
		// A declination that puts the sun at the elevation on the meridian of a
		// site at the equator, without parallax and aberration.
		s.obsX, s.obsZ, s.aberration = 0, 0, 0
		var p Position
		p.DistanceAU = 1
		s.look(&p, 0, 0, math.Cos(want*rad), math.Sin(want*rad))
		require.InDelta(t, want, p.TrueElevationDeg, 1e-9)
		r.Check("refractionArcmin", 60*(p.ApparentElevationDeg-p.TrueElevationDeg), "refraction")
	})
}
