package panel

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

const (
	// boltzmannEVPerK is the Boltzmann constant in eV/K, 1.380649e-23 J/K over
	// 1.602176634e-19 C, both exact since the SI of 2019.
	boltzmannEVPerK = 1.380649e-23 / 1.602176634e-19

	kelvinAt0C = 273.15

	// Standard test conditions, IEC 61215 and IEC 60904-3: 1000 W/m² with the
	// spectrum of air mass 1.5 and the cell at 25 °C.
	refIrradianceWPerM2 = 1000.0
	refCellC            = 25.0
	refK                = refCellC + kelvinAt0C

	// Silicon's band gap at 25 °C and its relative slope, De Soto, Klein and
	// Beckman 2006, eq. 10 and the line below it.
	siliconGapEV     = 1.121
	gapSlopePerK     = -0.0002677
	saturationTPower = 3 // I0 ~ T³ exp(-Eg/kT), De Soto 2006, eq. 9

	// voltsPerCell bounds the voltages a curve is given for, forward and
	// reverse. Silicon cells break down at reverse voltages of some 10 to 30 V
	// (from memory), a process the single-diode equation knows nothing of; half
	// of the lower figure keeps clear of it.
	voltsPerCell = 5.0
)

// Parameters are the five numbers of the single-diode equation of a panel at
// standard test conditions (1000 W/m², cells at 25 °C),
//
//	I = IL - I0 (exp((V + I Rs)/a) - 1) - (V + I Rs)/Rsh,
//
// and the two that carry it to other temperatures.
type Parameters struct {
	PhotocurrentA      float64 // IL, light-generated current, 0.001..1000 A
	SaturationCurrentA float64 // I0, of the diode, 1e-30..1e-3 A
	IdealityV          float64 // a = n·N·k·T/q, n the ideality factor and N the cells in series, in V
	SeriesOhm          float64 // Rs, at least 0 ohm
	ShuntOhm           float64 // Rsh, more than 0 ohm; +Inf for none
	PhotocurrentAPerK  float64 // slope of IL with cell temperature, in A/K
	BandGapEV          float64 // Eg at 25 °C in eV: 1.121 for silicon; 0 stands for that
	CellsInSeries      int     // N, 1..1000; parallel rows of cells do not count
}

// A Module is a panel, or a field of equal panels, whose curve is known at
// standard test conditions and can be had at any other by At. Make one with
// Fit from the label or with New from known parameters. The zero value is a
// panel that delivers nothing: all its curves are those of the dark.
type Module struct {
	par   Parameters
	lnI0  float64 // ln I0 at 25 °C
	lnA   float64 // ln a at 25 °C
	lnRs  float64 // ln Rs, -Inf without series resistance
	gsh   float64 // 1/Rsh, in siemens
	bound float64 // largest voltage either way, in V
}

var (
	photocurrentRange = limit.Range{Quantity: "photocurrent", Unit: "A", Min: 0.001, Max: 1000}
	saturationRange   = limit.Range{Quantity: "diode saturation current", Unit: "A", Min: 1e-30, Max: 1e-3}
	seriesRange       = limit.Range{Quantity: "series resistance", Unit: "ohm", Min: 0, Max: 1e5}
	shuntRange        = limit.Range{Quantity: "shunt resistance", Unit: "ohm", Min: 1e-3, Max: math.Inf(1)}
	slopeRange        = limit.Range{Quantity: "photocurrent's temperature coefficient", Unit: "A/K", Min: -1, Max: 1}
	gapRange          = limit.Range{Quantity: "band gap", Unit: "eV", Min: 0.3, Max: 4, Slips: []limit.Slip{{Min: 4e-20, Max: 7e-19, Looks: "joules"}}}
	cellsRange        = limit.Range{Quantity: "cells in series", Min: 1, Max: 1000}
	perCellRange      = limit.Range{Quantity: "modified ideality factor per cell", Unit: "V", Min: 0.005, Max: 0.15, Slips: []limit.Slip{{Min: 0.3, Max: 3, Looks: "the bare ideality factor n"}}}
)

// New returns the module with the given parameters, or a
// *stationphysics.RangeError for one that is out of the range stated there.
func New(p Parameters) (Module, error) {
	if p.BandGapEV == 0 {
		p.BandGapEV = siliconGapEV
	}
	err := limit.First(
		photocurrentRange.Check(p.PhotocurrentA),
		saturationRange.Check(p.SaturationCurrentA),
		cellsRange.Check(float64(p.CellsInSeries)),
	)
	if err == nil {
		err = limit.First(
			perCellRange.Check(p.IdealityV/float64(p.CellsInSeries)),
			seriesRange.Check(p.SeriesOhm),
			shuntRange.Check(p.ShuntOhm),
			slopeRange.Check(p.PhotocurrentAPerK),
			gapRange.Check(p.BandGapEV),
		)
	}
	if err != nil {
		return Module{}, err
	}
	return build(p), nil
}

func build(p Parameters) Module {
	return Module{
		par:   p,
		lnI0:  math.Log(p.SaturationCurrentA),
		lnA:   math.Log(p.IdealityV),
		lnRs:  math.Log(p.SeriesOhm),
		gsh:   1 / p.ShuntOhm,
		bound: voltsPerCell * float64(p.CellsInSeries),
	}
}

// Parameters returns the parameters at standard test conditions.
func (m Module) Parameters() Parameters { return m.par }

// IdealityFactor returns n, the diode's ideality factor. Physically it lies
// between 1 and 2; in a fit it also takes up the rounding of the label and
// comes out at 0.9 to 1.3 for most crystalline panels. One below about 0.8 says
// that the label promises a sharper knee than silicon has.
func (m Module) IdealityFactor() float64 {
	return m.par.IdealityV / (float64(m.par.CellsInSeries) * boltzmannEVPerK * refK)
}

// LowestV returns the most negative voltage that curves of the module are
// given for, -5 V a cell in series; HighestV is the same with a plus sign. A
// cell driven further backwards comes near its breakdown, which the
// single-diode equation does not have; a bypass diode holds a panel at about
// -0.6 V long before.
func (m Module) LowestV() float64 { return -m.bound }

// HighestV returns the largest voltage that curves of the module are given
// for, 5 V a cell in series: far above any open-circuit voltage.
func (m Module) HighestV() float64 { return m.bound }

var (
	inSeriesRange = limit.Range{Quantity: "panels in series", Min: 1, Max: 1000}
	stringsRange  = limit.Range{Quantity: "strings in parallel", Min: 1, Max: 1000}
)

// Field returns equal panels wired together as one module: inSeries panels in
// each string, strings of them in parallel. All are taken to see the same sun
// and temperature; for panels that do not there are Series and Parallel.
//
// Errors: a *stationphysics.RangeError outside 1..1000 panels or strings, or
// above 1000 cells in a string, and for the zero Module.
func (m Module) Field(inSeries, strings int) (Module, error) {
	s, p := float64(inSeries), float64(strings)
	if err := limit.First(inSeriesRange.Check(s), stringsRange.Check(p), cellsRange.Check(float64(m.par.CellsInSeries)*s)); err != nil {
		return Module{}, err
	}
	q := m.par
	q.PhotocurrentA *= p
	q.SaturationCurrentA *= p
	q.PhotocurrentAPerK *= p
	q.IdealityV *= s
	q.SeriesOhm *= s / p
	q.ShuntOhm *= s / p
	q.CellsInSeries *= inSeries
	return build(q), nil
}

// The ranges of At.
var (
	irradianceRange = limit.Range{Quantity: "irradiance on the panel", Unit: "W/m²", Min: 0, Max: 2000, Slips: []limit.Slip{{Min: 2001, Max: 200000, Looks: "lux"}}}
	cellTempRange   = limit.Range{Quantity: "cell temperature", Unit: "°C", Min: -100, Max: 150, Slips: []limit.Slip{{Min: 173, Max: 423, Looks: "kelvins"}}}
)

// CheckConditions explains why At gives a curve without numbers: it returns a
// *stationphysics.RangeError unless the irradiance is 0..2000 W/m² and the cell
// temperature -100..150 °C.
func CheckConditions(irradianceWPerM2, cellC float64) error {
	return limit.First(irradianceRange.Check(irradianceWPerM2), cellTempRange.Check(cellC))
}

// At returns the module's curve under the given irradiance on its plane, after
// reflection at the glass and any soiling, and with its cells at cellC. It
// follows De Soto, Klein and Beckman 2006, eqs. 7 to 11: the photocurrent goes
// with the irradiance and its temperature coefficient, a with the absolute
// temperature, I0 with T³ exp(-Eg/kT), Rsh with the inverse of the irradiance;
// Rs stays. The air-mass modifier of the paper is left at 1.
//
// Outside 0..2000 W/m² or -100..150 °C, and for NaN, every method of the curve
// gives NaN; CheckConditions says why. At costs one exponential and two
// logarithms.
func (m Module) At(irradianceWPerM2, cellC float64) Curve {
	if !(irradianceWPerM2 >= 0 && irradianceWPerM2 <= irradianceRange.Max && cellC >= cellTempRange.Min && cellC <= cellTempRange.Max) {
		nan := math.NaN()
		return Curve{iL: nan, i0: nan, a: nan, bound: nan}
	}
	if m.par.CellsInSeries == 0 {
		return Curve{}
	}
	tK := cellC + kelvinAt0C
	dT := cellC - refCellC
	sun := irradianceWPerM2 * (1 / refIrradianceWPerM2)
	ratio := tK * (1 / refK)
	lnRatio := numeric.Log(ratio)
	// Eg(25 °C)/(k·298.15 K) - Eg(T)/(kT).
	lnI0 := m.lnI0 + saturationTPower*lnRatio + m.par.BandGapEV*(1/boltzmannEVPerK)*(1/refK-(1+gapSlopePerK*dT)/tK)
	iL := m.par.PhotocurrentA + m.par.PhotocurrentAPerK*dT
	if iL < 0 {
		iL = 0
	}
	c := Curve{
		iL:    sun * iL,
		i0:    numeric.Exp(lnI0),
		a:     m.par.IdealityV * ratio,
		rs:    m.par.SeriesOhm,
		gsh:   m.gsh * sun,
		bound: m.bound,
	}
	c.lnK = m.lnRs + lnI0 - m.lnA - lnRatio - lnOnePlus(c.rs*c.gsh) // ln(Rs I0/(a (1 + Rs/Rsh)))
	c.lnI0 = lnI0
	return c
}

// lnOnePlus is math.Log1p, by its series where x is as small as Rs/Rsh of any sound
// panel.
func lnOnePlus(x float64) float64 {
	if math.Abs(x) < 2e-3 {
		return x * (1 - x*(1.0/2-x*(1.0/3-x*(1.0/4-x*(1.0/5)))))
	}
	return math.Log1p(x)
}
