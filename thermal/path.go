package thermal

import (
	"errors"

	"github.com/stationphysics/stationphysics"
)

// ErrNoBoard is returned for a junction-to-ambient resistance without the
// board it was measured on. JESD51-3 and JESD51-7 define such boards; the same
// part on another one easily differs by a factor of three.
var ErrNoBoard = errors.New("a junction-to-ambient resistance holds for one board only: state the board")

// A Path is the chain of resistances that heat passes from a junction to the
// air: junction to case (or tab), case to sink, sink to air. It is steady
// state: every answer holds once temperatures no longer move, except those
// between junction and case, which settle within about a second and so hold at
// the moment of the reading.
//
// The zero value has no resistance at all: the junction is at ambient
// temperature whatever the power.
type Path struct {
	jcKPerW, csKPerW, saKPerW float64
	board                     string
}

// NewPath returns the path of a part on a heat sink: the resistances θJC from
// junction to case, θCS across the interface (grease, pad; 0 for a soldered
// tab) and θSA from sink to air, each 0 to 1e6 K/W and together 1e-9 to 1e6 K/W. The
// error is a *stationphysics.RangeError.
func NewPath(junctionCaseKPerW, caseSinkKPerW, sinkAmbientKPerW float64) (Path, error) {
	names := [...]string{"junction-to-case resistance", "case-to-sink resistance", "sink-to-ambient resistance"}
	sumKPerW := 0.0
	for i, v := range [...]float64{junctionCaseKPerW, caseSinkKPerW, sinkAmbientKPerW} {
		if err := resistance.Named(names[i]).Check(v); err != nil {
			return Path{}, err
		}
		sumKPerW += v
	}
	if err := someResistance.Named("sum of the thermal resistances").Check(sumKPerW); err != nil {
		return Path{}, err
	}
	return Path{jcKPerW: junctionCaseKPerW, csKPerW: caseSinkKPerW, saKPerW: sinkAmbientKPerW}, nil
}

// NewBoardPath returns the path of a part soldered to a board, from the
// junction-to-ambient resistance θJA measured on that board and the part of it
// that lies between junction and case or tab, θJC. The board is a description
// such as "FR4, 300 mm² of 35 µm copper"; without it the error is ErrNoBoard.
// A θJC above θJA is a *stationphysics.ConflictError, a value outside 0 to 1e6
// K/W a *stationphysics.RangeError.
func NewBoardPath(board string, junctionAmbientKPerW, junctionCaseKPerW float64) (Path, error) {
	if board == "" {
		return Path{}, ErrNoBoard
	}
	ja := someResistance.Named("junction-to-ambient resistance")
	jc := resistance.Named("junction-to-case resistance")
	if err := ja.Check(junctionAmbientKPerW); err != nil {
		return Path{}, err
	}
	if err := jc.Check(junctionCaseKPerW); err != nil {
		return Path{}, err
	}
	if junctionCaseKPerW > junctionAmbientKPerW {
		return Path{}, &stationphysics.ConflictError{
			Quantities: []string{jc.Quantity, ja.Quantity},
			Values:     []float64{junctionCaseKPerW, junctionAmbientKPerW},
			Units:      []string{"K/W", "K/W"},
			Rule:       "junction to case is a part of junction to ambient",
		}
	}
	return Path{jcKPerW: junctionCaseKPerW, saKPerW: junctionAmbientKPerW - junctionCaseKPerW, board: board}, nil
}

// Board returns the board the junction-to-ambient resistance holds for, empty
// for a path built by NewPath.
func (p Path) Board() string { return p.board }

// JunctionAmbientKPerW returns the whole resistance from junction to air, θJA.
func (p Path) JunctionAmbientKPerW() float64 { return p.jcKPerW + p.csKPerW + p.saKPerW }

// JunctionCaseKPerW returns the resistance from junction to case or tab, θJC.
func (p Path) JunctionCaseKPerW() float64 { return p.jcKPerW }

// CaseAmbientKPerW returns the resistance from case or tab to air, θCA.
func (p Path) CaseAmbientKPerW() float64 { return p.csKPerW + p.saKPerW }

// JunctionC returns the steady junction temperature Tj = Ta + θJA·P. It is NaN
// for an ambient temperature outside -100 to 200 °C or a power outside 0 to
// 1e5 W.
func (p Path) JunctionC(ambientC, powerW float64) float64 {
	return rise(ambientC, powerW, p.JunctionAmbientKPerW())
}

// CaseC returns the steady temperature of the case or tab, Tc = Ta + θCA·P. It
// is NaN outside the ranges of JunctionC.
func (p Path) CaseC(ambientC, powerW float64) float64 {
	return rise(ambientC, powerW, p.CaseAmbientKPerW())
}

func rise(ambientC, powerW, kPerW float64) float64 {
	if !ambientTemp.Holds(ambientC) || !powerRange.Holds(powerW) {
		return nan
	}
	return ambientC + kPerW*powerW
}

// JunctionFromCaseC returns the junction temperature behind a reading of the
// case or tab, Tj = Tc + θJC·P. Only the heat that leaves through that face
// makes the difference: use it for the tab or exposed pad that the board or
// sink cools, never for the plastic top of a package (see JunctionFromTopC).
// It is NaN for a case temperature outside -100 to 400 °C or a power outside 0
// to 1e5 W.
func (p Path) JunctionFromCaseC(caseC, powerW float64) float64 {
	if !partTemp.Holds(caseC) || !powerRange.Holds(powerW) {
		return nan
	}
	return caseC + p.jcKPerW*powerW
}

// CaseFromJunctionC returns the case or tab temperature at which the junction
// has a given temperature, Tc = Tj - θJC·P: what the thermometer on the tab
// may show at most. It is NaN outside the ranges of JunctionFromCaseC.
func (p Path) CaseFromJunctionC(junctionC, powerW float64) float64 {
	if !partTemp.Holds(junctionC) || !powerRange.Holds(powerW) {
		return nan
	}
	return junctionC - p.jcKPerW*powerW
}

// MaxPowerW returns the largest steady power for a junction limit,
// P = (Tj,max - Ta)/θJA, and 0 if the air is already at the limit or above it.
// It is NaN for a limit outside -100 to 400 °C or an ambient temperature
// outside -100 to 200 °C. A path of no resistance gives +Inf.
func (p Path) MaxPowerW(junctionLimitC, ambientC float64) float64 {
	if !partTemp.Holds(junctionLimitC) || !ambientTemp.Holds(ambientC) {
		return nan
	}
	if junctionLimitC <= ambientC {
		return 0
	}
	return (junctionLimitC - ambientC) / p.JunctionAmbientKPerW()
}

// MaxAmbientC returns the highest air temperature at which a steady power keeps
// the junction at or below its limit, Ta = Tj,max - θJA·P. It is NaN for a
// limit outside -100 to 400 °C or a power outside 0 to 1e5 W.
func (p Path) MaxAmbientC(junctionLimitC, powerW float64) float64 {
	if !partTemp.Holds(junctionLimitC) || !powerRange.Holds(powerW) {
		return nan
	}
	return junctionLimitC - p.JunctionAmbientKPerW()*powerW
}

// SinkKPerW returns the largest resistance from sink to air, θSA, that keeps
// the junction at or below its limit, with the junction-to-case and
// case-to-sink resistances of this path:
//
//	θSA = (Tj,max - Ta)/P - θJC - θCS
//
// It is NaN where no heat sink can do it (the difference is not positive), for
// a power that is not above 0 and up to 1e5 W, a limit outside -100 to 400 °C
// or an ambient temperature outside -100 to 200 °C. For a path built by
// NewBoardPath the result replaces the board.
func (p Path) SinkKPerW(junctionLimitC, ambientC, powerW float64) float64 {
	if !partTemp.Holds(junctionLimitC) || !ambientTemp.Holds(ambientC) || !(powerW > 0 && powerRange.Holds(powerW)) {
		return nan
	}
	kPerW := (junctionLimitC-ambientC)/powerW - p.jcKPerW - p.csKPerW
	if !(kPerW > 0) {
		return nan
	}
	return kPerW
}

// CheckOperation explains a NaN of the methods of Path: it returns a
// *stationphysics.RangeError for an ambient temperature outside -100 to 200 °C
// or a power outside 0 to 1e5 W, else nil.
func CheckOperation(ambientC, powerW float64) error {
	if err := ambientTemp.Check(ambientC); err != nil {
		return err
	}
	return powerRange.Check(powerW)
}

// A Derating is the curve of permitted power against ambient temperature as a
// data sheet draws it: flat up to the knee, then falling in a straight line to
// zero at the junction limit. The zero value permits no power.
type Derating struct {
	ratedW, kneeC, limitC float64
}

// Derating returns the derating curve of the path for a junction limit, -100 to
// 400 °C, and the largest power the package may ever dissipate, above 0 up to
// 1e5 W. The knee lies where θJA·P reaches the limit. The error is a
// *stationphysics.RangeError.
func (p Path) Derating(junctionLimitC, ratedW float64) (Derating, error) {
	rated := powerRange.Named("rated power")
	rated.Min = 1e-9
	if err := partTemp.Named("junction limit").Check(junctionLimitC); err != nil {
		return Derating{}, err
	}
	if err := rated.Check(ratedW); err != nil {
		return Derating{}, err
	}
	return Derating{ratedW: ratedW, kneeC: junctionLimitC - p.JunctionAmbientKPerW()*ratedW, limitC: junctionLimitC}, nil
}

// KneeC returns the ambient temperature above which the permitted power falls.
func (d Derating) KneeC() float64 { return d.kneeC }

// MaxPowerW returns the permitted power at an ambient temperature, 0 at and
// above the junction limit, NaN for an ambient temperature outside -100 to 200
// °C.
func (d Derating) MaxPowerW(ambientC float64) float64 {
	switch {
	case !ambientTemp.Holds(ambientC):
		return nan
	case ambientC >= d.limitC:
		return 0
	case ambientC <= d.kneeC:
		return d.ratedW
	}
	return d.ratedW * (d.limitC - ambientC) / (d.limitC - d.kneeC)
}
