package report

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/plot/vg/draw"

	"github.com/stationphysics/stationphysics/station"
)

// chargePicture shows the state of charge of each day and the outages.
func chargePicture(w *station.Weather, y *station.Year) picture {
	pic := picture{Title: "Charge through the year"}
	n := len(y.SoC)
	if w == nil || n == 0 || n != len(w.Steps) {
		return pic.without("the year was run without its series")
	}
	perDay := max(1, int(24*time.Hour/w.Step))
	days := float64(n) / float64(perDay)
	var x, low, high []float64
	for from := 0; from < n; from += perDay {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, s := range y.SoC[from:min(from+perDay, n)] {
			lo, hi = math.Min(lo, float64(s)), math.Max(hi, float64(s))
		}
		x, low, high = append(x, (float64(from)+0.5*float64(perDay))/float64(perDay)), append(low, 100*lo), append(high, 100*hi)
	}
	ch := newChart(230, 0, days, -19, 106)
	monthTicks(ch, w, perDay)
	ticks(&ch.p.Y, []float64{-11, 0, 25, 50, 75, 100}, []string{"out", "0 %", "25 %", "50 %", "75 %", "100 %"})
	ch.grid(nil, []float64{0, 25, 50, 75, 100})
	outages := outagesOf(y.Lost)
	ch.paint(func(c *canvas) {
		xs, ys := append([]float64(nil), x...), append([]float64(nil), high...)
		for i := len(x) - 1; i >= 0; i-- {
			xs, ys = append(xs, x[i]), append(ys, low[i])
		}
		c.area(inkCold, xs, ys)
		c.line(stroke(inkCold, 1), x, low)
		for _, o := range outages {
			from, to := float64(o[0])/float64(perDay), float64(o[1])/float64(perDay)
			// Never thinner than can be seen.
			if thin := days / 300; to-from < thin {
				from, to = (from+to-thin)/2, (from+to+thin)/2
			}
			c.hatched(inkBad, from, -17, to, -5)
			c.box(inkBad, from, -6.5, to, -5)
		}
		for i := range w.Steps {
			if w.Steps[i].Start.Equal(y.LowestAt) {
				at := float64(i) / float64(perDay)
				c.mark(inkText, draw.RingGlyph{}, 4, at, 100*y.LowestSoC)
				a, dx := rightOf, 11.0
				if at > 0.6*days {
					a, dx = leftOf, -11
				}
				c.say(inkText, 11, a, at, math.Max(100*y.LowestSoC, 8), dx, 0, fmt.Sprintf("lowest %s, %s", number(100*y.LowestSoC, "%"), y.LowestAt.Format("2 Jan")))
				break
			}
		}
	})
	service := "No hour is without service."
	if y.LostH > 0 {
		service = fmt.Sprintf("%.0f h without service, the longest outage %.0f h from %s.", y.LostH, y.LongestLostH, y.LongestFrom.Format("2 January"))
	}
	pic.Caption = fmt.Sprintf("Band: lowest to highest charge of each day. Hatched below the zero line: no service. Mean charge %.0f %%. %s Weather: %s.", 100*y.MeanSoC, service, y.Source)
	return pic.drawn(fmt.Sprintf("State of charge through the year: mean %.0f %%, lowest %s on %s. %s", 100*y.MeanSoC, number(100*y.LowestSoC, "%"), y.LowestAt.Format("2 January"), service), ch)
}

// monthTicks names the months along days of weather, the years where it is
// longer than one.
func monthTicks(ch *chart, w *station.Weather, perDay int) {
	var at []float64
	var names []string
	years := len(w.Steps) > 500*perDay
	for i := 0; i < len(w.Steps); i += perDay {
		t := w.Steps[i].Start
		if i > 0 && t.Month() == w.Steps[i-perDay].Start.Month() {
			continue
		}
		if years && t.Month() != time.January {
			continue
		}
		word := t.Format("Jan")
		if years {
			word = t.Format("2006")
		}
		at, names = append(at, float64(i)/float64(perDay)), append(names, word)
	}
	ticks(&ch.p.X, at, names)
}

// outagesOf gives the runs of lost steps, first and past the last.
func outagesOf(lost []bool) (runs [][2]int) {
	for i, l := range lost {
		switch {
		case !l:
		case i > 0 && lost[i-1]:
			runs[len(runs)-1][1] = i + 1
		default:
			runs = append(runs, [2]int{i, i + 1})
		}
	}
	return runs
}

// needWh is what running took and wanted in a month, as Year.WorstMonth
// counts it.
func needWh(e *station.Energy) float64 { return e.ServedWh + e.RegulatorWh + e.UnservedWh + e.IdleWh }

// harvestPicture sets each month's need against what the panel offers.
func harvestPicture(y *station.Year) picture {
	pic := picture{Title: "Need against harvest, month by month"}
	type row struct{ need, offered, taken float64 }
	var rows []row
	var names []string
	most := 0.0
	for m := range y.Months {
		x := &y.Months[m]
		if x.SpanH == 0 {
			continue
		}
		d := x.SpanH / 24
		r := row{needWh(&x.Energy) / d, x.OfferedWh / d, x.TakenWh / d}
		rows, names = append(rows, r), append(names, monthWords[m])
		most = math.Max(most, math.Max(r.need, r.offered))
	}
	if most == 0 {
		return pic.without("nothing is needed and nothing offered")
	}
	ch := newChart(270, -0.03*most, most*1.04, 0, 1)
	ch.rows(names)
	ch.right = 50
	ch.p.X.Label.Text = "Wh a day"
	at := scale(&ch.p.X, 6)
	ch.grid(at, nil)
	ch.paint(func(c *canvas) {
		for i, r := range rows {
			y := -float64(i)
			if r.offered < r.need {
				c.segment(stroke(inkBad, 2, 2, 2), r.offered, y, r.need, y)
			} else {
				c.segment(stroke(inkGood, 3), r.need, y, r.offered, y)
			}
			c.mark(inkWarm, draw.BoxGlyph{}, 4.2, r.offered, y)
			c.mark(inkPaper, draw.CircleGlyph{}, 4.6, r.need, y)
			g := draw.GlyphStyle{Color: inkText.color(), Shape: draw.RingGlyph{}, Radius: 4.6}
			c.SetLineStyle(stroke(inkText, 1.4))
			c.DrawGlyphNoClip(g, c.at(r.need, y))
			if r.need > 0 {
				c.say(inkText, 11, leftOf, c.xMax(), y, 46, 2, fmt.Sprintf("%.2f ×", r.offered/r.need))
			}
		}
	})
	month, ratio := y.WorstMonth()
	pic.Caption = "Square: what the panel offers at the held voltage. Ring: what running needs. Solid between them: to spare; dashed: short. Right: offered over needed. Losses of diode, charger and pack come off the offer."
	if math.IsInf(ratio, 0) {
		return pic.drawn(fmt.Sprintf("Nothing is needed; the panel offers up to %.0f Wh a day.", most), ch)
	}
	x := &y.Months[month-time.January]
	return pic.drawn(fmt.Sprintf("Offer and need of each month. The worst is %s: the panel offers %.1f Wh a day, %.2f times the need of %.1f Wh a day. Over the year it offers %.1f kWh.",
		monthWords[month-time.January], x.OfferedWh/x.SpanH*24, ratio, needWh(&x.Energy)/x.SpanH*24, y.Energy.OfferedWh/1000), ch)
}

// lossPicture follows the year's energy from the panel to the loads.
func lossPicture(y *station.Year) picture {
	pic := picture{Title: "What is lost along the chain"}
	e := &y.Energy
	if !(e.PossibleWh > 0) {
		return pic.without("the panel gives nothing in this weather")
	}
	unit, k := "kWh", 1e-3
	if e.PossibleWh < 5000 {
		unit, k = "Wh", 1
	}
	names := []string{"possible", "at held voltage", "taken", "past diode", "past charger", "past pack", "past idle, starts", "served to loads"}
	lost := []float64{0, e.PossibleWh - e.OfferedWh, e.RefusedWh, e.DiodeWh, e.ChargerWh, e.PackWh + e.StoredWh, e.IdleWh + e.BootWh, e.RegulatorWh}
	left := make([]float64, len(lost))
	left[0] = e.PossibleWh
	for i := 1; i < len(lost); i++ {
		left[i] = left[i-1] - lost[i]
	}
	ch := newChart(240, 0, e.PossibleWh*k, 0, 1)
	ch.rows(names)
	ch.right = 96
	ch.p.X.Label.Text = unit + " a year"
	if y.SpanH < 8000 || y.SpanH > 9000 {
		ch.p.X.Label.Text = fmt.Sprintf("%s in %.0f days", unit, y.SpanH/24)
	}
	ch.grid(scale(&ch.p.X, 4), nil)
	ch.paint(func(c *canvas) {
		for i := range left {
			y := -float64(i)
			c.box(inkGood, 0, y-0.32, left[i]*k, y+0.32)
			if lost[i] > 0 {
				c.hatched(inkBad, left[i]*k, y-0.32, (left[i]+lost[i])*k, y+0.32)
			}
			c.say(inkText, 11, leftOf, c.xMax(), y, 38, 2, few(left[i]*k))
			if i > 0 {
				c.say(inkText, 11, leftOf, c.xMax(), y, 92, 2, "("+minus(-lost[i]*k)+")")
			}
		}
	})
	pic.Caption = "Each bar is what is left after a part; hatched is what that part takes, its number in brackets. Not taken: the pack full, too cold, or the charger at its limit. What the pack holds more or less at the end of the year than at its beginning is counted with its losses."
	return pic.drawn(fmt.Sprintf("Of %.2f %s possible, %.2f are offered at the held voltage, %.2f taken and %.2f served to the loads. Lost on the way: diode %.2f, charger %.2f, pack %.2f, idle and starts %.2f, regulators %.2f %s.",
		e.PossibleWh*k, unit, e.OfferedWh*k, e.TakenWh*k, e.ServedWh*k, e.DiodeWh*k, e.ChargerWh*k, lost[5]*k, lost[6]*k, e.RegulatorWh*k, unit), ch)
}

// few gives a positive number with two or three digits.
func few(x float64) string {
	if math.Abs(x) < 9.95 {
		return fmt.Sprintf("%.2f", x)
	}
	return fmt.Sprintf("%.1f", x)
}

// minus gives a number with its sign, in the sign of print.
func minus(x float64) string {
	switch s := few(math.Abs(x)); {
	case s == "0.00":
		return s
	case x < 0:
		return "\u2212" + s
	default:
		return "+" + s
	}
}

// xMax is the right end of the data area, in data's coordinates.
func (c *canvas) xMax() float64 {
	// The transforms are straight lines.
	x0, x1 := c.tx(0), c.tx(1)
	return float64((c.Max.X - x0) / (x1 - x0))
}

// hotDayPicture shows air, box and junctions through the hottest day.
func hotDayPicture(m *station.Model, sun *station.Sunlight, y *station.Year) picture {
	pic := picture{Title: "The hottest day"}
	day, err := m.HotDay(sun, y)
	if err != nil {
		return pic.absent(err)
	}
	if len(day.Hours) < 2 {
		return pic.without("the weather has no whole day there")
	}
	type series struct {
		words string
		style draw.LineStyle
		vals  []float64
	}
	all := []series{{words: "air outside", style: stroke(inkCold, 1.6)}}
	hasBox := !math.IsNaN(day.Hours[0].BoxC)
	if hasBox {
		all = append(all, series{words: "air in the box", style: stroke(inkWarm, 2, 6, 2)})
	}
	for i, n := range day.Names {
		all = append(all, series{words: n, style: stroke(inkText, 2, [][]float64{{}, {2, 2}, {8, 2, 2, 2}}[i%3]...)})
	}
	var x []float64
	lo, hi := math.Inf(1), math.Inf(-1)
	t := day.Hours[0].Start
	dayStart := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
	stepH := day.Hours[1].Start.Sub(day.Hours[0].Start).Hours()
	for _, h := range day.Hours {
		x = append(x, h.Start.Sub(dayStart).Hours()+stepH/2)
		vals := []float64{h.AirC}
		if hasBox {
			vals = append(vals, h.BoxC)
		}
		vals = append(vals, h.JunctionC...)
		for i, v := range vals {
			all[i].vals = append(all[i].vals, v)
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	type limit struct {
		words string
		c     float64
	}
	var limits []limit
	if !math.IsNaN(day.MostC) {
		limits = append(limits, limit{fmt.Sprintf("electronics ≤ %.0f °C", day.MostC), day.MostC})
	}
	for i := range day.Names {
		if i > 0 && day.LimitC[i] == day.LimitC[0] {
			continue
		}
		limits = append(limits, limit{fmt.Sprintf("junction ≤ %.0f °C", day.LimitC[i]), day.LimitC[i]})
	}
	for _, l := range limits {
		hi = math.Max(hi, l.c)
	}
	ch := newChart(270, 0, 24, math.Floor((lo-(hi-lo)*0.06)/10)*10, hi+(hi-lo)*0.12)
	ticks(&ch.p.X, []float64{0, 6, 12, 18, 24}, []string{"0 h", "6 h", "12 h", "18 h", "24 h"})
	ch.p.Y.Label.Text = "°C"
	ch.grid([]float64{6, 12, 18}, scale(&ch.p.Y, 7))
	ch.paint(func(c *canvas) {
		for _, l := range limits {
			c.segment(stroke(inkBad, 1.2), 0, l.c, 24, l.c)
			c.say(inkText, 10, align{0, 0}, 0, l.c, 4, 3, l.words)
		}
		peak := make([]int, len(all))
		for i, s := range all {
			c.line(s.style, x, s.vals)
			for k, v := range s.vals {
				if v > s.vals[peak[i]] {
					peak[i] = k
				}
			}
		}
		// Words stand above the peak of their line, or below it where a limit,
		// another line or other words lie above.
		var taken [][2]float64
		for _, l := range limits {
			taken = append(taken, [2]float64{float64(c.ty(l.c)) - 1, float64(c.ty(l.c)) + 1})
		}
		for i, s := range all {
			y := float64(c.ty(s.vals[peak[i]]))
			taken = append(taken, [2]float64{y - 3, y + 3})
		}
		free := func(lo, hi float64) bool {
			for _, t := range taken {
				if lo < t[1] && hi > t[0] {
					return false
				}
			}
			return true
		}
		for i, s := range all {
			k := peak[i]
			y := float64(c.ty(s.vals[k]))
			a, dy, lo, hi := above, 5.0, y+4, y+16
			if i == 0 || !free(lo, hi) && free(y-16, y-4) {
				a, dy, lo, hi = below, -5.0, y-16, y-4
			}
			taken = append(taken, [2]float64{lo, hi})
			c.mark(inkText, draw.CircleGlyph{}, 2.5, x[k], s.vals[k])
			c.say(inkText, 11, a, x[k], s.vals[k], 0, dy, fmt.Sprintf("%s %.0f °C", s.words, s.vals[k]))
		}
	})
	pic.Title = "The hottest day, " + day.Hours[0].Start.Format("2 January")
	alt := fmt.Sprintf("Temperatures on %s: air outside up to %.0f °C", day.Hours[0].Start.Format("2 January"), maxOf(all[0].vals))
	for _, s := range all[1:] {
		alt += fmt.Sprintf(", %s up to %.0f °C", s.words, maxOf(s.vals))
	}
	for _, l := range limits {
		alt += "; " + l.words
	}
	pic.Caption = "Hour by hour with the station running and all of the sun taken; junctions at the longest-lasting current and the bus's highest voltage. Dots: the hottest moment of each line."
	for i, n := range day.Names {
		pic.Caption += fmt.Sprintf(" %s: %.2f W, junction %.0f K above the air around it.", sentence(n), day.HeatW[i], day.RiseK[i])
	}
	return pic.drawn(alt+".", ch)
}

func maxOf(xs []float64) float64 {
	m := math.Inf(-1)
	for _, x := range xs {
		m = math.Max(m, x)
	}
	return m
}
