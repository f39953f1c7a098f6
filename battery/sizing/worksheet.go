package sizing

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
)

func errNoPack() error {
	return &stationphysics.RangeError{Quantity: "number of packs", Value: 0, Min: 1, Max: 1}
}

// A Need is the battery part of the worksheet that stand-alone systems are
// sized by. The quantities and their order follow the recommended practices
// IEEE 1013 (lead-acid) and IEEE 1562 (array and battery) as public
// descriptions give them; the standards themselves were not at hand, and the
// factors are the user's.
type Need struct {
	LoadAh        float64 // a day, at the pack's voltage
	Days          float64 // of autonomy
	DepthFrac     float64 // deepest discharge wanted at the end of them, share of the capacity
	TempFrac      float64 // capacity at the lowest cell temperature over the labelled one
	Efficiency    float64 // from the pack to the load, wiring and converter, 0.3..1
	EndOfLifeFrac float64 // capacity at which the pack is to be replaced, 0.8 as a rule
	MarginFrac    float64 // design margin, 0 to 1
	CellAh        float64 // labelled capacity of one cell
}

// A Sheet is the filled-in worksheet.
type Sheet struct {
	UnadjustedAh   float64 // load times days
	DepthAh        float64 // over the depth
	LifeAh         float64 // over the end of life
	AdjustedAh     float64 // the larger of the two: one discharge is not made deeper by the other's allowance
	TempAh         float64 // over the temperature factor and the efficiency
	RequiredAh     float64 // with the margin
	Parallel       int     // cells or strings in parallel
	InstalledAh    float64 // Parallel times the capacity of a cell
	DailyDepthFrac float64 // of the installed capacity, a day
	RateH          float64 // installed capacity over the mean current, h: the rate at which to read the cell's sheet
}

var (
	loadAhRange = limit.Range{Quantity: "daily load", Unit: "Ah a day", Min: 1e-5, Max: 1e5}
	daysRange   = limit.Range{Quantity: "days of autonomy", Min: 0.1, Max: 365}
	depthRange  = limit.Range{Quantity: "depth of discharge", Min: 0.05, Max: 1, Slips: []limit.Slip{{Min: 5, Max: 100, Looks: "percent"}}}
	factorRange = limit.Range{Quantity: "temperature factor", Min: 0.05, Max: 1.2, Slips: []limit.Slip{{Min: 5, Max: 120, Looks: "percent"}}}
	effRange    = limit.Range{Quantity: "efficiency", Min: 0.3, Max: 1, Slips: []limit.Slip{{Min: 30, Max: 100, Looks: "percent"}}}
	marginRange = limit.Range{Quantity: "design margin", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 100, Looks: "percent"}}}
	cellAhRange = limit.Range{Quantity: "capacity of a cell", Unit: "Ah", Min: 0.03, Max: 400, Slips: []limit.Slip{{Min: 400.001, Max: 400_000, Looks: "milliampere-hours"}}}
)

// Work fills the worksheet in. The error is a *stationphysics.RangeError for a
// number out of the range of Need.
func (n Need) Work() (Sheet, error) {
	if err := limit.First(loadAhRange.Check(n.LoadAh), daysRange.Check(n.Days), depthRange.Check(n.DepthFrac), factorRange.Check(n.TempFrac), effRange.Check(n.Efficiency),
		healthRange.Check(n.EndOfLifeFrac), marginRange.Check(n.MarginFrac), cellAhRange.Check(n.CellAh)); err != nil {
		return Sheet{}, err
	}
	s := Sheet{UnadjustedAh: n.LoadAh * n.Days}
	s.DepthAh = s.UnadjustedAh / n.DepthFrac
	s.LifeAh = s.UnadjustedAh / n.EndOfLifeFrac
	s.AdjustedAh = math.Max(s.DepthAh, s.LifeAh)
	s.TempAh = s.AdjustedAh / (n.TempFrac * n.Efficiency)
	s.RequiredAh = s.TempAh * (1 + n.MarginFrac)
	// A hair less than a whole number is that number.
	s.Parallel = max(1, int(math.Ceil(s.RequiredAh/n.CellAh-1e-9)))
	s.InstalledAh = float64(s.Parallel) * n.CellAh
	s.DailyDepthFrac = n.LoadAh / n.Efficiency / s.InstalledAh
	s.RateH = s.InstalledAh / (n.LoadAh / n.Efficiency / 24)
	return s, nil
}

// A FuseCase is what decides the fuse at a pack.
type FuseCase struct {
	Pack         *battery.Pack
	LoadA        float64   // highest continuous current, A
	WireAmpsA    float64   // what the thinnest wire behind the fuse carries continuously, A
	WireOhm      float64   // of wire, holder and connector to where a short may be, ohm, both ways
	RatingsA     []float64 // ratings to be had, rising, 0.01..1000 A
	WarmestC     float64   // of the cells, for the highest short-circuit current
	DeratingFrac float64   // the load may use this share of a rating, 0.75 as a rule, less in a hot box: 0.3..1
}

// A FuseChoice is the fuse for a pack.
type FuseChoice struct {
	RatingA    float64 // the smallest rating that carries the load and protects the wire, A; 0 if none does
	LeastA     float64 // load over the derating
	MostA      float64 // what the wire carries
	ShortA     float64 // current of a dead short through wire and warm pack: the fuse must break it
	ShortRatio float64 // ShortA over the rating: below some ten, a fuse of that rating opens slowly
}

var (
	fuseLoadRange = limit.Range{Quantity: "highest continuous current", Unit: "A", Min: 0.001, Max: 1000, Slips: []limit.Slip{{Min: 1000.001, Max: 1e6, Looks: "milliamperes"}}}
	wireRange     = limit.Range{Quantity: "current the wire carries", Unit: "A", Min: 0.01, Max: 1000}
	wireOhmRange  = limit.Range{Quantity: "resistance of the wire", Unit: "ohm", Min: 0, Max: 10, Slips: []limit.Slip{{Min: 10.001, Max: 10000, Looks: "milliohms"}}}
	deratingRange = limit.Range{Quantity: "share of a fuse's rating that may be used", Min: 0.3, Max: 1, Slips: []limit.Slip{{Min: 30, Max: 100, Looks: "percent"}}}
	ratingRange   = limit.Range{Quantity: "fuse rating", Unit: "A", Min: 0.01, Max: 1000}
)

// BladeRatingsA are the ratings of automotive blade fuses (ISO 8820-3, from
// memory), for FuseCase.RatingsA.
func BladeRatingsA() (ratingsA []float64) {
	return []float64{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40}
}

// Fuse chooses the fuse at the pack: it carries the load without ageing, opens
// before the wire is hurt, and stands as close to the pack as it can. The
// short-circuit current is what the fuse's breaking capacity must exceed: at a
// full pack, its quick resistance at the warmest temperature and the wire. The
// error is a *stationphysics.RangeError for a number out of range. That no
// fuse will do is no error but a RatingA of 0.
func Fuse(c FuseCase) (FuseChoice, error) {
	if c.Pack == nil {
		return FuseChoice{}, errNoPack()
	}
	if err := limit.First(fuseLoadRange.Check(c.LoadA), wireRange.Check(c.WireAmpsA), wireOhmRange.Check(c.WireOhm), tempRange.Check(c.WarmestC), deratingRange.Check(c.DeratingFrac)); err != nil {
		return FuseChoice{}, err
	}
	quick := c.Pack.Resistance(c.WarmestC).QuickOhm
	f := FuseChoice{LeastA: c.LoadA / c.DeratingFrac, MostA: c.WireAmpsA, ShortA: c.Pack.OpenCircuitV(1, c.WarmestC) / (quick + c.WireOhm)}
	for _, r := range c.RatingsA {
		if err := ratingRange.Check(r); err != nil {
			return FuseChoice{}, err
		}
		if r >= f.LeastA-1e-12 && r <= f.MostA && (f.RatingA == 0 || r < f.RatingA) {
			f.RatingA = r
		}
	}
	if f.RatingA > 0 {
		f.ShortRatio = f.ShortA / f.RatingA
	}
	return f, nil
}
