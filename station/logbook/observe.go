package logbook

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics/baro"
	"github.com/stationphysics/stationphysics/psychro"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// A Measure is one value with its half-width.
type Measure struct {
	Value   float64 // in the unit that its name tells; NaN unless OK
	Half    float64 // 95 % half-width in the same unit; NaN if a tolerance is not stated
	State   State
	AtLeast bool // Value is a lower bound
	AtMost  bool // Value is an upper bound
}

// OK reports whether there is a value.
func (m Measure) OK() bool { return m.State == Good || m.State == Pegged }

// An Observation is one row of a log with all that follows from it. Half-widths
// are expanded uncertainties with the factor 2 (JCGM 100, 6.3.3), combined from
// the tolerances as independent, each rectangular, with the analytic
// derivatives of the physics packages (JCGM 100, 5.1.2). For a single
// rectangular tolerance the factor is on the safe side.
type Observation struct {
	Line int // in its file
	At   time.Time

	AirC, Air2C               Measure
	HumidityPct, Humidity2Pct Measure // over water, also in the frost
	StationHPa                Measure
	LightLx                   Measure

	VapourPressureHPa      Measure
	DewPointC              Measure // over water
	FrostPointC            Measure // over ice; Absent above 0.01 °C
	AbsoluteHumidityGPerM3 Measure
	SeaLevelHPa            Measure             // WMO-No. 8 part I ch. 3; Absent above 750 gpm
	AltimeterHPa           Measure             // QNH
	TendencyHPa            Measure             // change over three hours
	Characteristic         baro.Characteristic // code table 0200, if TendencyHPa is OK

	WindMPerS, GustMPerS Measure
	DirectionDeg         Measure // Absent below the start of the vane
	RainMm               Measure // since the row before; at least after a gap
	RainMmPerH           Measure

	raw   [columns]float64
	state [columns]State
	flags [columns]Flag

	air      psychro.State
	airOK    bool
	sun      sky.Sun
	sunOK    bool
	topLx    float64
	lightTol float64
}

// State tells what the cell of a column was.
func (o *Observation) State(c Column) State {
	if c >= columns {
		return Absent
	}
	return o.state[c]
}

// Flags tells which checks a column failed.
func (o *Observation) Flags(c Column) Flag {
	if c >= columns {
		return 0
	}
	return o.flags[c]
}

// Reading gives the value of a column as it stood in the log, in Column.Unit.
// ok is false unless it is Good or Pegged.
func (o *Observation) Reading(c Column) (value float64, ok bool) {
	if c >= columns {
		return math.NaN(), false
	}
	return o.raw[c], o.good(c)
}

func (o *Observation) good(c Column) bool { return o.state[c] == Good || o.state[c] == Pegged }

// plain is the measure of a column itself.
func (o *Observation) plain(c Column, tolerance float64) Measure {
	m := Measure{Value: o.raw[c], Half: half(uniform(tolerance)), State: o.state[c]}
	if !m.OK() {
		m.Value, m.Half = math.NaN(), math.NaN()
	}
	return m
}

// uniform is the standard uncertainty of a tolerance: the half-width of a
// rectangular distribution over the root of three (JCGM 100, 4.3.7, eq. 7).
func uniform(tolerance float64) float64 {
	if tolerance == 0 {
		return math.NaN()
	}
	return tolerance / math.Sqrt(3)
}

// half is the expanded uncertainty, factor 2, of independent contributions
// c·u: twice the root of their sum of squares (JCGM 100, eq. 11a and 6.2.1).
func half(contributions ...float64) float64 {
	s := 0.0
	for _, c := range contributions {
		s += c * c
	}
	return 2 * math.Sqrt(s)
}

// halfCorrelated is half for contributions of which r tells the coefficient of
// correlation of the i-th and the j-th input, i < j (JCGM 100, eq. 16).
func halfCorrelated(r func(i, j int) float64, contributions ...float64) float64 {
	s := 0.0
	for j, cj := range contributions {
		s += cj * cj
		for i, ci := range contributions[:j] {
			s += 2 * ci * cj * r(i, j)
		}
	}
	return 2 * math.Sqrt(math.Max(0, s)) // contributions that cancel may round below 0
}

func absent() Measure { return Measure{Value: math.NaN(), Half: math.NaN()} }

// missing is the measure of what lacks one of its columns.
func (o *Observation) missing(cs ...Column) Measure {
	m := absent()
	for _, c := range cs {
		if s := o.state[c]; !o.good(c) && s > m.State {
			m.State = s
		}
	}
	return m
}

func (r *Reader) observe(at time.Time) {
	o, tol := &r.o, &r.c.Tolerance
	o.Line, o.At = r.t.Line(), at
	o.AirC = o.plain(Air, tol.AirK)
	o.Air2C = o.plain(Air2, tol.Air2K)
	o.HumidityPct = o.humidity(Humidity, tol.HumidityPct)
	o.Humidity2Pct = o.humidity(Humidity2, tol.Humidity2Pct)
	o.StationHPa = o.plain(Pressure, tol.PressureHPa)
	o.LightLx = o.plain(Light, tol.LightFrac*o.raw[Light])
	if o.LightLx.OK() && o.raw[Light] == 0 && tol.LightFrac > 0 {
		o.LightLx.Half = 0
	}
	o.LightLx.AtLeast = o.state[Light] == Pegged
	o.topLx, o.lightTol = r.c.LightTopLx, tol.LightFrac
	p, ok := r.sun.at(at)
	o.sun, o.sunOK = sky.SunAt(p), ok
	r.moisture()
	r.pressure()
	r.wind()
	r.rain()
}

// humidity is the measure of a humidity: at 100 % the sensor may be pegged in
// either direction, so that the value is at least that; at 0 at most.
func (o *Observation) humidity(c Column, tolerance float64) Measure {
	m := o.plain(c, tolerance)
	if m.State == Pegged {
		m.AtLeast, m.AtMost = m.Value >= 100, m.Value <= 0
	}
	return m
}

// moisture forms what follows from air temperature and humidity. Without a
// pressure that of the standard atmosphere at the place stands in, which moves
// a dew point by a hundredth of a kelvin at most.
func (r *Reader) moisture() {
	o, tol := &r.o, &r.c.Tolerance
	lack := o.missing(Air, Humidity)
	o.VapourPressureHPa, o.DewPointC, o.FrostPointC, o.AbsoluteHumidityGPerM3 = lack, lack, lack, lack
	o.airOK = false
	if !o.good(Air) || !o.good(Humidity) {
		return
	}
	pressure, uP := o.raw[Pressure], uniform(tol.PressureHPa)
	if !o.good(Pressure) {
		pressure, uP = baro.StandardAt(r.height).PressureHPa, uniform(50)
	} else if uP != uP {
		uP = 0 // a pressure of a few hPa's doubt does not count beside the humidity's
	}
	air, err := psychro.Saturate.New(o.raw[Air], o.raw[Humidity], pressure)
	if err != nil {
		return
	}
	o.air, o.airOK = air, true
	uT, uU := uniform(tol.AirK), uniform(tol.HumidityPct)
	form := func(q psychro.Quantity, v float64) Measure {
		m := Measure{Value: v, State: o.state[Humidity], AtLeast: o.HumidityPct.AtLeast, AtMost: o.HumidityPct.AtMost}
		if v != v {
			return absent()
		}
		d := air.Sensitivity(q)
		if q == psychro.VapourPressureHPa {
			r.eSlopes = d
		}
		m.Half = 2 * d.Combined(uT, uU, uP)
		return m
	}
	o.VapourPressureHPa = form(psychro.VapourPressureHPa, air.VapourPressureHPa())
	o.DewPointC = form(psychro.DewPointC, air.DewPointC())
	o.FrostPointC = form(psychro.FrostPointC, air.FrostPointC())
	o.AbsoluteHumidityGPerM3 = form(psychro.AbsoluteHumidityGPerM3, air.AbsoluteHumidityGPerM3())
}

// vapourApart is the vapour pressure at the second humidity sensor less that at
// the first, with its half-width. Where both stand on one thermometer its error
// moves both the same way and mostly cancels.
func (r *Reader) vapourApart() (apart, half float64, ok bool) {
	o, tol := &r.o, &r.c.Tolerance
	at, tolK, common := Air2, tol.Air2K, 0.0
	if !o.good(Air2) {
		at, tolK, common = Air, tol.AirK, 1
	}
	if !o.good(at) || o.state[Humidity] != Good || o.state[Humidity2] != Good || !o.airOK {
		return 0, 0, false
	}
	second, err := psychro.Saturate.New(o.raw[at], o.raw[Humidity2], o.air.PressureHPa())
	if err != nil {
		return 0, 0, false
	}
	c1, c2 := o.air.Sensitivity(psychro.VapourPressureHPa), second.Sensitivity(psychro.VapourPressureHPa)
	half = halfCorrelated(func(i, j int) float64 {
		if i == 0 && j == 1 {
			return common
		}
		return 0
	}, -c1.PerK*uniform(tol.AirK), c2.PerK*uniform(tolK), -c1.PerPct*uniform(tol.HumidityPct), c2.PerPct*uniform(tol.Humidity2Pct))
	return second.VapourPressureHPa() - o.air.VapourPressureHPa(), half, true
}

// pressure forms the pressures that may be published, and the tendency.
func (r *Reader) pressure() {
	o, tol := &r.o, &r.c.Tolerance
	o.SeaLevelHPa, o.AltimeterHPa, o.TendencyHPa = o.missing(Pressure, Air, Humidity), o.missing(Pressure), o.missing(Pressure)
	if !o.good(Pressure) {
		return
	}
	p := baro.StationHPa(o.raw[Pressure])
	uP := uniform(tol.PressureHPa)
	if r.tendency.Add(o.At, p) == nil {
		if t, ok := r.tendency.Tendency(); ok {
			// What the sensor is off by stands in both pressures and cancels;
			// its repeatability does not.
			u := uniform(tol.PressureStepHPa)
			o.TendencyHPa = Measure{Value: t.ChangeHPa, Half: half(u, u), State: Good}
			o.Characteristic = t.Characteristic
		}
	}
	if r.c.Place == nil {
		return
	}
	uH := tol.HeightM / math.Sqrt(3)
	if q := float64(baro.AltimeterSetting(p, r.height)); q == q {
		perHPa, perM := altimeterSlopes(float64(p), q)
		o.AltimeterHPa = Measure{Value: q, Half: half(perHPa*uP, perM*uH), State: Good}
	}
	if !o.airOK {
		return
	}
	red, err := baro.NewReduction(baro.Column{Height: r.height, TempC: o.raw[Air], VapourPressureHPa: o.air.VapourPressureHPa()})
	if err != nil {
		return
	}
	p0 := float64(red.SeaLevel(p))
	if p0 != p0 {
		return
	}
	// The air temperature acts directly and through the vapour pressure: one
	// cause, one term. So does the pressure.
	s, e := red.Sensitivity(p), &r.eSlopes
	o.SeaLevelHPa = Measure{Value: p0, State: Good, Half: half(
		(s.HPaPerHPa+s.VapourHPaPerHPa*e.PerHPa)*uP,
		(s.HPaPerK+s.VapourHPaPerHPa*e.PerK)*uniform(tol.AirK),
		s.VapourHPaPerHPa*e.PerPct*uniform(tol.HumidityPct),
		s.HPaPerM*uH)}
}

// altimeterSlopes are the derivatives of the altimeter setting
// q = p0 ((p/p0)^n + a H/T0)^(1/n) by station pressure and height.
func altimeterSlopes(p, q float64) (perHPa, perM float64) {
	const n = 0.190263 // R a/g of ICAO Doc 7488
	const lapseOverT0 = 0.0065 / 288.15
	perHPa = math.Pow(q/p, 1-n)
	perM = 1013.25 * lapseOverT0 / n * math.Pow(q/1013.25, 1-n)
	return perHPa, perM
}

// wind forms speed, gust and direction.
func (r *Reader) wind() {
	o, tol := &r.o, &r.c.Tolerance
	speedTol := func(v float64) float64 { return math.Max(tol.WindMPerS, tol.WindFrac*v) }
	o.WindMPerS = o.plain(Wind, speedTol(o.raw[Wind]))
	if o.state[WindPulses] != Absent {
		o.WindMPerS = o.missing(WindPulses)
		// The window is the time since the row before: unknown across a gap.
		if o.good(WindPulses) && r.joined {
			if v := r.c.Cup.CountMPerS(int(o.raw[WindPulses]), r.dtS); v == v {
				// A pulse may just have missed either end of the window: two
				// independent errors of up to half a pulse, q/√6 in all.
				q := r.c.Cup.QuantumMPerS(r.dtS)
				o.WindMPerS = Measure{Value: v, Half: half(uniform(speedTol(v)), q/math.Sqrt(6)), State: Good}
				if v > ranges[Wind].Max {
					o.WindMPerS = Measure{Value: math.NaN(), Half: math.NaN(), State: OutOfRange}
				}
			}
		}
	}
	o.GustMPerS = o.plain(Gust, speedTol(o.raw[Gust]))
	o.DirectionDeg = o.plain(Direction, tol.DirectionDeg)
	if o.DirectionDeg.Value == 360 {
		o.DirectionDeg.Value = 0
	}
	if r.c.VaneMPerS > 0 && o.WindMPerS.OK() && o.WindMPerS.Value < r.c.VaneMPerS {
		o.DirectionDeg = absent()
	}
}

// rain forms depth and intensity of the time since the row before. After a gap
// the depth is at least what the row says, and there is no intensity.
func (r *Reader) rain() {
	o := &r.o
	o.RainMm = o.plain(Rain, r.c.Tolerance.RainFrac*o.raw[Rain])
	if o.good(Rain) && o.raw[Rain] == 0 && r.c.Tolerance.RainFrac > 0 {
		o.RainMm.Half = 0
	}
	if o.state[RainTips] != Absent {
		o.RainMm = o.missing(RainTips)
		d := r.c.Bucket.Spec().TipMm
		if o.good(RainTips) && d > 0 {
			depth := o.raw[RainTips] * d
			if r.joined {
				if loss := r.c.Bucket.LossRatio(depth * 3600 / r.dtS); loss == loss {
					depth *= 1 + loss
				}
			}
			// The bucket may hold up to a tip at either end: d/√6.
			u := r.c.Tolerance.RainFrac * depth / math.Sqrt(3)
			if r.c.Tolerance.RainFrac == 0 {
				u = math.NaN()
			}
			o.RainMm = Measure{Value: depth, Half: half(u, d/math.Sqrt(6)), State: Good}
		}
	}
	o.RainMmPerH = absent()
	o.RainMmPerH.State = o.RainMm.State
	sum := &r.sum.RainMm
	switch {
	case o.RainMm.OK():
		if r.joined {
			f := 3600 / r.dtS
			o.RainMmPerH = Measure{Value: o.RainMm.Value * f, Half: o.RainMm.Half * f, State: Good}
		} else {
			o.RainMm.AtLeast = r.sum.Rows > 0
			o.RainMmPerH.State = Missing
		}
		if !sum.OK() {
			*sum = Measure{State: Good, AtLeast: sum.AtLeast}
		}
		sum.Value += o.RainMm.Value
		// The calibration's error is common to all rows; half a tip at the
		// ends of the record does not grow.
		if t := r.c.Tolerance.RainFrac; t > 0 {
			sum.Half = half(t*sum.Value/math.Sqrt(3), r.c.Bucket.Spec().TipMm/math.Sqrt(6))
		} else {
			sum.Half = math.NaN()
		}
		sum.AtLeast = sum.AtLeast || o.RainMm.AtLeast
	case o.RainMm.State != Absent:
		sum.AtLeast = true
	}
}

// IrradianceWPerM2 is the global irradiance behind the light reading, with half
// the band of all skies that fit the reading and the sensor's tolerance as its
// half-width. A pegged sensor gives the least that fits, AtLeast. It needs a
// place, light and LightTopLx; otherwise it is Absent. It takes some tenths of
// a millisecond, which is why it is not formed for every row.
func (o *Observation) IrradianceWPerM2() Measure {
	m := o.missing(Light)
	if !o.LightLx.OK() || !o.sunOK || o.topLx == 0 {
		return m
	}
	dew := 5.0 // °C: the water vapour of a temperate mean where the log does not tell (our choice); 2 % at most
	if o.DewPointC.OK() {
		dew = math.Max(-60, math.Min(35, o.DewPointC.Value))
	}
	b := sky.LightSensor{TopLx: o.topLx, DewPointC: dew}.Irradiance(o.sun, o.raw[Light])
	switch {
	case b.AtLeast:
		low := b.LowWPerM2 * (1 - o.lightTol)
		return Measure{Value: low, Half: math.NaN(), State: Pegged, AtLeast: true}
	case b.BestWPerM2 != b.BestWPerM2:
		m.State = OutOfRange // no sky gives this light with the sun there
		return m
	}
	// The best value moves into the middle of the band, so that one half-width
	// covers it.
	mid, width := (b.LowWPerM2+b.HighWPerM2)/2, (b.HighWPerM2-b.LowWPerM2)/2
	u := uniform(o.lightTol * mid)
	if o.raw[Light] == 0 {
		u = 0
	}
	return Measure{Value: mid, Half: half(width/math.Sqrt(3), u), State: Good}
}
