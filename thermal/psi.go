package thermal

import "github.com/stationphysics/stationphysics/internal/limit"

var psiRange = limit.Range{Unit: "K/W", Min: 0, Max: 200}

// JunctionFromTopC returns the junction temperature behind a reading at the
// centre of the package's top, Tj = Tt + ψJT·P, from the characterisation
// parameter ψJT of the data sheet, 0 to 200 K/W, and the whole power of the
// part, 0 to 1e5 W.
//
// ψJT is not a resistance (JESD51-2, JESD51-12): only a small, board-dependent
// share of the heat leaves through the top, so it must not be put in series
// with anything, and no ambient temperature or heat sink follows from it. It
// also holds for a bare top only; under a heat sink use θJC(top). Conversely
// θJC(top) was measured with all heat drawn through the top and gives far too
// high a junction here (TI SPRA953). It is NaN outside the ranges or for a top
// outside -100 to 400 °C.
func JunctionFromTopC(topC, powerW, psiJTKPerW float64) float64 {
	return characterised(topC, powerW, psiJTKPerW)
}

// JunctionFromBoardC returns the junction temperature behind a reading of the
// board at most 1 mm from the middle of the package's longest side, Tj = Tb +
// ψJB·P, from the characterisation parameter ψJB of the data sheet, 0 to 200
// K/W. It is not a resistance either, but as most heat leaves through the board
// it lies near θJB and depends on the board only weakly. It is NaN outside the
// ranges of JunctionFromTopC.
func JunctionFromBoardC(boardC, powerW, psiJBKPerW float64) float64 {
	return characterised(boardC, powerW, psiJBKPerW)
}

func characterised(readC, powerW, psiKPerW float64) float64 {
	if !partTemp.Holds(readC) || !powerRange.Holds(powerW) || !psiRange.Holds(psiKPerW) {
		return nan
	}
	return readC + psiKPerW*powerW
}

// CheckCharacterisation explains a NaN of JunctionFromTopC and
// JunctionFromBoardC with a *stationphysics.RangeError, else it is nil.
func CheckCharacterisation(readC, powerW, psiKPerW float64) error {
	return limit.First(
		partTemp.Named("surface reading").Check(readC),
		powerRange.Check(powerW),
		psiRange.Named("characterisation parameter").Check(psiKPerW),
	)
}
