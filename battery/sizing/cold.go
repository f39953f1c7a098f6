package sizing

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
)

// A Cold counts the hours in which a pack would be charged outside its window,
// and what it costs to block them. Give it a year of hours, or of anything
// shorter, with Add, which allocates nothing. Make one with NewCold.
type Cold struct {
	window battery.Window
	c      battery.Chemistry

	coldS, hotS, slowS float64
	blockedWh, offerWh float64
	coldestC           float64
	seconds            float64
}

// NewCold returns an empty count for the charge window of a chemistry. The
// error is a *stationphysics.NameError.
func NewCold(c battery.Chemistry) (Cold, error) {
	if _, err := c.PackLimits(1, 25); err != nil {
		return Cold{}, err
	}
	return Cold{window: c.Limits().ChargeWindow, c: c, coldestC: math.NaN()}, nil
}

// Add counts dtS seconds in which the sun offers the pack chargeW at a cell
// temperature. capacityWh, the pack's, tells whether the offer exceeds the
// current that the chemistry's sheet allows at that temperature (LiFePO4: a
// fifth of the capacity from 0 to 5 °C). What is no finite number and a time
// below 0 make the count NaN.
func (c *Cold) Add(chargeW, capacityWh, tempC, dtS float64) {
	// Infinite less infinite is NaN as well.
	if v := chargeW + capacityWh + tempC + dtS; math.IsNaN(v-v) || dtS < 0 {
		c.blockedWh, c.offerWh, c.coldS, c.hotS, c.slowS, c.seconds = math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN()
		return
	}
	c.seconds += dtS
	if !(chargeW > 0) {
		return
	}
	wh := chargeW * dtS / 3600
	c.offerWh += wh
	switch {
	case tempC < c.window.MinC:
		c.coldS += dtS
		c.blockedWh += wh
		if !(c.coldestC <= tempC) {
			c.coldestC = tempC
		}
	case tempC > c.window.MaxC:
		c.hotS += dtS
		c.blockedWh += wh
	case chargeW > c.c.MaxChargePerH(tempC)*capacityWh:
		c.slowS += dtS
	}
}

// A ColdSum is what a Cold has counted.
type ColdSum struct {
	ColdH      float64 // charging below the window: without a block each of these hours harms the cells
	HotH       float64 // charging above it
	TooFastH   float64 // inside it, but faster than the sheet allows at that temperature
	BlockedWh  float64 // what a block refuses
	OfferedWh  float64 // what the sun offered in all
	CostFrac   float64 // BlockedWh over OfferedWh
	ColdestC   float64 // coldest cell while charging below the window; NaN if there was none
	WindowMinC float64 // lowest cell temperature at which the sheet lets charge
	WindowMaxC float64 // highest one
}

// Sum returns the count so far.
func (c *Cold) Sum() ColdSum {
	s := ColdSum{ColdH: c.coldS / 3600, HotH: c.hotS / 3600, TooFastH: c.slowS / 3600, BlockedWh: c.blockedWh, OfferedWh: c.offerWh,
		ColdestC: c.coldestC, WindowMinC: c.window.MinC, WindowMaxC: c.window.MaxC}
	if c.offerWh != 0 { // NaN passes, as everywhere in the sum
		s.CostFrac = c.blockedWh / c.offerWh
	}
	return s
}

// ColdHours counts hourly values: the power offered to the pack and the cell
// temperature, an hour each. The error is a *stationphysics.RangeError for a
// cell temperature outside -40..85 °C, a *stationphysics.ConflictError for
// lists of unequal length.
func ColdHours(c battery.Chemistry, capacityWh float64, chargeW, tempC []float64) (ColdSum, error) {
	if len(chargeW) != len(tempC) {
		return ColdSum{}, &stationphysics.ConflictError{Quantities: []string{"number of powers", "number of temperatures"},
			Values: []float64{float64(len(chargeW)), float64(len(tempC))}, Units: []string{"", ""}, Rule: "there is one temperature for each power"}
	}
	n, err := NewCold(c)
	if err != nil {
		return ColdSum{}, err
	}
	for i, w := range chargeW {
		if err := tempRange.Check(tempC[i]); err != nil {
			return ColdSum{}, err
		}
		n.Add(w, capacityWh, tempC[i], 3600)
	}
	return n.Sum(), nil
}
