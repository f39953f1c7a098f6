package station

import (
	"math"
	"slices"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/panel"
	"github.com/stationphysics/stationphysics/solar/sky"
	"github.com/stationphysics/stationphysics/thermal"
)

// A part is a piece of a plan: its value, or the lines that are missing for it.
type part[T any] struct {
	v       T
	missing []string
}

func (p part[T]) ok() bool { return len(p.missing) == 0 }

// A Model is a description turned into the physics of its parts. Each part
// stands for itself: one that is not stated leaves the others usable. A Model
// does not change after it is made and may be shared between goroutines.
type Model struct {
	d        *Description // resolved
	site     part[solar.Site]
	plane    part[*sky.Plane]
	module   part[panel.Module]
	diode    part[power.Diode] // nil value if none is described: see hasDiode
	hasDiode bool
	chem     part[battery.Chemistry]
	pack     part[*battery.Pack]
	charger  part[Charger]
	box      part[thermal.SealedBox]
	supply   *supply
	tables   *runTables
	courses  *courseCache
}

// Compile checks a description and makes its model. Its errors are InputErrors:
// values out of range, and numbers that contradict each other, such as a panel
// label that no panel can have.
func Compile(d *Description) (*Model, error) {
	if errs := d.inForm(); len(errs) > 0 {
		return nil, errs
	}
	p, errs := compile(d)
	if len(errs) > 0 {
		return nil, errs
	}
	return p, nil
}

// compile makes the model of a description whose single values are in range.
func compile(desc *Description) (*Model, InputErrors) {
	d := desc.Resolved()
	p := &Model{d: d, supply: newSupply(d), tables: &runTables{}, courses: &courseCache{}}
	var errs InputErrors
	note := func(key string, err error) {
		if err != nil {
			errs = append(errs, &InputError{File: "description", Key: key, Err: err})
		}
	}
	note("site", p.makeSite())
	note("panel", p.makePanel())
	note("diode", p.makeDiode())
	if d.Pack != nil && d.Pack.Chemistry != "" {
		_, err := battery.ParseChemistry(d.Pack.Chemistry)
		note("pack.chemistry", err)
	}
	if len(errs) == 0 {
		note("pack", p.makePack())
	}
	note("box", p.makeBox())
	p.charger.missing = d.Missing("charger.hold_v", "charger.set_v", "charger.limit_a")
	if p.charger.ok() {
		p.charger.v = *d.Charger
	}
	if len(errs) > 0 {
		return nil, errs
	}
	return p, nil
}

func (p *Model) makeSite() (err error) {
	d := p.d
	p.site.missing = d.Missing("site.latitude_deg", "site.longitude_deg", "site.height_m")
	if p.site.ok() {
		p.site.v, err = solar.NewSite(*d.Site.LatitudeDeg, *d.Site.LongitudeDeg, *d.Site.HeightM)
		if err != nil {
			return err
		}
	}
	p.plane.missing = append(d.Missing("panel.tilt_deg", "panel.facing_deg"), p.site.missing...)
	if !p.plane.ok() {
		return nil
	}
	// Clean solar glass with the coefficient of angular losses of Martin & Ruiz.
	cover, err := sky.NewMartinRuizCover(0.16)
	if err != nil {
		return err
	}
	var skyline solar.Skyline
	if pts := d.Site.SkylineDeg; len(pts) > 0 {
		sp := make([]solar.SkylinePoint, len(pts))
		for i, q := range pts {
			sp[i] = solar.SkylinePoint{AzimuthDeg: q[0], ElevationDeg: q[1]}
		}
		if skyline, err = solar.NewSkyline(sp); err != nil {
			return err
		}
	}
	p.plane.v, err = sky.NewPlane(sky.Mount{
		TiltDeg: *d.Panel.TiltDeg, FacingDeg: *d.Panel.FacingDeg, Albedo: *d.Site.GroundAlbedo,
		Skyline: skyline, Cover: cover, SoilingPct: 100 * *d.Panel.SoilingFrac,
	})
	return err
}

func (p *Model) makePanel() (err error) {
	d := p.d
	p.module.missing = d.Missing("panel.vmp_v", "panel.imp_a", "panel.voc_v", "panel.isc_a", "panel.cells")
	if !p.module.ok() {
		return nil
	}
	label := panel.Label{
		Vmp: *d.Panel.VmpV, Imp: *d.Panel.ImpA, Voc: *d.Panel.VocV, Isc: *d.Panel.IscA,
		IscPctPerK: *d.Panel.IscPctPerK, VocPctPerK: *d.Panel.VocPctPerK, CellsInSeries: *d.Panel.Cells,
	}
	if d.Panel.PmaxW != nil {
		label.Pmax = *d.Panel.PmaxW
	}
	m, err := panel.Fit(label)
	if err != nil {
		return err
	}
	p.module.v, err = m.Field(*d.Panel.SeriesPanels, *d.Panel.Parallel)
	return err
}

// schottkyDecadeV is the rise of a Schottky diode's forward voltage over a
// tenfold current where no second point is stated: 1.05 kT/q ln 10 = 0.062 V at
// 25 °C and as much again for its series resistance near the rated current
// (common practice, no published source).
const schottkyDecadeV = 0.12

func (p *Model) makeDiode() (err error) {
	d := p.d
	if d.Diode == nil {
		return nil
	}
	p.hasDiode = true
	p.diode.missing = d.Missing("diode.place", "diode.drop_v", "diode.drop_at_a")
	if !p.diode.ok() {
		return nil
	}
	high := power.ForwardPoint{VoltageV: *d.Diode.DropV, CurrentA: *d.Diode.DropAtA}
	low := power.ForwardPoint{VoltageV: math.Max(high.VoltageV-schottkyDecadeV, 0.55*high.VoltageV), CurrentA: high.CurrentA / 10}
	if d.Diode.LowDropV != nil {
		low.VoltageV = *d.Diode.LowDropV
	}
	kind := power.Schottky
	if high.VoltageV > 0.65 {
		kind = power.Junction
	}
	p.diode.v, err = power.DiodeFromPoints(kind, 25, low, high)
	return err
}

func (p *Model) makePack() (err error) {
	d := p.d
	p.chem.missing = d.Missing("pack.chemistry", "pack.cells")
	if p.chem.ok() {
		if p.chem.v, err = battery.ParseChemistry(d.Pack.Chemistry); err != nil {
			return err
		}
	}
	p.pack.missing = append(slices.Clone(p.chem.missing), d.Missing("pack.capacity_ah")...)
	if !p.pack.ok() {
		return nil
	}
	cell, err := battery.TypicalCell(p.chem.v, *d.Pack.CapacityAh)
	if err != nil {
		return err
	}
	if p.d.Pack.CellOhm != nil {
		// The stated resistance is the settled one; the typical split between
		// its parts and its growth in the cold are kept.
		k := *d.Pack.CellOhm / (cell.R0Ohm + cell.R1Ohm)
		cell.R0Ohm *= k
		cell.R1Ohm *= k
		cell.C1Farad /= k
	}
	p.pack.v, err = battery.NewPack(cell, *d.Pack.Cells, 1)
	return err
}

// The box: emissivity of paint and plastic, and the conductance of 3 mm of
// plastic with the inner film of ISO 6946, from memory.
const (
	boxEmissivity  = 0.9
	boxWallWPerM2K = 6.9
)

func (p *Model) makeBox() (err error) {
	d := p.d
	p.box.missing = d.Missing("box.area_m2", "box.absorptance")
	if !p.box.ok() {
		return nil
	}
	sunny := *d.Box.AreaM2 / 4 // mean shadow of a convex body (Cauchy)
	if d.Box.SunnyAreaM2 != nil {
		sunny = *d.Box.SunnyAreaM2
	}
	p.box.v, err = thermal.NewSealedBox(thermal.SealedBoxSpec{
		Absorptance: *d.Box.Absorptance, Emissivity: boxEmissivity, SurfaceAreaM2: *d.Box.AreaM2,
		SunlitAreaM2: sunny, WallWPerM2K: boxWallWPerM2K,
	})
	return err
}

// diodeAt returns whether the blocking diode stands at a place.
func (p *Model) diodeAt(place string) bool {
	return p.hasDiode && p.diode.ok() && p.d.Diode.Place == place
}

// Missing lists the keys that a run through a given weather needs and the
// description does not state; none if Sunlight and Run will do.
func (p *Model) Missing() []string {
	var out []string
	add := func(keys []string) {
		for _, k := range keys {
			if !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	add(p.site.missing)
	add(p.plane.missing)
	add(p.module.missing)
	if p.hasDiode {
		add(p.diode.missing)
	}
	add(p.charger.missing)
	add(p.pack.missing)
	add(p.supply.missing)
	return out
}

// ClimateMissing lists the keys that Synthetic needs and the description does
// not state.
func (p *Model) ClimateMissing() []string {
	return p.d.Missing("site.latitude_deg", "site.longitude_deg", "site.height_m", "climate.global_kwh_per_m2_day", "climate.air_c")
}
