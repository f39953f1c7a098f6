package station

import (
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/battery/trim"
	"github.com/stationphysics/stationphysics/power/chain"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/panel"
)

// The methods of this file hand out what a picture of the review is drawn
// from. Each returns a *MissingError that names the lines of the description it
// wants for, so that the place of the picture can say so.

// Place gives the site and its skyline, and the time zone of its clock. The
// skyline is the flat horizon if none is stated.
func (p *Model) Place() (solar.Site, solar.Skyline, *time.Location, error) {
	if len(p.site.missing) > 0 {
		return solar.Site{}, solar.Skyline{}, nil, &MissingError{For: "the sun over the site", Keys: p.site.missing}
	}
	points := make([]solar.SkylinePoint, len(p.d.Site.SkylineDeg))
	for i, q := range p.d.Site.SkylineDeg {
		points[i] = solar.SkylinePoint{AzimuthDeg: q[0], ElevationDeg: q[1]}
	}
	line, err := solar.NewSkyline(points)
	return p.site.v, line, time.FixedZone("", int(*p.d.Site.UTCOffsetH*3600)), err
}

// A HeldPanel is the panel with the voltages that a charger meets and the one
// that it makes the panel hold.
type HeldPanel struct {
	Module   panel.Module
	Window   panel.Window // at the record low and high of the air
	LowC     float64      // record low of the air
	ChargerV float64      // held at the charger's input
	PanelV   float64      // of it at the panel: more by the diode's drop at the rated current
	MostV    float64      // largest input of the charger, NaN if not stated
}

// Held gives the panel as setHold judges it.
func (p *Model) Held() (HeldPanel, error) {
	miss := append(slices.Clone(p.module.missing), p.d.Missing("charger.hold_v", "climate.record_low_c", "climate.record_high_c")...)
	if len(miss) > 0 {
		return HeldPanel{}, &MissingError{For: "the panel's curves", Keys: miss}
	}
	w, err := p.module.v.Window(*p.d.Climate.RecordLowC, *p.d.Climate.RecordHighC, panel.OpenRack())
	if err != nil {
		return HeldPanel{}, &InputError{File: "description", Key: "climate", Err: err}
	}
	h := HeldPanel{Module: p.module.v, Window: w, LowC: *p.d.Climate.RecordLowC, ChargerV: *p.d.Charger.HoldV, PanelV: *p.d.Charger.HoldV, MostV: math.NaN()}
	if p.diodeAt("panel") {
		h.PanelV += p.diode.v.VoltageV(*p.d.Panel.ImpA)
	}
	if p.d.Charger.InputMaxV != nil {
		h.MostV = *p.d.Charger.InputMaxV
	}
	return h, nil
}

// A CellBand says where one cell comes to stand at the end of charge, against
// what decides it. Voltages are of one cell.
type CellBand struct {
	Chemistry battery.Chemistry
	Limits    battery.Limits
	Trim      trim.Setting
	MeanV     float64 // at the charger's setting, without any error
	WorstV    float64 // the highest cell, every error upwards
	TripV     float64 // the protection board stops charging, NaN if not stated
	ReleaseV  float64 // and lets it start again, NaN if not stated
}

// Cells gives the band of cell voltages at the charger's setting. The error is
// that of trim.New where the chemistry has no charge voltage.
func (p *Model) Cells() (CellBand, error) {
	d := p.d
	if miss := d.Missing("pack.chemistry", "pack.cells", "charger.set_v"); len(miss) > 0 {
		return CellBand{}, &MissingError{For: "the cells' voltage", Keys: miss}
	}
	n := *d.Pack.Cells
	spec := trim.Spec{
		Chemistry: p.chem.v, Cells: n, TempC: 25,
		MeterPct: *d.Charger.MeterPct, MeterDigitsV: float64(*d.Charger.MeterDigits) * *d.Charger.MeterStepV,
		DriftPct: *d.Charger.DriftPct, HighestCellV: deref(d.Pack.MismatchV),
	}
	if p.diodeAt("pack") && p.pack.ok() {
		spec.DiodeTaperV = p.diode.v.VoltageV(0.03 * p.pack.v.CapacityAh())
	}
	setting, err := trim.New(spec)
	if err != nil {
		return CellBand{}, err
	}
	b := CellBand{
		Chemistry: p.chem.v, Limits: p.chem.v.Limits(), Trim: setting,
		MeanV: (*d.Charger.SetV - spec.DiodeTaperV) / float64(n), WorstV: setting.WorstAtV(*d.Charger.SetV),
		TripV: math.NaN(), ReleaseV: math.NaN(),
	}
	if d.Pack.TripOverV != nil {
		b.TripV = *d.Pack.TripOverV
	}
	if d.Pack.ReleaseV != nil {
		b.ReleaseV = *d.Pack.ReleaseV
	}
	return b, nil
}

// Survey gives the table of single faults of the supply that the review
// judges, and the lines that keep parts out of it.
func (p *Model) Survey() (survey *chain.Survey, left []string, err error) {
	parts, limits, missing := p.circuit()
	if len(parts) == 0 {
		return nil, nil, &MissingError{For: "single faults", Keys: []string{"panel", "charger", "pack", "regulator", "load"}}
	}
	c, err := chain.New(parts, limits)
	if err != nil {
		return nil, missing, err
	}
	survey, err = c.Survey(chain.Stock{})
	return survey, missing, err
}

// A WarmHour is one step of a hot day.
type WarmHour struct {
	Start     time.Time
	AirC      float64   // air outside
	BoxC      float64   // air in the box, NaN if no box is described
	JunctionC []float64 // in the order of HotDay.Names
}

// A HotDay is a day of the weather with the station running: the box by its
// balance at each step, with all of the sun's power taken, and the junction of
// each regulator of which the resistances to air are stated, at its
// longest-lasting current and the highest voltage of the bus.
type HotDay struct {
	Hours  []WarmHour
	Names  []string  // of the regulators
	HeatW  []float64 // turned into heat by each
	RiseK  []float64 // of its junction over the air
	LimitC []float64 // rated
	MostC  float64   // largest rated air of the electronics; NaN without a box
}

// HotDay gives the day that holds the hottest hour of a year run through the
// sunlight.
func (p *Model) HotDay(sun *Sunlight, y *Year) (*HotDay, error) {
	if miss := p.Missing(); len(miss) > 0 {
		return nil, &MissingError{For: "the hottest day", Keys: miss}
	}
	out := &HotDay{MostC: math.NaN()}
	if p.box.ok() {
		out.MostC = *p.d.Box.ElectronicsC
	}
	draw := p.supply.at(*p.d.Charger.SetV, sustained)
	var left []string
	for i := range p.supply.regs {
		f := &p.supply.regs[i]
		reg := p.d.Regulators[f.index]
		if reg.ThetaJCKPerW == nil || reg.ThetaCAKPerW == nil || math.IsNaN(draw.heatW[i]) {
			left = append(left, fmt.Sprintf("regulator[%d].junction_to_case_k_per_w", f.index), fmt.Sprintf("regulator[%d].case_to_air_k_per_w", f.index))
			continue
		}
		out.Names = append(out.Names, or(reg.Name, fmt.Sprintf("regulator %d", f.index+1)))
		out.HeatW = append(out.HeatW, draw.heatW[i])
		out.RiseK = append(out.RiseK, draw.heatW[i]*(*reg.ThetaJCKPerW+*reg.ThetaCAKPerW))
		out.LimitC = append(out.LimitC, *reg.JunctionC)
	}
	if len(out.Names) == 0 && !p.box.ok() {
		return nil, &MissingError{For: "box and junctions", Keys: append(left, p.box.missing...)}
	}
	s := p.stage(sun)
	day := y.HottestBoxAt.Format(time.DateOnly)
	for i := range sun.weather.Steps {
		w := &sun.weather.Steps[i]
		if w.Start.Format(time.DateOnly) != day {
			continue
		}
		h := WarmHour{Start: w.Start, AirC: w.AirC, BoxC: math.NaN()}
		at := w.AirC
		if p.box.ok() {
			h.BoxC, at = s.boxC[i], s.boxC[i]
		}
		for _, k := range out.RiseK {
			h.JunctionC = append(h.JunctionC, at+k)
		}
		out.Hours = append(out.Hours, h)
	}
	return out, nil
}
