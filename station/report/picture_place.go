package report

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/plot/vg/draw"

	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/station"
)

// drawnYear is the calendar year of the sun's arcs: another moves them by some
// hundredths of a degree.
const drawnYear = 2025

var monthWords = [...]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

// sunArc is the sun's way over one date, by the quarter of an hour and finer.
type sunArc struct {
	words    string
	az, el   []float64 // azimuth from the middle of the picture
	hidden   []bool
	hourAz   []float64
	hourEl   []float64
	hourWord []string
	seenH    float64
	lostH    float64
}

func sunPicture(m *station.Model, y *station.Year) picture {
	pic := picture{Title: "The sun and the skyline"}
	site, skyline, zone, err := m.Place()
	if err != nil {
		return pic.absent(err)
	}
	months, err := site.SunHours(drawnYear, zone, skyline)
	if err != nil {
		return pic.absent(err)
	}
	middle, middleWord := 180.0, "south"
	if site.LatDeg() < 0 {
		middle, middleWord = 0, "north"
	}
	var arcs []sunArc
	for _, date := range []struct {
		month time.Month
		day   int
	}{{time.June, 21}, {time.March, 20}, {time.December, 21}} {
		a, err := arcOf(site, skyline, zone, date.month, date.day, middle)
		if err != nil {
			return pic.absent(err)
		}
		arcs = append(arcs, a)
	}
	var possible, lost float64
	worst := 0
	for i, s := range months {
		possible += s.PossibleH
		lost += s.LostH
		if s.LostH > months[worst].LostH {
			worst = i
		}
	}
	share := 0.0
	if possible > 0 {
		share = lost / possible
	}
	sky := skyChart(arcs, skyline, middle, middleWord)
	hours := hiddenChart(months)
	pic.Caption = fmt.Sprintf("Thick: the sun is seen. Thin and dashed: it is behind the skyline (filled). Dots: full hours of the station's clock. "+
		"Below: hours a month that a cloudless sky would give; hatched is hidden, with its number. Hidden in a cloudless year: %.0f of %.0f h.", lost, possible)
	if y != nil && y.BeamH > 0 {
		pic.Caption += fmt.Sprintf(" With the clouds of this year's weather: %.0f of %.0f h.", y.HiddenBeamH, y.BeamH)
	}
	alt := fmt.Sprintf("Paths of the sun over the skyline. On 21 June it is seen for %.1f h and hidden for %.1f h, on 20 March %.1f and %.1f h, on 21 December %.1f and %.1f h. Hidden in the year: %.0f of %.0f h, %.0f %%; most in %s, %.0f h.",
		arcs[0].seenH, arcs[0].lostH, arcs[1].seenH, arcs[1].lostH, arcs[2].seenH, arcs[2].lostH, lost, possible, 100*share, monthWords[worst], months[worst].LostH)
	return pic.drawn(alt, sky, hours)
}

func arcOf(site solar.Site, skyline solar.Skyline, zone *time.Location, month time.Month, day int, middle float64) (sunArc, error) {
	a := sunArc{words: fmt.Sprintf("%d %s", day, month.String()[:3])}
	direct, err := site.DirectSun(drawnYear, month, day, zone, skyline)
	if err != nil {
		return a, err
	}
	a.seenH, a.lostH = direct.SeenH, direct.LostH
	start := time.Date(drawnYear, month, day, 0, 0, 0, 0, zone)
	for k := 0; k <= 24*12; k++ {
		t := start.Add(time.Duration(k) * 5 * time.Minute)
		p := site.At(t)
		az, el := fromMiddle(p.AzimuthDeg, middle), p.ApparentElevationDeg
		if el < 0 || len(a.az) > 0 && math.Abs(az-a.az[len(a.az)-1]) > 180 {
			az, el = math.NaN(), math.NaN()
		}
		a.az, a.el = append(a.az, az), append(a.el, el)
		a.hidden = append(a.hidden, skyline.Hides(p.AzimuthDeg, p.ApparentElevationDeg))
		if k%12 == 0 && el > 1 {
			a.hourAz, a.hourEl = append(a.hourAz, az), append(a.hourEl, el)
			a.hourWord = append(a.hourWord, fmt.Sprint(t.Hour()))
		}
	}
	return a, nil
}

func fromMiddle(azimuthDeg, middle float64) float64 {
	return math.Mod(azimuthDeg-middle+540, 360) - 180
}

func skyChart(arcs []sunArc, skyline solar.Skyline, middle float64, middleWord string) *chart {
	wide, top := 60.0, 20.0
	for _, a := range arcs {
		for i := range a.az {
			if !math.IsNaN(a.az[i]) {
				wide, top = math.Max(wide, math.Abs(a.az[i])+8), math.Max(top, a.el[i]+9)
			}
		}
	}
	wide, top = math.Min(wide, 180), math.Min(top, 99)
	ch := newChart(250, -wide, wide, 0, top)
	words := map[float64]string{0: "north", 45: "NE", 90: "east", 135: "SE", 180: "south", 225: "SW", 270: "west", 315: "NW", 360: "north"}
	var at []float64
	var names []string
	for d := -180.0; d <= 180; d += 45 {
		if math.Abs(d) <= wide-4 {
			at = append(at, d)
			names = append(names, words[math.Mod(d+middle+360, 360)])
		}
	}
	ticks(&ch.p.X, at, names)
	ch.p.Y.Label.Text = "degrees up"
	heights := scale(&ch.p.Y, 5)
	ch.grid(at, heights)
	ch.paint(func(c *canvas) {
		xs, ys := []float64{-wide}, []float64{0.0}
		for d := -wide; d <= wide; d++ {
			xs = append(xs, d)
			ys = append(ys, math.Min(top, math.Max(0, skyline.ElevationDeg(math.Mod(d+middle+360, 360)))))
		}
		xs, ys = append(xs, wide), append(ys, 0)
		c.area(inkFill, xs, ys)
		c.line(stroke(inkText, 1), xs[1:len(xs)-1], ys[1:len(ys)-1])
		for n, a := range arcs {
			seen, hidden := append([]float64(nil), a.el...), append([]float64(nil), a.el...)
			for i := range a.el {
				// A point where the sun changes sides belongs to both lines.
				if a.hidden[i] && (i+1 >= len(a.el) || a.hidden[i+1]) && (i == 0 || a.hidden[i-1]) {
					seen[i] = math.NaN()
				}
				if !a.hidden[i] {
					hidden[i] = math.NaN()
				}
			}
			c.line(stroke(inkWarm, 2.6), a.az, seen)
			c.line(stroke(inkBad, 1.2, 3, 2), a.az, hidden)
			for i := range a.hourAz {
				c.mark(inkText, draw.CircleGlyph{}, 1.8, a.hourAz[i], a.hourEl[i])
				if n != 1 && i%2 == 0 {
					c.say(inkText, 9, above, a.hourAz[i], a.hourEl[i], 0, 4, a.hourWord[i])
				}
			}
			peak := -1
			for i := range a.el {
				if !math.IsNaN(a.el[i]) && (peak < 0 || a.el[i] > a.el[peak]) {
					peak = i
				}
			}
			if peak >= 0 {
				c.say(inkText, 11, below, a.az[peak], a.el[peak], 0, -6, a.words)
			}
		}
	})
	ch.p.X.Label.Text = "looking " + middleWord
	return ch
}

func hiddenChart(months [12]solar.MonthSun) *chart {
	most := 1.0
	for _, s := range months {
		most = math.Max(most, s.PossibleH)
	}
	ch := newChart(140, -0.6, 11.6, 0, most*1.16)
	var at []float64
	var names []string
	for i := range months {
		at, names = append(at, float64(i)), append(names, monthWords[i][:3])
	}
	ticks(&ch.p.X, at, names)
	ch.p.X.Tick.Length = 0
	ch.p.Y.Label.Text = "hours of sun"
	scale(&ch.p.Y, 4)
	ch.paint(func(c *canvas) {
		for i, s := range months {
			x := float64(i)
			c.box(inkWarm, x-0.33, 0, x+0.33, s.SeenH)
			c.hatched(inkBad, x-0.33, s.SeenH, x+0.33, s.SeenH+s.LostH)
			if s.LostH >= 0.5 {
				c.say(inkText, 10, above, x, s.SeenH+s.LostH, 0, 3, fmt.Sprintf("%.0f", s.LostH))
			}
		}
	})
	return ch
}
