package station

import (
	"math"
	"time"
)

// An Energy is a balance in Wh. What the panel gave equals what was served,
// stored and lost:
//
//	TakenWh = DiodeWh + ChargerWh + PackWh + RegulatorWh + BootWh + IdleWh + ServedWh + StoredWh
type Energy struct {
	PossibleWh  float64 // at the panel's maximum power point
	OfferedWh   float64 // at the voltage that the charger holds
	RefusedWh   float64 // of it, not taken: the pack full or too cold, or the charger at its current limit
	TakenWh     float64 // of it, taken from the panel
	DiodeWh     float64 // lost in the blocking diode
	ChargerWh   float64 // lost in the charger
	PackWh      float64 // lost in the pack, its self-discharge included
	RegulatorWh float64 // lost in the regulators
	BootWh      float64 // spent on starting again
	IdleWh      float64 // taken by the charger in the dark
	ServedWh    float64 // at the loads
	StoredWh    float64 // gain of the pack, counted at 25 °C and no current
	UnservedWh  float64 // wanted by the loads and not there, at the pack
}

func (e *Energy) add(o *Energy) {
	e.PossibleWh += o.PossibleWh
	e.OfferedWh += o.OfferedWh
	e.RefusedWh += o.RefusedWh
	e.TakenWh += o.TakenWh
	e.DiodeWh += o.DiodeWh
	e.ChargerWh += o.ChargerWh
	e.PackWh += o.PackWh
	e.RegulatorWh += o.RegulatorWh
	e.BootWh += o.BootWh
	e.IdleWh += o.IdleWh
	e.ServedWh += o.ServedWh
	e.StoredWh += o.StoredWh
	e.UnservedWh += o.UnservedWh
}

// ResidualWh is what the balance does not account for: rounding.
func (e *Energy) ResidualWh() float64 {
	return e.TakenWh - e.DiodeWh - e.ChargerWh - e.PackWh - e.RegulatorWh - e.BootWh - e.IdleWh - e.ServedWh - e.StoredWh
}

// A Month is the year's result for one calendar month.
type Month struct {
	Energy
	SpanH      float64 // hours of weather in the month
	LostH      float64 // without service
	LowestSoC  float64 // lowest state of charge
	LowestAirC float64 // lowest air temperature outside
}

// A Year is the result of running a station through a weather.
type Year struct {
	Source         string  // of the weather
	SpanH          float64 // hours of weather
	Energy         Energy
	Months         [12]Month
	LostH          float64 // hours without service
	LongestLostH   float64 // longest run of them
	LongestFrom    time.Time
	RestartCount   int     // starts after an outage
	LowestSoC      float64 // lowest state of charge, 0..1
	LowestAt       time.Time
	MeanSoC        float64 // mean state of charge, 0..1
	FrostChargeH   float64 // hours of charging with the cells below their charge window
	ColdBlockedH   float64 // hours in which the cold stop kept sun from the pack
	OverchargeH    float64 // hours with the cells above their over-charge limit
	WallWetH       float64 // hours in which the wall of the box can be wet, at most; NaN if the weather has no dew point or no box is described
	HighestCellV   float64 // highest mean cell voltage
	HottestBoxC    float64 // air in the box
	HottestBoxAt   time.Time
	HottestAirC    float64   // air outside at that hour
	HottestCellC   float64   // battery cells at their hottest
	ColdestCellC   float64   // and at their coldest
	HeatAtHottestW []float64 // heat of each regulator at HottestBoxAt
	HiddenBeamH    float64   // direct sun lost to the skyline
	BeamH          float64   // hours of direct sun over the level horizon
	SoC            []float32 // at the end of each step
	Lost           []bool    // whether service was missing for most of the step
}

// KeptFrac is the share of the panel's possible energy that the held voltage
// offers.
func (y *Year) KeptFrac() float64 {
	if y.Energy.PossibleWh == 0 {
		return 0
	}
	return y.Energy.OfferedWh / y.Energy.PossibleWh
}

// WorstMonth is the month with the smallest ratio of offered energy to the energy
// that running needs. With no need at all it is January, and the ratio infinite.
func (y *Year) WorstMonth() (month time.Month, offeredRatio float64) {
	month, offeredRatio = time.January, math.Inf(1)
	for m := range y.Months {
		e := &y.Months[m].Energy
		if need := e.ServedWh + e.RegulatorWh + e.UnservedWh + e.IdleWh; need > 0 {
			if r := e.OfferedWh / need; r < offeredRatio {
				month, offeredRatio = time.Month(m+1), r
			}
		}
	}
	return month, offeredRatio
}

// Run takes the station through a sunlight, from the stated charge at its
// beginning. The seed draws the days on which snow lies on the panel. It
// returns a *MissingError if something is not stated, and a
// *stationphysics.RangeError for a charger setting so far from the pack that no
// year can be run.
func (p *Model) Run(sun *Sunlight, seed uint64) (*Year, error) {
	if miss := p.Missing(); len(miss) > 0 {
		return nil, &MissingError{For: "a year", Keys: miss}
	}
	s := p.stage(sun)
	defer s.release()
	return p.runStage(s, seed, true)
}

func (p *Model) runStage(s *stage, seed uint64, series bool) (*Year, error) {
	r, err := newRunner(p, s, seed)
	if err != nil {
		return nil, err
	}
	if series {
		n := len(s.sun.weather.Steps)
		r.year.SoC, r.year.Lost = make([]float32, n), make([]bool, n)
	}
	return r.runAll(), nil
}
