package station

import (
	"context"
	"errors"
	"math"
	"sort"
	"sync"
)

// A Search lists what to try: every combination of its lists is a variant. An
// empty list keeps what the description states.
type Search struct {
	ParallelPanels []int                 // strings of panels in parallel
	TiltsDeg       []float64             // tilt of the panel
	FacingsDeg     []float64             // facing of the panel
	CapacitiesAh   []float64             // capacity of the pack
	LoadFrac       []float64             // all currents of all loads times this
	FreeSkyline    bool                  // nothing stands before the sky: the mast moved out of the shade
	Weather        *Weather              // the one year to run; nil for seeded years of the climate
	Years          int                   // seeded years a variant, 1..100000; with Weather, of snow alone
	FirstSeed      uint64                // of the years and of the snow; the others follow it
	AcceptedLostH  float64               // most hours without service in each of the years
	Workers        int                   // goroutines; 0 for one a core
	Progress       func(done, total int) // called from one goroutine at a time; may be nil
}

// A Variant is one combination and what it came to.
type Variant struct {
	ParallelPanels int     // strings of panels in parallel
	TiltDeg        float64 // tilt of the panel from the horizontal
	FacingDeg      float64 // where it faces, clockwise from true north
	CapacityAh     float64 // of the pack
	LoadFrac       float64 // all currents of all loads times this
	MeanLostH      float64 // over the years
	WorstLostH     float64 // in the worst of them
	Meets          bool    // WorstLostH is accepted
}

// maxVariants bounds a search: beyond it a finer list answers nothing.
const maxVariants = 100000

// ErrTooManyVariants is returned for a search of more than 100000 variants.
var ErrTooManyVariants = errors.New("more than 100000 variants: shorten the lists")

// ErrNoYears is returned for a search without a year to run.
var ErrNoYears = errors.New("a search needs at least one year")

// Size tries all variants of a search over its years and returns them smallest
// first: by panels, then capacity, then load. Weather is made once a seed, sun
// and panel once a seed and mounting, so that packs and loads cost little more.
// The same search gives the same result whatever the number of cores. The
// errors are *MissingError for lines that the description lacks, ErrNoYears,
// ErrTooManyVariants, InputErrors for a value out of its range, and that of a
// cancelled context.
func (p *Model) Size(ctx context.Context, s Search) ([]Variant, error) {
	miss := p.Missing()
	if s.Weather == nil {
		miss = append(miss, p.ClimateMissing()...)
	}
	if len(miss) > 0 {
		return nil, &MissingError{For: "sizing", Keys: unique(miss)}
	}
	if s.Years < 1 {
		return nil, ErrNoYears
	}
	if err := yearsRange.Check(float64(s.Years)); err != nil {
		return nil, err
	}
	g, err := newGrid(p, s)
	if err != nil {
		return nil, err
	}
	weathers := make([]*Weather, s.Years)
	err = inParallel(ctx, s.Workers, s.Years, func(i int) (err error) {
		if weathers[i] = s.Weather; s.Weather == nil {
			weathers[i], err = p.Synthetic(s.FirstSeed + uint64(i))
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	lost := make([][]float64, len(g.variants))
	for i := range lost {
		lost[i] = make([]float64, s.Years)
	}
	units := len(g.planes) * s.Years
	var mu sync.Mutex
	done := 0
	left := make([]int, len(g.planes)) // years to be run
	for i := range left {
		left[i] = s.Years
	}
	err = inParallel(ctx, s.Workers, units, func(u int) error {
		plane, year := u/s.Years, u%s.Years
		if err := g.runUnit(plane, weathers[year], s.FirstSeed+uint64(year), func(variant int, lostH float64) { lost[variant][year] = lostH }); err != nil {
			return err
		}
		mu.Lock()
		defer mu.Unlock()
		done++
		if left[plane]--; left[plane] == 0 {
			g.planes[plane].sun().forgetCourse()
		}
		if s.Progress != nil {
			s.Progress(done, units)
		}
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	out := g.variants
	for i := range out {
		for _, h := range lost[i] {
			out[i].MeanLostH += h / float64(s.Years)
			out[i].WorstLostH = math.Max(out[i].WorstLostH, h)
		}
		out[i].Meets = out[i].WorstLostH <= s.AcceptedLostH
	}
	sort.SliceStable(out, func(i, j int) bool { return smaller(&out[i], &out[j]) })
	return out, nil
}

func smaller(a, b *Variant) bool {
	switch {
	case a.ParallelPanels != b.ParallelPanels:
		return a.ParallelPanels < b.ParallelPanels
	case a.CapacityAh != b.CapacityAh:
		return a.CapacityAh < b.CapacityAh
	case a.LoadFrac != b.LoadFrac:
		return a.LoadFrac > b.LoadFrac
	case a.TiltDeg != b.TiltDeg:
		return a.TiltDeg < b.TiltDeg
	}
	return a.FacingDeg < b.FacingDeg
}

// Smallest returns the first of the variants, in the order of Size, that meets
// what was asked; ok is false if none does.
func Smallest(variants []Variant) (v Variant, ok bool) {
	for _, v := range variants {
		if v.Meets {
			return v, true
		}
	}
	return Variant{}, false
}

// A grid holds the models of a search: one a mounting and number of panels for
// the sun, one a variant for the run.
type grid struct {
	variants []Variant
	planes   []planeOf
}

type planeOf struct {
	fields []fieldOf
}

// sun is the model that carries the weather to the plane.
func (p *planeOf) sun() *Model { return p.fields[0].models[0] }

// A fieldOf is one mounting with one number of panels; its first variant's
// model makes the stage.
type fieldOf struct {
	models  []*Model
	indexes []int // of the variants
}

func newGrid(p *Model, s Search) (*grid, error) {
	d := p.d
	panels := orElse(s.ParallelPanels, *d.Panel.Parallel)
	tilts, facings := orElse(s.TiltsDeg, *d.Panel.TiltDeg), orElse(s.FacingsDeg, *d.Panel.FacingDeg)
	caps, loads := orElse(s.CapacitiesAh, *d.Pack.CapacityAh), orElse(s.LoadFrac, 1)
	// Multiplied as floats, which cannot wrap around.
	if float64(len(panels))*float64(len(tilts))*float64(len(facings))*float64(len(caps))*float64(len(loads)) > maxVariants {
		return nil, ErrTooManyVariants
	}
	g := &grid{}
	for _, tilt := range tilts {
		for _, facing := range facings {
			var pl planeOf
			for _, n := range panels {
				var f fieldOf
				for _, c := range caps {
					for _, l := range loads {
						v := Variant{ParallelPanels: n, TiltDeg: tilt, FacingDeg: facing, CapacityAh: c, LoadFrac: l}
						m, err := Compile(d.variant(v, s.FreeSkyline))
						if err != nil {
							return nil, err
						}
						f.models = append(f.models, m)
						f.indexes = append(f.indexes, len(g.variants))
						g.variants = append(g.variants, v)
					}
				}
				pl.fields = append(pl.fields, f)
			}
			g.planes = append(g.planes, pl)
		}
	}
	return g, nil
}

func orElse[T any](list []T, one T) []T {
	if len(list) == 0 {
		return []T{one}
	}
	return list
}

func (g *grid) runUnit(plane int, w *Weather, seed uint64, result func(variant int, lostH float64)) error {
	sun, err := g.planes[plane].sun().Sunlight(w)
	if err != nil {
		return err
	}
	for _, f := range g.planes[plane].fields {
		if err := f.run(sun, seed, result); err != nil {
			return err
		}
	}
	return nil
}

func (f *fieldOf) run(sun *Sunlight, seed uint64, result func(variant int, lostH float64)) error {
	st := f.models[0].stage(sun)
	defer st.release()
	for k, m := range f.models {
		y, err := m.runStage(st, seed, false)
		if err != nil {
			return err
		}
		result(f.indexes[k], y.LostH)
	}
	return nil
}

// variant returns a copy of the description with a variant's numbers.
func (d *Description) variant(v Variant, freeSkyline bool) *Description {
	out := *d
	panel, pack, site := *d.Panel, *d.Pack, *d.Site
	out.Panel, out.Pack, out.Site = &panel, &pack, &site
	panel.Parallel, panel.TiltDeg, panel.FacingDeg = Of(v.ParallelPanels), Of(v.TiltDeg), Of(v.FacingDeg)
	pack.CapacityAh = Of(v.CapacityAh)
	if d.Pack.CellOhm != nil {
		// More of the same cells in parallel have less resistance.
		pack.CellOhm = Of(math.Min(1, math.Max(1e-4, *d.Pack.CellOhm**d.Pack.CapacityAh/v.CapacityAh)))
	}
	if freeSkyline {
		site.SkylineDeg = nil
	}
	out.Loads = make([]*Load, len(d.Loads))
	for i, l := range d.Loads {
		c := *l
		for _, a := range []**float64{&c.AsleepA, &c.AwakeA, &c.PeakA} {
			if *a != nil {
				*a = Of(**a * v.LoadFrac)
			}
		}
		out.Loads[i] = &c
	}
	return &out
}

// A Lever is one single change to a station and what it buys.
type Lever struct {
	Name      string
	MeanLostH float64 // mean hours without service a year with the change
	GainH     float64 // hours of service a year that it brings
}

// Levers tries single changes, each for itself, over some years, and ranks them
// by what they buy: half the load, twice the panels, twice the pack, steeper
// and flatter tilts, a place without skyline. The first element is the station
// as it stands. A change beyond what a description can state, such as twice a pack
// of 300 Ah, is left out. It fails as Size does.
func (p *Model) Levers(ctx context.Context, years int, firstSeed uint64) ([]Lever, error) {
	if miss := append(p.Missing(), p.ClimateMissing()...); len(miss) > 0 {
		return nil, &MissingError{For: "levers", Keys: unique(miss)}
	}
	d := p.d
	tries := []struct {
		name string
		s    Search
	}{
		{"as it stands", Search{}},
		{"half the load", Search{LoadFrac: []float64{0.5}}},
		{"a quarter of the load", Search{LoadFrac: []float64{0.25}}},
		{"twice the panels", Search{ParallelPanels: []int{2 * *d.Panel.Parallel}}},
		{"twice the pack", Search{CapacitiesAh: []float64{2 * *d.Pack.CapacityAh}}},
		{"20° steeper", Search{TiltsDeg: []float64{math.Min(90, *d.Panel.TiltDeg+20)}}},
		{"20° flatter", Search{TiltsDeg: []float64{math.Max(0, *d.Panel.TiltDeg-20)}}},
		{"out of the skyline's shadow", Search{FreeSkyline: true}},
	}
	var out []Lever
	for i, t := range tries {
		t.s.Years, t.s.FirstSeed, t.s.AcceptedLostH = years, firstSeed, 0
		v, err := p.Size(ctx, t.s)
		var beyond InputErrors
		if i > 0 && errors.As(err, &beyond) {
			continue
		}
		if err != nil {
			return nil, err
		}
		l := Lever{Name: t.name, MeanLostH: v[0].MeanLostH}
		if i > 0 {
			l.GainH = out[0].MeanLostH - l.MeanLostH
		}
		out = append(out, l)
	}
	sort.SliceStable(out[1:], func(i, j int) bool { return out[1+i].GainH > out[1+j].GainH })
	return out, nil
}
