package main

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/soniakeys/meeus/v3/base"
	"github.com/soniakeys/meeus/v3/coord"
	"github.com/soniakeys/meeus/v3/parallax"
	pp "github.com/soniakeys/meeus/v3/planetposition"
	"github.com/soniakeys/meeus/v3/sidereal"
	sun "github.com/soniakeys/meeus/v3/solar"
	"github.com/soniakeys/unit"

	"github.com/stationphysics/stationphysics/solar"
)

// The invented site of the demonstration.
const sunLatDeg, sunLonDeg, sunHeightM = 49.3, 9.4, 612

func newSite() (solar.Site, error) { return solar.NewSite(sunLatDeg, sunLonDeg, sunHeightM) }

// A place is a direction in the sky, without refraction.
type place struct{ elevationDeg, azimuthDeg float64 }

// secondsTo is the angle between two directions in arc seconds.
func (p place) secondsTo(q place) float64 {
	u, v := p.vector(), q.vector()
	d := 0.0
	for i := range u {
		d += (u[i] - v[i]) * (u[i] - v[i])
	}
	return 2 * math.Asin(math.Sqrt(d)/2) * 180 / math.Pi * 3600
}

func (p place) vector() [3]float64 {
	se, ce := math.Sincos(p.elevationDeg * math.Pi / 180)
	sa, ca := math.Sincos(p.azimuthDeg * math.Pi / 180)
	return [3]float64{ce * sa, ce * ca, se}
}

func most(a, b []place) (seconds float64) {
	for i := range a {
		seconds = math.Max(seconds, a[i].secondsTo(b[i]))
	}
	return seconds
}

// sunInstants are 200 instants of one year at all seasons and times of day.
func sunInstants() []time.Time {
	out := make([]time.Time, 200)
	t := time.Date(2026, 1, 1, 10, 0, 0, 0, time.UTC)
	for i := range out {
		out[i] = t
		t = t.Add(43*time.Hour + 48*time.Minute)
	}
	return out
}

// julian gives UTC, taken as UT1, and TT in days from J2000. They stay two-part
// for ERFA.
func julian(t time.Time) (utDays, ttDays float64) {
	d := float64(t.Unix()-946728000) / 86400
	return d, d + solar.DeltaT(t)/86400
}

const j2000 = 2451545

func compareSun() *comparison {
	c := &comparison{
		title: "Where the sun stands", result: "first instant: elevation, azimuth", differ: "most, against the reference",
		work: fmt.Sprintf("Topocentric direction without refraction at %g° N, %g° E, %g m, for 200 instants of 2026; UTC taken as UT1 and the same TT for all. Time for one instant.",
			sunLatDeg, sunLonDeg, float64(sunHeightM)),
	}
	at := sunInstants()
	site, err := newSite()
	if err != nil {
		c.missing("%v", err)
		return c
	}
	track, err := site.Year(2026, time.UTC)
	if err != nil {
		c.missing("%v", err)
		return c
	}
	theirs, err := earth()
	if err != nil {
		c.missing("%v", err)
		return c
	}

	ways := []struct {
		by, note string
		f        func(time.Time) place
	}{
		{"`solar.Site.At`", "NREL's SPA; also refraction, hour angle, distance and equation of time", func(t time.Time) place {
			p := site.At(t)
			return place{p.TrueElevationDeg, p.AzimuthDeg}
		}},
		{"`solar.Track.At`", "the same from a prepared year, whose preparation is not in the time", func(t time.Time) place {
			p := track.At(t)
			return place{p.TrueElevationDeg, p.AzimuthDeg}
		}},
		{"meeus v3.0.1, chapter 25", "short series, 0.01° stated, two terms of nutation in the sun, all in the sidereal time; no refraction, no diurnal aberration", meeusLow},
		{"meeus v3.0.1 with 197 terms of VSOP87", "as many terms as SPA; full IAU 1980 nutation, computed twice (sun, sidereal time); no refraction, no diurnal aberration", func(t time.Time) place { return meeusHigh(theirs, t) }},
	}
	places := make([][]place, len(ways))
	for i, w := range ways {
		places[i] = make([]place, len(at))
		ns := quickest(len(at), func() {
			for k, t := range at {
				places[i][k] = w.f(t)
			}
		})
		c.rows = append(c.rows, entry{by: w.by, ns: ns, note: w.note})
	}
	reference, rows, why := erfa(at)
	if why != "" {
		c.missing("ERFA: %s", why)
		c.differ = "most, against `solar.Site.At`"
		reference = places[0]
	}
	for i := range c.rows {
		c.rows[i].result = places[i][0].String()
		c.rows[i].differs = fmt.Sprintf("%.3g″", most(places[i], reference))
	}
	c.rows = append(c.rows, rows...)
	return c
}

func (p place) String() string { return fmt.Sprintf("%.5f°, %.5f°", p.elevationDeg, p.azimuthDeg) }

// horizontal turns meeus's equatorial place into a direction: its azimuth
// counts from the south, its longitudes count west, and the parallax lowers the
// sun.
func horizontal(ra unit.RA, dec unit.Angle, radiusAU, utDays float64) place {
	az, el := coord.EqToHz(ra, dec, unit.AngleFromDeg(sunLatDeg), unit.AngleFromDeg(-sunLonDeg), sidereal.Apparent(j2000+utDays))
	el -= parallax.Horizontal(radiusAU).Mul(el.Cos())
	return place{el.Deg(), unit.PMod(az.Deg()+180, 360)}
}

func meeusLow(t time.Time) place {
	ut, tt := julian(t)
	ra, dec := sun.ApparentEquatorial(j2000 + tt)
	return horizontal(ra, dec, sun.Radius(base.J2000Century(j2000+tt)), ut)
}

func meeusHigh(e *pp.V87Planet, t time.Time) place {
	ut, tt := julian(t)
	ra, dec, r := sun.ApparentEquatorialVSOP87(e, j2000+tt)
	return horizontal(ra, dec, r, ut)
}

//go:embed vsop87b_earth.csv
var earthTerms string

// earth hands the leading terms of VSOP87B to meeus, which reads them from a
// file of fixed columns in the layout of the published theory.
func earth() (*pp.V87Planet, error) {
	dir, err := os.MkdirTemp("", "vsop87")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	in := csv.NewReader(strings.NewReader(earthTerms))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		return nil, err
	}
	var file strings.Builder
	for rest := rows[1:]; len(rest) > 0; {
		series, power := rest[0][0], rest[0][1]
		n := 1
		for n < len(rest) && rest[n][0] == series && rest[n][1] == power {
			n++
		}
		head := fmt.Sprintf("%17s2    EARTH  %12s%d%17s%s%7d TERMS", "", "", 1+strings.Index("LBR", series), "", power, n)
		fmt.Fprintf(&file, "%-132s\n", head)
		for _, r := range rest[:n] {
			var x [3]float64
			for i := range x {
				if x[i], err = strconv.ParseFloat(r[2+i], 64); err != nil {
					return nil, err
				}
			}
			fmt.Fprintf(&file, "%79s%18.11f%14.11f%20.11f \n", "", x[0], x[1], x[2])
		}
		rest = rest[n:]
	}
	if err := os.WriteFile(filepath.Join(dir, "VSOP87B.ear"), []byte(file.String()), 0o600); err != nil {
		return nil, err
	}
	return pp.LoadPlanetPath(pp.Earth, dir)
}

//go:embed other/sun.c
var sunC string

// erfa compiles and runs the C program on the same instants. why says what is
// missing.
func erfa(at []time.Time) (reference []place, rows []entry, why string) {
	cc, ok := tool("cc", "gcc", "clang")
	if !ok {
		return nil, nil, "a C compiler is missing"
	}
	dir, err := os.MkdirTemp("", "erfa")
	if err != nil {
		return nil, nil, err.Error()
	}
	defer os.RemoveAll(dir)
	source, program := filepath.Join(dir, "sun.c"), filepath.Join(dir, "sun")
	if err := os.WriteFile(source, []byte(sunC), 0o600); err != nil {
		return nil, nil, err.Error()
	}
	if out, err := exec.Command(cc, "-O2", "-o", program, source, "-lerfa", "-lm").CombinedOutput(); err != nil {
		return nil, nil, compileProblem(string(out), err)
	}
	var input strings.Builder
	for _, t := range at {
		ut, tt := julian(t)
		fmt.Fprintf(&input, "%d %.12f %d %.12f\n", j2000, ut, j2000, tt)
	}
	cmd := exec.Command(program, num(sunLatDeg), num(sunLonDeg), num(sunHeightM), num(effort.Seconds()))
	cmd.Stdin = strings.NewReader(input.String())
	out, err := cmd.Output()
	if err != nil {
		return nil, nil, "the C program ended with " + err.Error()
	}
	version, rest, _ := strings.Cut(string(out), "\n")
	places, ns, err := parseERFA(rest, len(at))
	if err != nil {
		return nil, nil, err.Error()
	}
	return places[1], []entry{
		{by: version + " in C, IAU 2006/2000A", result: places[1][0].String(), differs: "the reference", ns: ns[1], note: "all 1365 terms of nutation, a longer series for the Earth's place and velocity; no refraction"},
		{by: version + " in C, IAU 2000B", result: places[0][0].String(), differs: fmt.Sprintf("%.3g″", most(places[0], places[1])), ns: ns[0], note: "77 terms of nutation; else the same"},
	}, ""
}

// compileProblem tells an absent library from a program that is wrong.
func compileProblem(output string, err error) string {
	if strings.Contains(output, "erfa.h: No such file") || strings.Contains(output, "-lerfa") {
		return "liberfa-dev is missing"
	}
	for line := range strings.Lines(output) {
		if strings.Contains(line, "error") {
			return "the C program does not compile: " + strings.TrimSpace(line)
		}
	}
	return "the C program does not compile: " + err.Error()
}

// parseERFA reads the C program's output: places and times of the precise (1)
// and the shorter (0) way.
func parseERFA(text string, n int) (places [2][]place, ns [2]float64, err error) {
	for line := range strings.Lines(text) {
		var way int
		var p place
		var t float64
		if k, _ := fmt.Sscanf(line, "ns%d %g", &way, &t); k == 2 && (way == 0 || way == 1) {
			ns[way] = t
			continue
		}
		if _, err := fmt.Sscanf(line, "%d %g %g", &way, &p.elevationDeg, &p.azimuthDeg); err != nil || way < 0 || way > 1 {
			return places, ns, fmt.Errorf("the C program printed %q", strings.TrimSpace(line))
		}
		places[way] = append(places[way], p)
	}
	if len(places[0]) != n || len(places[1]) != n || !(ns[0] > 0) || !(ns[1] > 0) {
		return places, ns, fmt.Errorf("the C program printed %d and %d places for %d instants", len(places[1]), len(places[0]), n)
	}
	return places, ns, nil
}

func num(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
