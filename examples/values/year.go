package main

import (
	_ "embed"
	"fmt"
	"strings"

	"github.com/stationphysics/stationphysics/station"
)

// description is an invented station.
//
//go:embed station.toml
var description string

func stationNumbers(l *list) {
	l.in("station")
	d := must[*station.Description](l)(station.Read(strings.NewReader(description), "station.toml"))
	if l.err != nil {
		return
	}
	m := must[*station.Model](l)(station.Compile(d))
	if l.err != nil {
		return
	}
	w := must[*station.Weather](l)(m.Synthetic(3))
	sun := must[*station.Sunlight](l)(m.Sunlight(w))
	if l.err != nil {
		return
	}
	y := must[*station.Year](l)(m.Run(sun, 3))
	if l.err != nil {
		return
	}
	soc := y.SoC
	y.SoC, y.Lost = nil, nil
	l.add("year", *y)
	l.methods("year", y)
	for k := 5; k < len(soc); k += 97 {
		l.add(fmt.Sprintf("year SoC after step %d", k), soc[k])
	}
	r := must[*station.Review](l)(station.NewReview(d, station.Options{Weather: w, Seed: 3}))
	if l.err != nil {
		return
	}
	for i, f := range r.Findings {
		n := fmt.Sprintf("finding %d %s", i, f.Quantity)
		l.add(n+" word", f.Word)
		l.add(n, []float64{f.Value, f.Limit, f.Margin})
	}
}
