package panel

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// Weather is what a panel stands in during one step of a series.
type Weather struct {
	IrradianceWPerM2 float64 // that reaches the cells, after reflection, dirt and snow; 0..2000 W/m²
	OnGlassWPerM2    float64 // that falls on the panel and heats it; 0 stands for IrradianceWPerM2
	AirC             float64 // air temperature, -100..70 °C
	WindMPerS        float64 // mean wind, 0..75 m/s, at the height the cell temperature model asks for
}

// Output is what a panel gives in one step of a series.
type Output struct {
	CellC     float64 // cell temperature
	MaxPowerW float64 // at the maximum power point
	HeldA     float64 // current into a charger that holds the voltage, never negative
	HeldW     float64 // HeldA times the held voltage
}

var holdRange = limit.Range{Quantity: "held voltage", Unit: "V", Min: 0, Max: 1000, Slips: []limit.Slip{{Min: 1000.01, Max: 200000, Looks: "millivolts"}}}

func (w Weather) cellC(heat CellTemperature) float64 {
	if !irradianceRange.Holds(w.IrradianceWPerM2) {
		return math.NaN()
	}
	g := w.OnGlassWPerM2
	if g == 0 {
		g = w.IrradianceWPerM2
	}
	return heat.CellC(g, w.AirC, w.WindMPerS)
}

// Check returns a *stationphysics.RangeError for the first value out of range.
func (w Weather) Check() error {
	return limit.First(CheckCellTemperature(w.IrradianceWPerM2, w.AirC, w.WindMPerS), irradianceRange.Check(w.OnGlassWPerM2))
}

// Output returns what the panel gives in one weather with a charger that holds
// it at holdV. heat says how warm the cells get; nil stands for OpenRack. All
// results are NaN if a value of w is out of range, the held ones also if holdV
// is negative or beyond HighestV.
func (m Module) Output(w Weather, heat CellTemperature, holdV float64) Output {
	if heat == nil {
		heat = usualHeat
	}
	return m.output(w.IrradianceWPerM2, w.cellC(heat), holdV)
}

func (m Module) output(irradianceWPerM2, cellC, holdV float64) Output {
	c := m.At(irradianceWPerM2, cellC)
	if !(holdV >= 0) {
		holdV = math.NaN()
	}
	i := c.HeldA(holdV)
	return Output{CellC: cellC, MaxPowerW: c.MaxPower().Pmp, HeldA: i, HeldW: i * holdV}
}

// BatchOutput fills dst with the Output of every element of series, NaN where the
// weather is out of range. It panics if the lengths differ.
func (m Module) BatchOutput(dst []Output, series []Weather, heat CellTemperature, holdV float64) {
	m.BatchOutputBehind(dst, series, heat, holdV, nil)
}

// BatchOutputBehind is BatchOutput for a charger behind a part in series with the panel, such
// as a diode, as [Curve.HeldBehind] takes it: HeldW is then what the panel gives, the
// part's share included. A nil part is none.
func (m Module) BatchOutputBehind(dst []Output, series []Weather, heat CellTemperature, holdV float64, part func(currentA float64) (dropV, slopeOhm float64)) {
	if len(dst) != len(series) {
		panic("panel: slice lengths differ")
	}
	if heat == nil {
		heat = usualHeat
	}
	if !(holdV >= 0) {
		holdV = math.NaN()
	}
	for len(dst) > 0 {
		n := min(len(dst), lanes)
		m.abreast(dst[:n], series[:n], heat, holdV, part)
		dst, series = dst[n:], series[n:]
	}
}

// lanes is how many steps of a series are solved side by side: a processor takes up the
// next while it waits for the exponential of the one before.
const lanes = 16

func (m *Module) abreast(dst []Output, series []Weather, heat CellTemperature, holdV float64, part func(float64) (float64, float64)) {
	var curves [lanes]Curve
	for k := range dst {
		w := &series[k]
		dst[k].CellC = w.cellC(heat)
		curves[k] = m.At(w.IrradianceWPerM2, dst[k].CellC)
	}
	var peaks [lanes]summit
	for k := range dst {
		peaks[k].begin(&curves[k])
	}
	for left := true; left; {
		left = false
		for k := range dst {
			if p := &peaks[k]; !p.found {
				p.step(&curves[k])
				left = left || !p.found
			}
		}
	}
	for k := range dst {
		dst[k].MaxPowerW = peaks[k].point(&curves[k]).Pmp
	}
	if part == nil {
		for k := range dst {
			i := curves[k].HeldA(holdV)
			dst[k].HeldA, dst[k].HeldW = i, i*holdV
		}
		return
	}
	var loops [lanes]loop
	for k := range dst {
		loops[k].begin(&curves[k], holdV, part)
	}
	for left := true; left; {
		left = false
		for k := range dst {
			if l := &loops[k]; !l.found {
				l.step(&curves[k], holdV, part)
				left = left || !l.found
			}
		}
	}
	for k := range dst {
		l := &loops[k]
		dst[k].HeldA, dst[k].HeldW = l.currentA, l.currentA*(holdV+l.dropV)
	}
}

// Yield sums outputs over time. The zero value is an empty sum.
type Yield struct {
	MaxPowerWh   float64 // with a charger that finds the maximum power point
	HeldWh       float64 // with a charger that holds the voltage
	HeldAh       float64 // its charge
	LitH         float64 // hours with any power at all
	IdleH        float64 // of these, hours in which the held voltage was out of reach
	HottestCellC float64 // hottest cells of a lit step; 0 while there was none
}

// Add takes in an output that lasted durationH. A NaN makes the sums NaN: a gap
// in a series is a fact that the caller must decide about.
func (y *Yield) Add(o Output, durationH float64) {
	y.MaxPowerWh += o.MaxPowerW * durationH
	y.HeldWh += o.HeldW * durationH
	y.HeldAh += o.HeldA * durationH
	if !(o.MaxPowerW > 0) {
		return
	}
	if y.LitH == 0 || o.CellC > y.HottestCellC {
		y.HottestCellC = o.CellC
	}
	y.LitH += durationH
	if o.HeldA == 0 {
		y.IdleH += durationH
	}
}

// KeptFrac returns the share of the energy at the maximum power point that the
// charger with the held voltage gets; 0 if there was none.
func (y Yield) KeptFrac() float64 {
	if y.MaxPowerWh == 0 {
		return 0
	}
	return y.HeldWh / y.MaxPowerWh
}

var stepRange = limit.Range{Quantity: "step of the series", Unit: "h", Min: 1.0 / 3600, Max: 24, Slips: []limit.Slip{{Min: 60, Max: 60, Looks: "minutes"}, {Min: 3600, Max: 3600, Looks: "seconds"}}}

// Yield sums the outputs of a series whose elements last stepH hours each. It
// returns a *stationphysics.RangeError, wrapped with the number of the element
// counted from zero, for the first value that is out of range.
//
// The sums are those of Output and Yield.Add one after the other, so a
// streaming caller gets the same figures to the last bit.
func (m Module) Yield(series []Weather, stepH float64, heat CellTemperature, holdV float64) (Yield, error) {
	var y Yield
	if err := limit.First(stepRange.Check(stepH), m.checkHold(holdV)); err != nil {
		return y, err
	}
	for i, w := range series {
		if err := w.Check(); err != nil {
			return Yield{}, fmt.Errorf("element %d of the series: %w", i, err)
		}
		o := m.Output(w, heat, holdV)
		if err := cellTempRange.Check(o.CellC); err != nil {
			return Yield{}, fmt.Errorf("element %d of the series: %w", i, err)
		}
		y.Add(o, stepH)
	}
	return y, nil
}

func (m Module) checkHold(holdV float64) error {
	r := holdRange
	if m.bound > 0 {
		r.Max = m.bound
	}
	return r.Check(holdV)
}

// BestHold returns the voltage at which a charger that holds it gets most from
// the series, and the share of the energy at the maximum power point that this
// is. Where the series has no light both are 0. Errors are those of Yield.
//
// The sum is looked through in 64 steps up to the highest open-circuit voltage
// and the best of them refined to 1 mV.
func (m Module) BestHold(series []Weather, stepH float64, heat CellTemperature) (holdV, keptFrac float64, err error) {
	y, err := m.Yield(series, stepH, heat, 0)
	if err != nil || y.MaxPowerWh == 0 {
		return 0, 0, err
	}
	if heat == nil {
		heat = usualHeat
	}
	curves := make([]Curve, 0, len(series))
	top := 0.0
	for _, w := range series {
		if w.IrradianceWPerM2 == 0 {
			continue
		}
		c := m.At(w.IrradianceWPerM2, w.cellC(heat))
		curves = append(curves, c)
		top = math.Max(top, c.OpenCircuitV())
	}
	held := func(v float64) float64 {
		ah := 0.0
		for i := range curves {
			ah += curves[i].HeldA(v)
		}
		return ah * v * stepH
	}
	v, wh := largest(held, 0, top, 64, 1e-3)
	return v, wh / y.MaxPowerWh, nil
}

// largest finds the largest value of f on [lo, hi]: the best of n equal steps,
// then golden-section search between its neighbours.
func largest(f func(float64) float64, lo, hi float64, n int, xtol float64) (x, y float64) {
	step := (hi - lo) / float64(n)
	var best int
	y = math.Inf(-1)
	for i := range n + 1 {
		if v := f(lo + float64(i)*step); v > y {
			y, best = v, i
		}
	}
	x = lo + float64(best)*step
	return peak(f, math.Max(lo, x-step), math.Min(hi, x+step), xtol)
}

// peak finds the largest value of an f with a single maximum on [a, b] by
// golden-section search.
func peak(f func(float64) float64, a, b, xtol float64) (x, y float64) {
	golden := (math.Sqrt(5) - 1) / 2
	p, q := b-golden*(b-a), a+golden*(b-a)
	fp, fq := f(p), f(q)
	for b-a > xtol {
		if fp > fq {
			b, q, fq = q, p, fp
			p = b - golden*(b-a)
			fp = f(p)
		} else {
			a, p, fp = p, q, fq
			q = a + golden*(b-a)
			fq = f(q)
		}
	}
	x = (a + b) / 2
	return x, f(x)
}
