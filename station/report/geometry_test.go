package report

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/station"
)

// A stroke of a picture: its points, upwards positive, and its style.
type drawnPath struct {
	x, y  []float64
	style string
}

type drawnText struct {
	x, y  float64
	words string
}

var (
	pathElement = regexp.MustCompile(`<path d="([^"]*)" style="([^"]*)"`)
	textElement = regexp.MustCompile(`(?s)<text x="(-?[\d.e+-]+)" y="(-?[\d.e+-]+)"[^>]*>([^<]*)</text>`)
	pathPoint   = regexp.MustCompile(`(-?[\d.]+(?:e[+-]?\d+)?),(-?[\d.]+(?:e[+-]?\d+)?)(?:[MLZA]|$)`)
	arcRadii    = regexp.MustCompile(`A[\d.]+,[\d.]+ 0 \d \d `)
)

// parts takes a picture apart; what is turned (the words of the vertical axis)
// is left out.
func parts(t testing.TB, svg string) (paths []drawnPath, texts []drawnText) {
	t.Helper()
	svg = regexp.MustCompile(`(?s)<g transform="rotate.*?</g>`).ReplaceAllString(svg, "")
	for _, m := range pathElement.FindAllStringSubmatch(svg, -1) {
		p := drawnPath{style: m[2]}
		for _, q := range pathPoint.FindAllStringSubmatch(arcRadii.ReplaceAllString(m[1], "L"), -1) {
			x, err := strconv.ParseFloat(q[1], 64)
			require.NoError(t, err)
			y, err := strconv.ParseFloat(q[2], 64)
			require.NoError(t, err)
			p.x, p.y = append(p.x, x), append(p.y, y)
		}
		require.NotEmpty(t, p.x, m[1])
		paths = append(paths, p)
	}
	for _, m := range textElement.FindAllStringSubmatch(svg, -1) {
		x, _ := strconv.ParseFloat(m[1], 64)
		y, _ := strconv.ParseFloat(m[2], 64)
		texts = append(texts, drawnText{x, -y, m[3]})
	}
	require.NotEmpty(t, paths)
	require.NotEmpty(t, texts)
	return paths, texts
}

// filled picks the areas of one ink.
func filled(paths []drawnPath, name string) (out []drawnPath) {
	for _, p := range paths {
		if strings.HasPrefix(p.style, "fill:var(--"+name+")") {
			out = append(out, p)
		}
	}
	return out
}

func stroked(paths []drawnPath, name string, dashed bool) (out []drawnPath) {
	for _, p := range paths {
		if strings.Contains(p.style, "stroke:var(--"+name+")") && strings.Contains(p.style, "dasharray") == dashed {
			out = append(out, p)
		}
	}
	return out
}

// outlines picks the frames of hatched boxes.
func outlines(paths []drawnPath) (out []drawnPath) {
	for _, p := range stroked(paths, "bad", false) {
		if len(p.x) == 5 && p.x[0] == p.x[4] && p.y[0] == p.y[4] {
			out = append(out, p)
		}
	}
	return out
}

func middle(xs []float64) float64 {
	lo, hi := xs[0], xs[0]
	for _, x := range xs {
		lo, hi = min(lo, x), max(hi, x)
	}
	return (lo + hi) / 2
}

func TestNothingLeavesThePicture(t *testing.T) {
	for name, change := range map[string]func(d *station.Description){
		"demo":  func(*station.Description) {},
		"right": func(d *station.Description) { d.Charger.SetV, d.Charger.HoldV = station.Of(10.5), station.Of(24.0) },
		"long": func(d *station.Description) {
			d.Regulators[0].Name = "a regulator with a name of some length for its label"
		},
		"flat": func(d *station.Description) { d.Site.SkylineDeg = nil },
	} {
		d := demo(t)
		change(d)
		page, _ := reviewed(t, d, station.Options{Seed: 1})
		for _, s := range svgElement.FindAllString(page, -1) {
			high, err := strconv.ParseFloat(regexp.MustCompile(`viewBox="0 0 360 (\d+)"`).FindStringSubmatch(s)[1], 64)
			require.NoError(t, err)
			paths, texts := parts(t, s)
			for _, p := range paths {
				for i := range p.x {
					require.True(t, p.x[i] > -1 && p.x[i] < 361 && p.y[i] > -1 && p.y[i] < high+1, "%s: %g, %g in %s", name, p.x[i], p.y[i], p.style)
				}
			}
			for _, w := range texts {
				wide := float64(letters(inkText, 9).Width(w.words))
				require.True(t, w.x > 0 && w.x+wide < 360 && w.y > 0 && w.y+7 < high, "%s: %q at %g, %g", name, w.words, w.x, w.y)
			}
		}
	}
}

// Bars are as long as what they stand for.
func TestBarsOfTheChainAreToScale(t *testing.T) {
	_, r := reviewed(t, demo(t), station.Options{Seed: 1})
	e := r.Year.Energy
	left := []float64{e.PossibleWh, e.OfferedWh, e.TakenWh, e.TakenWh - e.DiodeWh, e.TakenWh - e.DiodeWh - e.ChargerWh}
	left = append(left, left[4]-e.PackWh-e.StoredWh)
	left = append(left, left[5]-e.IdleWh-e.BootWh, e.ServedWh)
	paths, _ := parts(t, string(lossPicture(r.Year).SVG))
	bars := filled(paths, "good")
	require.Len(t, bars, len(left))
	for _, o := range outlines(paths) {
		require.LessOrEqual(t, o.x[1], bars[0].x[1]+0.1, "what is lost was there before")
		require.Greater(t, o.x[1], o.x[0])
	}
	require.GreaterOrEqual(t, len(outlines(paths)), 5)
	full := bars[0].x[1] - bars[0].x[0]
	for i, b := range bars {
		require.InDelta(t, left[i]/left[0], (b.x[1]-b.x[0])/full, 2e-3, "bar %d", i)
		require.InDelta(t, bars[0].x[0], b.x[0], 0.01, "all start together")
		if i > 0 {
			require.Less(t, b.y[2], bars[i-1].y[0], "one below the other")
		}
	}
}

func TestHarvestStandsAgainstNeed(t *testing.T) {
	_, r := reviewed(t, demo(t), station.Options{Seed: 1})
	y := r.Year
	paths, texts := parts(t, string(harvestPicture(y).SVG))
	offers, needs := filled(paths, "warm"), filled(paths, "paper")
	require.Len(t, offers, 12)
	require.Len(t, needs, 12)
	short := 0
	var values, at []float64
	for m := range y.Months {
		x := &y.Months[m]
		values = append(values, x.OfferedWh/x.SpanH*24, needWh(&x.Energy)/x.SpanH*24)
		at = append(at, middle(offers[m].x), middle(needs[m].x))
		if x.OfferedWh < needWh(&x.Energy) {
			short++
		}
		require.InDelta(t, middle(offers[m].y), middle(needs[m].y), 1)
	}
	toScale(t, values, at)
	require.Len(t, stroked(paths, "bad", true), short, "short months are dashed")
	require.Len(t, stroked(paths, "good", false), 12-short)
	ratios := 0
	for _, w := range texts {
		if strings.HasSuffix(w.words, "×") {
			ratios++
		}
	}
	require.Equal(t, 12, ratios)
}

// toScale checks that positions are one straight line of the values.
func toScale(t testing.TB, values, at []float64) {
	t.Helper()
	lo, hi := 0, 0
	for i := range values {
		if values[i] < values[lo] {
			lo = i
		}
		if values[i] > values[hi] {
			hi = i
		}
	}
	k := (at[hi] - at[lo]) / (values[hi] - values[lo])
	require.NotZero(t, k)
	for i := range values {
		require.InDelta(t, at[lo]+k*(values[i]-values[lo]), at[i], 1, "value %g", values[i])
	}
}

func TestOutagesAndLowestChargeStandAtTheirDays(t *testing.T) {
	d := demo(t)
	_, r := reviewed(t, d, station.Options{Seed: 1})
	m, err := station.Compile(d)
	require.NoError(t, err)
	w, err := m.Synthetic(1)
	require.NoError(t, err)
	y := r.Year
	paths, texts := parts(t, string(chargePicture(w, y).SVG))
	runs := outagesOf(y.Lost)
	blocks := filled(paths, "bad")
	require.Len(t, blocks, len(runs))
	band := filled(paths, "cold")
	require.Len(t, band, 1)
	require.Len(t, band[0].x, 2*365, "there and back over every day")
	var values, at []float64
	for i, run := range runs {
		if run[1]-run[0] > 48 {
			values, at = append(values, float64(run[0])/24, float64(run[1])/24), append(at, blocks[i].x[0], blocks[i].x[1])
		}
		require.Less(t, blocks[i].y[2], band[0].y[0], "below the charge")
	}
	for i := range 365 {
		values, at = append(values, float64(i)+0.5), append(at, band[0].x[i])
	}
	toScale(t, values, at)
	// The band holds the lowest and the highest charge of each day.
	var charge, height []float64
	for day := range 365 {
		hi, lo := float32(-1), float32(9)
		for _, s := range y.SoC[24*day : 24*day+24] {
			hi, lo = max(hi, s), min(lo, s)
		}
		charge, height = append(charge, float64(hi), float64(lo)), append(height, band[0].y[day], band[0].y[2*365-1-day])
	}
	toScale(t, charge, height)
	months := 0
	for _, w := range texts {
		if _, err := time.Parse("Jan", w.words); err == nil {
			months++
		}
	}
	require.Equal(t, 12, months)
}

func TestArcsAreHiddenAsLongAsTheSunIsLost(t *testing.T) {
	m, err := station.Compile(demo(t))
	require.NoError(t, err)
	site, skyline, zone, err := m.Place()
	require.NoError(t, err)
	for _, month := range []time.Month{time.June, time.March, time.December} {
		a, err := arcOf(site, skyline, zone, month, 21, 180)
		require.NoError(t, err)
		hidden, seen := 0.0, 0.0
		for i := range a.el {
			switch {
			case !(a.el[i] >= 0):
			case a.hidden[i]:
				hidden += 5. / 60
			default:
				seen += 5. / 60
			}
		}
		require.InDelta(t, a.lostH, hidden, 0.35, month)
		require.InDelta(t, a.seenH, seen, 0.35, month)
		for i := 1; i < len(a.hourAz); i++ {
			require.Greater(t, a.hourAz[i], a.hourAz[i-1], "the sun goes to the right")
		}
	}
	require.InDelta(t, 170, fromMiddle(170, 0), 0)
	require.InDelta(t, -10, fromMiddle(350, 0), 0)
	require.InDelta(t, 80, fromMiddle(260, 180), 0)
	require.InDelta(t, -90, fromMiddle(90, 180), 0)

	months, err := site.SunHours(drawnYear, zone, skyline)
	require.NoError(t, err)
	paths, texts := parts(t, svg("hours 1", hiddenChart(months)))
	bars := filled(paths, "warm")
	require.Len(t, bars, 12)
	var values, at []float64
	for i, b := range bars {
		values, at = append(values, months[i].SeenH), append(at, b.y[2]-b.y[0])
	}
	toScale(t, values, at)
	lost := outlines(paths)
	require.Len(t, lost, 12, "every month loses something, hatched")
	values, at = []float64{0}, []float64{0}
	for i, b := range lost {
		values, at = append(values, months[i].LostH), append(at, b.y[2]-b.y[0])
		require.InDelta(t, bars[i].y[2], b.y[0], 0.1, "it stands on what is seen")
		require.InDelta(t, bars[i].x[1]-bars[i].x[0], b.x[1]-b.x[0], 0.1)
	}
	toScale(t, values, at)
	said := ""
	for _, w := range texts {
		said += w.words + " "
	}
	require.Contains(t, said, "268 104 38 ")
}

func TestCellsStandWhereTheirVoltageIs(t *testing.T) {
	m, err := station.Compile(demo(t))
	require.NoError(t, err)
	b, err := m.Cells()
	require.NoError(t, err)
	paths, _ := parts(t, string(cellPicture(m).SVG))
	now, right, spreadOf := filled(paths, "bad"), filled(paths, "good"), filled(paths, "fill")
	require.Len(t, now, 1, "above the limit the bar is of the other ink")
	require.Len(t, right, 1)
	require.Len(t, spreadOf, 1)
	over := stroked(paths, "bad", false)
	require.NotEmpty(t, over)
	toScale(t,
		[]float64{b.MeanV, b.WorstV, b.Trim.LowestV / 3, b.Trim.HighestV / 3, b.Trim.LimitCellV - b.Limits.Charge.SpreadV, b.Trim.LimitCellV + b.Limits.Charge.SpreadV, b.Limits.Overcharge.V},
		[]float64{now[0].x[0], now[0].x[1], right[0].x[0], right[0].x[1], spreadOf[0].x[0], spreadOf[0].x[1], over[0].x[0]})
}

func TestHeldVoltageMeetsTheCurves(t *testing.T) {
	m, err := station.Compile(demo(t))
	require.NoError(t, err)
	h, err := m.Held()
	require.NoError(t, err)
	paths, _ := parts(t, string(curvePicture(m).SVG))
	dots := filled(paths, "ink")
	require.Len(t, dots, 2)
	hot, cold := h.Module.At(1000, h.Window.HotCellC), h.Module.At(1000, h.LowC)
	hotLine := stroked(paths, "warm", false)[0]
	coldLine := stroked(paths, "cold", true)[0]
	most := func(ys []float64) float64 {
		m := ys[0]
		for _, y := range ys {
			m = max(m, y)
		}
		return m
	}
	toScale(t, []float64{hot.PowerW(h.PanelV), cold.PowerW(h.PanelV), 0, hot.MaxPower().Pmp, cold.MaxPower().Pmp},
		[]float64{middle(dots[0].y), middle(dots[1].y), hotLine.y[0], most(hotLine.y), most(coldLine.y)})
	held := stroked(paths, "ink", true)[0]
	limit := stroked(paths, "bad", false)[0]
	toScale(t, []float64{0, h.PanelV, h.MostV, hot.OpenCircuitV(), cold.OpenCircuitV()},
		[]float64{hotLine.x[0], held.x[0], limit.x[0], hotLine.x[160], coldLine.x[160]})
}
