package solar

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestArcAgreesWithTrack holds arcs of an hour and of three to the bounds that the
// documentation states, at all latitudes, poles included, and over the years.
func TestArcAgreesWithTrack(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2026))
	worst := map[time.Duration]float64{}
	for year := 1901; year <= 2199; year += 11 {
		lat := rng.Float64()*180 - 90
		switch year % 3 {
		case 0:
			lat = math.Copysign(90, lat)
		case 1:
			lat /= 4 // a sun near the zenith
		}
		s := site(t, lat, rng.Float64()*360-180, rng.Float64()*4000)
		tr, err := s.Year(year, nil)
		require.NoError(t, err)
		start := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)
		for n := range 400 {
			length := []time.Duration{time.Hour, longestArc}[n%2]
			from := start.Add(time.Duration(rng.Float64() * 364 * 86400e9))
			arc := tr.Arc(from, length)
			span := time.Duration(rng.Float64() * float64(length))
			switch n % 10 {
			case 0, 1:
				span = 0
			case 2, 3:
				span = length
			}
			p, d := tr.At(from.Add(span)), arc.At(span.Seconds())
			bound := 0.01
			if length > time.Hour {
				bound = 0.1
			}
			sep := separationArcsec(p.TrueElevationDeg, p.AzimuthDeg, d.TrueElevationDeg, d.AzimuthDeg())
			require.Less(t, sep, bound, "%v + %v", from, span)
			worst[length] = max(worst[length], sep)
			// The distance bends by 5e-6 au a day², over 0.0625 days half of 2e-8.
			require.InDelta(t, p.DistanceAU, d.DistanceAU, 1e-7)
			// The unit vector is that of the apparent place: to the rounding of some ten
			// products, and to the 1e-11° of the arc tangent.
			require.InDelta(t, 1, d.EastRatio*d.EastRatio+d.NorthRatio*d.NorthRatio+d.UpRatio*d.UpRatio, 1e-13)
			require.InDelta(t, math.Sin(d.ApparentElevationDeg*rad), d.UpRatio, 1e-11)
			if math.Abs(p.TrueElevationDeg-lowestSeenDeg) > 0.01 {
				// The refraction changes by up to a fifth of the elevation at the horizon, in
				// between by less.
				require.InDelta(t, p.ApparentElevationDeg, d.ApparentElevationDeg, 1.3*bound/3600, "%v + %v", from, span)
			}
		}
	}
	require.Greater(t, worst[longestArc], worst[time.Hour])
	require.Greater(t, worst[time.Hour], 1e-6, "nothing is taken as straight")
	t.Logf("largest differences %v″", worst)
}

func TestArcOutside(t *testing.T) {
	s := site(t, 47, 8, 400)
	from := time.Date(2024, 3, 1, 0, 0, 0, 0, time.UTC)
	tr, err := s.Track(from, from.AddDate(0, 0, 2))
	require.NoError(t, err)
	for name, arc := range map[string]Arc{
		"zero":         {},
		"of no track":  (&Track{}).Arc(from, time.Hour),
		"before":       tr.Arc(from.Add(-time.Second), time.Hour),
		"over the end": tr.Arc(from.AddDate(0, 0, 2).Add(-time.Hour+time.Second), time.Hour),
		"too long":     tr.Arc(from, 3*time.Hour+1),
		"backwards":    tr.Arc(from, -1),
	} {
		d := arc.At(0)
		for _, v := range []float64{d.EastRatio, d.NorthRatio, d.UpRatio, d.ApparentElevationDeg, d.TrueElevationDeg, d.DistanceAU, d.AzimuthDeg()} {
			require.True(t, math.IsNaN(v), name)
		}
	}
	arc := tr.Arc(from, time.Hour)
	for _, s := range []float64{-1, 3601, math.NaN(), math.Inf(1)} {
		require.True(t, math.IsNaN(arc.At(s).UpRatio), s)
	}
	for _, s := range []float64{0, 3600} {
		require.False(t, math.IsNaN(arc.At(s).UpRatio), s)
	}
}

// An arc keeps the Earth's own time: 0.9 s of it are 13.5″ of the sun's way, of which
// an arc of six minutes may miss a hundredth of what one of an hour does, 0.0001″; the
// rest of the bound is for the rounding of an angle between two places. And it goes to
// the very ends of its track, whatever their rounding as days.
func TestArcHonoursUT1AndTheEndsOfItsTrack(t *testing.T) {
	s, err := site(t, 47, 8, 400).WithUT1(0.9)
	require.NoError(t, err)
	const length = 6 * time.Minute
	for n := range 50 {
		from := time.Date(2024, 3, 20, 7, 0, 0, 0, time.UTC).Add(time.Duration(n) * 7321987654 * time.Nanosecond)
		to := from.Add(11 * time.Hour)
		tr, err := s.Track(from, to)
		require.NoError(t, err)
		for _, start := range []time.Time{from, to.Add(-length)} {
			arc := tr.Arc(start, length)
			for _, span := range []time.Duration{0, length / 3, length} {
				p, d := tr.At(start.Add(span)), arc.At(span.Seconds())
				require.Less(t, separationArcsec(p.TrueElevationDeg, p.AzimuthDeg, d.TrueElevationDeg, d.AzimuthDeg()), 1e-3, "%v + %v", start, span)
			}
		}
	}
}

// An arc of no length has the one direction.
func TestArcOfNoLength(t *testing.T) {
	s := site(t, 47, 8, 400)
	from := time.Date(2024, 3, 1, 12, 0, 0, 0, time.UTC)
	tr, err := s.Track(from, from.AddDate(0, 0, 2))
	require.NoError(t, err)
	arc := tr.Arc(from, 0)
	require.InDelta(t, tr.At(from).TrueElevationDeg, arc.At(0).TrueElevationDeg, 0.01/3600)
}

// The way to the sun of a position, by hand: at 30° in the south-west
// east and north are -cos 30° sin 45° = -√(3/4) √(1/2).
func TestDirectionOfAPosition(t *testing.T) {
	p := Position{AzimuthDeg: 225, ApparentElevationDeg: 30, TrueElevationDeg: 29.97, DistanceAU: 1.01}
	d := p.Direction()
	for got, want := range map[*float64]float64{
		&d.EastRatio: -math.Sqrt(3.0 / 8), &d.NorthRatio: -math.Sqrt(3.0 / 8), &d.UpRatio: 0.5,
		&d.ApparentElevationDeg: 30, &d.TrueElevationDeg: 29.97, &d.DistanceAU: 1.01,
	} {
		require.InDelta(t, want, *got, 1e-15)
	}
}

func BenchmarkArcAt(b *testing.B) {
	s, _ := NewSite(39.742476, -105.1786, 1830.14)
	t := time.Date(2003, 10, 17, 19, 0, 0, 0, time.UTC)
	tr, err := s.Track(t, t.AddDate(0, 0, 1))
	if err != nil {
		b.Fatal(err)
	}
	arc := tr.Arc(t, time.Hour)
	b.ReportAllocs()
	x := 0.0
	for b.Loop() {
		sink = arc.At(x).UpRatio
		if x += 7; x > 3600 {
			x = 0
		}
	}
}

func BenchmarkArc(b *testing.B) {
	s, _ := NewSite(39.742476, -105.1786, 1830.14)
	t := time.Date(2003, 10, 17, 19, 0, 0, 0, time.UTC)
	tr, err := s.Track(t, t.AddDate(0, 0, 1))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		arc := tr.Arc(t, time.Hour)
		sink = arc.halfD
	}
}
