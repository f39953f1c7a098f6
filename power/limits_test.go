package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// TestLimits holds every range to what the comment at its field promises: both
// ends are accepted, their neighbours and NaN are not, and a value in a wrong
// unit is recognised from the first to the last one expected.
func TestLimits(t *testing.T) {
	for _, c := range []struct {
		r        *limit.Range
		min, max float64
		slips    []limit.Slip
	}{
		{&chHold, 2, 100, []limit.Slip{{Min: 2000, Max: 1e5, Looks: "millivolts"}}},
		{&chSet, 1, 100, []limit.Slip{{Min: 1000, Max: 1e5, Looks: "millivolts"}}},
		{&chLimit, 0.001, 50, []limit.Slip{{Min: 51, Max: 50000, Looks: "milliamperes"}}},
		{&chEff, 0.01, 1, []limit.Slip{{Min: 1.5, Max: 100, Looks: "per cent"}}},
		{&chHead, 0, 10, nil},
		{&chIdle, 0, 0.1, []limit.Slip{{Min: 0.2, Max: 1000, Looks: "milliamperes or microamperes"}}},
		{&chReverse, 0, 0.1, []limit.Slip{{Min: 0.2, Max: 1000, Looks: "milliamperes or microamperes"}}},
		{&chMaxIn, 2, 150, nil},
		{&pnVmp, 0.1, 200, nil},
		{&pnVoc, 0.1, 200, nil},
		{&pnImp, 1e-6, 200, nil},
		{&pnIsc, 1e-6, 200, nil},
		{&cvOut, 0.5, 100, []limit.Slip{{Min: 500, Max: 1e5, Looks: "millivolts"}}},
		{&cvMinIn, 0, 100, nil},
		{&cvMaxIn, 0.5, 150, nil},
		{&cvHead, 0, 5, nil},
		{&cvHeadOhm, 0, 50, nil},
		{&cvIdle, 0, 0.5, []limit.Slip{{Min: 0.6, Max: 1000, Looks: "milliamperes or microamperes"}}},
		{&cvLimit, 0.001, 50, nil},
		{&cvCurveIn, 0.5, 150, nil},
		{&cvCurveA, 1e-9, 50, nil},
		{&cvCurveEff, 0.001, 0.999, []limit.Slip{{Min: 1, Max: 100, Looks: "per cent"}}},
		{&dioIs, 1e-20, 0.1, nil},
		{&dioN, 0.8, 4, nil},
		{&dioRs, 0, 100, nil},
		{&dioTemp, -90, 200, []limit.Slip{{Min: 203, Max: 473.15, Looks: "kelvins"}}},
		{&dioBarrier, 0.2, 3.5, nil},
		{&dioGrowth, 0, 10, nil},
		{&dioFwdV, 0.05, 5, []limit.Slip{{Min: 50, Max: 5000, Looks: "millivolts"}}},
		{&dioFwdA, 1e-9, 100, []limit.Slip{{Min: 101, Max: 1e5, Looks: "milliamperes"}}},
		{&linSet, 0.5, 60, []limit.Slip{{Min: 500, Max: 60000, Looks: "millivolts"}}},
		{&linBand, 0, 20, nil},
		{&linDropout, 0, 5, []limit.Slip{{Min: 20, Max: 5000, Looks: "millivolts"}}},
		{&linDropOhm, 0, 50, nil},
		{&linQuiescent, 0, 0.1, []limit.Slip{{Min: 0.2, Max: 100, Looks: "milliamperes or microamperes"}}},
		{&linGround, 0, 0.2, []limit.Slip{{Min: 0.5, Max: 20, Looks: "per cent"}}},
		{&linMaxIn, 0.5, 150, nil},
		{&linLimit, 0.001, 20, []limit.Slip{{Min: 50, Max: 20000, Looks: "milliamperes"}}},
		{&linJunction, 50, 200, []limit.Slip{{Min: 300, Max: 480, Looks: "kelvins"}}},
		{&linShutdown, 50, 250, []limit.Slip{{Min: 300, Max: 520, Looks: "kelvins"}}},
		{&ldPeriod, 1e-3, 1e7, nil},
		{&ldAsleep, 0, 100, nil},
		{&ldAmp, 0, 100, []limit.Slip{{Min: 101, Max: 1e5, Looks: "milliamperes"}}},
		{&ldDur, 0, 1e6, nil},
		{&ldCount, 0, 1e6, nil},
		{&coolAmbient, -90, 150, []limit.Slip{{Min: 183, Max: 423, Looks: "kelvins"}}},
		{&coolTheta, 0.01, 2000, nil},
		{&readIn, 1e-6, 1000, []limit.Slip{{Min: 3000, Max: 1e5, Looks: "millivolts"}}},
		{&readOut, 0, 1000, []limit.Slip{{Min: 1500, Max: 1e5, Looks: "millivolts"}}},
		{&readLoad, 1e-6, 1e9, nil},
		{&readHeat, 0, 1e4, nil},
	} {
		t.Run(c.r.Quantity, func(t *testing.T) {
			require.NoError(t, c.r.Check(c.min))
			require.NoError(t, c.r.Check(c.max))
			require.Error(t, c.r.Check(math.Nextafter(c.min, math.Inf(-1))))
			if !math.IsInf(c.max, 1) {
				require.Error(t, c.r.Check(math.Nextafter(c.max, math.Inf(1))))
			}
			require.Error(t, c.r.Check(math.NaN()))
			for _, s := range c.slips {
				require.ErrorContains(t, c.r.Check(s.Min), s.Looks)
				require.ErrorContains(t, c.r.Check(s.Max), s.Looks)
				for _, v := range []float64{math.Nextafter(s.Min, math.Inf(-1)), math.Nextafter(s.Max, math.Inf(1))} {
					if err := c.r.Check(v); err != nil {
						require.NotContains(t, err.Error(), s.Looks)
					}
				}
			}
		})
	}
}
