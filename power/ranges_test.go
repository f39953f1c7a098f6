package power

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&chHold, 2, 100, slip(2000, 1e5, "millivolts"))
	check(&chSet, 1, 100, slip(1000, 1e5, "millivolts"))
	check(&chLimit, 0.001, 50, slip(51, 50000, "milliamperes"))
	check(&chEff, 0.01, 1, slip(1.5, 100, "per cent"))
	check(&chHead, 0, 10)
	check(&chIdle, 0, 0.1, slip(0.2, 1000, "milliamperes or microamperes"))
	check(&chReverse, 0, 0.1, slip(0.2, 1000, "milliamperes or microamperes"))
	check(&chMaxIn, 2, 150)
	check(&pnVmp, 0.1, 200)
	check(&pnVoc, 0.1, 200)
	check(&pnImp, 1e-6, 200)
	check(&pnIsc, 1e-6, 200)
	check(&cvOut, 0.5, 100, slip(500, 1e5, "millivolts"))
	check(&cvMinIn, 0, 100)
	check(&cvMaxIn, 0.5, 150)
	check(&cvHead, 0, 5)
	check(&cvHeadOhm, 0, 50)
	check(&cvIdle, 0, 0.5, slip(0.6, 1000, "milliamperes or microamperes"))
	check(&cvLimit, 0.001, 50)
	check(&cvCurveIn, 0.5, 150)
	check(&cvCurveA, 1e-9, 50)
	check(&cvCurveEff, 0.001, 0.999, slip(1, 100, "per cent"))
	check(&dioIs, 1e-20, 0.1)
	check(&dioN, 0.8, 4)
	check(&dioRs, 0, 100)
	check(&dioTemp, -90, 200, slip(203, 473.15, "kelvins"))
	check(&dioBarrier, 0.2, 3.5)
	check(&dioGrowth, 0, 10)
	check(&dioFwdV, 0.05, 5, slip(50, 5000, "millivolts"))
	check(&dioFwdA, 1e-9, 100, slip(101, 1e5, "milliamperes"))
	check(&linSet, 0.5, 60, slip(500, 60000, "millivolts"))
	check(&linBand, 0, 20)
	check(&linDropout, 0, 5, slip(20, 5000, "millivolts"))
	check(&linDropOhm, 0, 50)
	check(&linQuiescent, 0, 0.1, slip(0.2, 100, "milliamperes or microamperes"))
	check(&linGround, 0, 0.2, slip(0.5, 20, "per cent"))
	check(&linMaxIn, 0.5, 150)
	check(&linLimit, 0.001, 20, slip(50, 20000, "milliamperes"))
	check(&linJunction, 50, 200, slip(300, 480, "kelvins"))
	check(&linShutdown, 50, 250, slip(300, 520, "kelvins"))
	check(&ldPeriod, 1e-3, 1e7)
	check(&ldAsleep, 0, 100)
	check(&ldAmp, 0, 100, slip(101, 1e5, "milliamperes"))
	check(&ldDur, 0, 1e6)
	check(&ldCount, 0, 1e6)
	check(&coolAmbient, -90, 150, slip(183, 423, "kelvins"))
	check(&coolTheta, 0.01, 2000)
	check(&readIn, 1e-6, 1000, slip(3000, 1e5, "millivolts"))
	check(&readLoad, 1e-6, 1e9)
	check(&readHeat, 0, 1e4)
}
