package parts

import (
	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/blocking"
)

// A Linear is a linear regulator as one maker's sheet describes it. The spec
// holds the sheet's worst case: largest dropout and own current, least current
// limit.
type Linear struct {
	Name       string
	Maker      string
	Sheet      string  // document, and which numbers are not from it
	OperatingV float64 // highest input the sheet recommends, V; 0 if it gives only an absolute maximum
	Spec       power.LinearSpec
	Regulation Regulation
}

// Regulation holds how steady a sheet promises the output to be; 0 where it
// does not say. The limits are for short pulses at a constant junction
// temperature: a slow test on the bench adds TempPct and ThermalPctPerW, and is
// not to be judged by LineV alone.
type Regulation struct {
	LineV          float64 // largest change over the input range of the sheet, V
	LoadV          float64 // largest change over the load range of the sheet, V
	ThermalPctPerW float64 // largest change per watt within 30 ms, %/W
	TempPct        float64 // typical change over temperature, %
}

// ofTwo returns the constant and resistive part of a dropout given at two
// currents.
func ofTwo(s power.LinearSpec, a, aV, b, bV float64) power.LinearSpec {
	s.DropoutOhm = (bV - aV) / (b - a)
	s.DropoutV = aV - a*s.DropoutOhm
	return s
}

// Linears returns all linear presets, a fresh slice at each call. The entries
// whose name contains 1117 share a number and little else: the maximum input
// ranges from 7 to 20 V.
func Linears() []Linear {
	return []Linear{
		{"LM1117I-5.0", "National Semiconductor", "LM1117/LM1117I, electrical table; maximum input from memory", 15,
			ofTwo(power.LinearSpec{SetV: 5, BandPct: 4, QuiescentA: 15e-3, MaxInputV: 20, CurrentLimitA: 0.8, MaxJunctionC: 125}, 0.1, 1.30, 0.8, 1.40), Regulation{15e-3, 20e-3, 0.1, 0.5}},
		{"NCP1117-5.0", "onsemi", "NCP1117/D Rev. 24, April 2012; largest own current from memory", 20,
			power.LinearSpec{SetV: 5, BandPct: 1, DropoutV: 1.2, QuiescentA: 10e-3, MaxInputV: 20, CurrentLimitA: 1, MaxJunctionC: 150}, Regulation{}},
		{"TS1117B-5.0", "Taiwan Semiconductor", "TS1117B, p. 2", 12,
			power.LinearSpec{SetV: 5, BandPct: 2, DropoutV: 1.5, QuiescentA: 10e-3, MaxInputV: 15, CurrentLimitA: 1, MaxJunctionC: 125}, Regulation{LineV: 25e-3}},
		{"AMS1117-5.0", "Advanced Monolithic Systems", "AMS1117; output tolerance, own current and current limit from memory", 0,
			power.LinearSpec{SetV: 5, BandPct: 2, DropoutV: 1.3, QuiescentA: 11e-3, MaxInputV: 15, CurrentLimitA: 0.9, MaxJunctionC: 125}, Regulation{}},
		{"REG1117-5", "Texas Instruments", "REG1117 SBVS001D, p. 5; maximum input and dropout from memory", 0,
			power.LinearSpec{SetV: 5, BandPct: 2, DropoutV: 1.3, QuiescentA: 10e-3, MaxInputV: 15, CurrentLimitA: 0.8, MaxJunctionC: 125}, Regulation{}},
		{"LM1117T-5.0", "HTC", "HTC LM1117T; only the maximum input is from the sheet, the rest is taken from the LM1117I", 0,
			ofTwo(power.LinearSpec{SetV: 5, BandPct: 4, QuiescentA: 15e-3, MaxInputV: 7, CurrentLimitA: 0.8, MaxJunctionC: 125}, 0.1, 1.30, 0.8, 1.40), Regulation{}},
		{"L7805C", "STMicroelectronics", "L7800 series Rev. 12, November 2004; dropout and own current as a distributor lists them", 0,
			power.LinearSpec{SetV: 5, BandPct: 4, DropoutV: 2, QuiescentA: 8e-3, MaxInputV: 35, CurrentLimitA: 1.5, MaxJunctionC: 150}, Regulation{}},
		{"MCP1700-3.3", "Microchip", "MCP1700 DS21826B, p. 3; largest dropout (350 mV at 250 mA) from memory", 6.0,
			power.LinearSpec{SetV: 3.3, BandPct: 3, DropoutOhm: 0.35 / 0.25, QuiescentA: 4e-6, MaxInputV: 6.5, CurrentLimitA: 0.25, MaxJunctionC: 125}, Regulation{}},
		{"MCP1702-3.3", "Microchip", "MCP1702, first page; typical dropout (625 mV at 250 mA and 2.8 V); largest own current and absolute maximum from memory", 13.2,
			power.LinearSpec{SetV: 3.3, BandPct: 3, DropoutOhm: 0.625 / 0.25, QuiescentA: 5e-6, MaxInputV: 14.5, CurrentLimitA: 0.25, MaxJunctionC: 125}, Regulation{}},
		{"MCP1703-3.3", "Microchip", "MCP1703 DS22049F, p. 3; dropout (625 mV typical at 250 mA) from memory", 16.0,
			power.LinearSpec{SetV: 3.3, BandPct: 3, DropoutOhm: 0.625 / 0.25, QuiescentA: 5e-6, MaxInputV: 18, CurrentLimitA: 0.25, MaxJunctionC: 125}, Regulation{}},
	}
}

// FindLinear returns the linear preset of a name, exactly as listed. The error is a
// *stationphysics.NameError with the names that are; it proposes none, for a part of
// nearly the same name is another part.
func FindLinear(name string) (Linear, error) {
	all := Linears()
	known := make([]string, len(all))
	for i, p := range all {
		if p.Name == name {
			return p, nil
		}
		known[i] = p.Name
	}
	return Linear{}, &stationphysics.NameError{Kind: "linear regulator", Name: name, Known: known}
}

// A Diode is a rectifier as one maker's sheet describes it: two largest forward
// voltages at one temperature, and the largest reverse current at the rated
// reverse voltage.
type Diode struct {
	Name     string
	Maker    string
	Sheet    string
	Kind     power.DiodeKind
	TestC    float64 // temperature of the forward points, °C
	Low      power.ForwardPoint
	High     power.ForwardPoint
	ReverseV float64 // rated reverse voltage, V
	RatedA   float64 // rated mean forward current, A
	Leakage  []blocking.LeakagePoint
}

// New returns the diode through the sheet's two forward points. The error is
// that of power.DiodeFromPoints.
func (d Diode) New() (power.Diode, error) {
	return power.DiodeFromPoints(d.Kind, d.TestC, d.Low, d.High)
}

// Diodes returns all diode presets, a fresh slice at each call.
func Diodes() []Diode {
	pt := func(v, i float64) power.ForwardPoint { return power.ForwardPoint{VoltageV: v, CurrentA: i} }
	lk := func(points ...float64) (out []blocking.LeakagePoint) {
		for k := 0; k < len(points); k += 2 {
			out = append(out, blocking.LeakagePoint{JunctionC: points[k], CurrentA: points[k+1]})
		}
		return out
	}
	const tsc = "1N5817 - 1N5819, version A06"
	return []Diode{
		{"1N5817", "Taiwan Semiconductor", tsc, power.Schottky, 25, pt(0.45, 1), pt(0.75, 3), 20, 1, lk(25, 1e-3, 125, 10e-3)},
		{"1N5818", "Taiwan Semiconductor", tsc, power.Schottky, 25, pt(0.55, 1), pt(0.875, 3), 30, 1, lk(25, 1e-3, 125, 10e-3)},
		{"1N5819", "Taiwan Semiconductor", tsc, power.Schottky, 25, pt(0.60, 1), pt(0.90, 3), 40, 1, lk(25, 1e-3, 125, 10e-3)},
		{"1N5819 (RFE)", "RFE International", "C3SBR4, 2011-09-30", power.Schottky, 25, pt(0.60, 1), pt(0.90, 3), 40, 1, lk(25, 1e-3, 100, 10e-3)},
		{"1N5819 (IRF)", "International Rectifier", "PD-20590; second forward point (0.90 V at 3 A) from the 1N5819 of Taiwan Semiconductor", power.Schottky, 25, pt(0.60, 1), pt(0.90, 3), 40, 1,
			lk(25, 1e-3, 100, 6e-3, 125, 12e-3)},
	}
}

// FindDiode returns the diode preset of a name, exactly as listed. The error is a
// *stationphysics.NameError with the names that are; it proposes none, for a part of
// nearly the same name is another part.
func FindDiode(name string) (Diode, error) {
	all := Diodes()
	known := make([]string, len(all))
	for i, p := range all {
		if p.Name == name {
			return p, nil
		}
		known[i] = p.Name
	}
	return Diode{}, &stationphysics.NameError{Kind: "diode", Name: name, Known: known}
}
