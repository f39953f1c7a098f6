package baro

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

// The wording of WMO-No. 306, code table 0200, row by row.
func TestCharacteristicFollowsTheCodeTable(t *testing.T) {
	for _, c := range []struct {
		name                 string
		before, between, now StationHPa
		want                 Characteristic
	}{
		{"increasing, then decreasing; higher", 947.0, 948.0, 947.5, 0},
		{"increasing, then decreasing; the same", 947.0, 948.0, 947.0, 0},
		{"increasing, then steady", 947.0, 948.0, 948.0, 1},
		{"increasing, then increasing more slowly", 947.0, 948.0, 948.3, 1},
		{"increasing steadily", 947.0, 947.6, 948.2, 2},
		{"increasing unsteadily", 947.0, 947.5, 948.2, 2},
		{"halves that differ by just two tenths", 947.0, 947.5, 948.2, 2},
		{"the other way round", 947.0, 947.7, 948.2, 2},
		{"falling, just two tenths", 947.0, 946.5, 945.8, 7},
		{"falling, the other way round", 947.0, 946.3, 945.8, 7},
		{"halves that differ by a hundredth more", 947.0, 947.5, 948.21, 3},
		{"by less than half of that", 947.0, 947.5, 948.2049, 2},
		{"falling, a hundredth more", 947.0, 946.5, 945.79, 8},
		{"a half of just a tenth counts", 947.0, 947.125, 947.0, 0},
		{"a half of just above a tenth", 947.0, 947.10005, 947.0, 0},
		{"falling, just above a tenth", 947.0, 946.89995, 947.0, 5},
		{"a half of just below a tenth is steady", 947.0, 947.09995, 947.0, 4},
		{"falling, just below a tenth", 947.0, 946.90005, 947.0, 4},
		{"decreasing, then increasing; higher", 947.0, 946.5, 947.8, 3},
		{"steady, then increasing", 947.0, 947.0, 947.8, 3},
		{"increasing, then more rapidly", 947.0, 947.2, 948.4, 3},
		{"steady", 947.0, 947.0, 947.0, 4},
		{"within the tenth", 947.00, 947.04, 947.03, 4},
		{"within the tenth, by little", 947.00, 947.02, 947.047, 4},
		{"decreasing, then increasing; lower", 947.0, 945.9, 946.5, 5},
		{"decreasing, then increasing; the same", 947.0, 946.4, 947.0, 5},
		{"decreasing, then steady", 947.0, 946.2, 946.2, 6},
		{"decreasing, then decreasing more slowly", 947.0, 946.0, 945.7, 6},
		{"decreasing", 947.0, 946.4, 945.8, 7},
		{"steady, then decreasing", 947.0, 947.0, 946.2, 8},
		{"increasing, then decreasing; lower", 947.0, 947.4, 946.0, 8},
		{"decreasing, then more rapidly", 947.0, 946.8, 945.6, 8},
	} {
		got, ok := Characterise(c.before, c.between, c.now)
		require.True(t, ok, c.name)
		require.Equal(t, c.want, got.Characteristic, c.name)
		require.InDelta(t, float64(c.now-c.before), got.ChangeHPa, 1e-12, c.name)
	}
	_, ok := Characterise(947, 94700, 947)
	require.False(t, ok)
}

// Turning the course upside down mirrors the figure: 0 and 5, 1 and 6, 2 and
// 7, 3 and 8 are pairs, unless the ends are the same.
func TestCharacteristicMirrors(t *testing.T) {
	mirror := map[Characteristic]Characteristic{0: 5, 1: 6, 2: 7, 3: 8, 4: 4, 5: 0, 6: 1, 7: 2, 8: 3}
	for a := -12; a <= 12; a++ {
		for b := -12; b <= 12; b++ {
			// A multiple of 1/8 keeps both mirror images exact in binary.
			d1, d2 := StationHPa(float64(a)/8), StationHPa(float64(b)/8)
			up, ok1 := Characterise(900, 900+d1, 900+d1+d2)
			down, ok2 := Characterise(900, 900-d1, 900-d1-d2)
			require.True(t, ok1 && ok2)
			require.Equal(t, mirror[up.Characteristic], down.Characteristic, "%v %v", d1, d2)
		}
	}
}

var midnight = time.Date(2026, 1, 10, 0, 0, 0, 0, time.UTC)

// ramp fills a window with one value a minute, leaving out what skip says.
func ramp(t *testing.T, minutes int, hPa func(m int) float64, skip func(m int) bool) *TendencyWindow {
	t.Helper()
	w := &TendencyWindow{}
	for m := range minutes {
		if skip != nil && skip(m) {
			continue
		}
		require.NoError(t, w.Add(midnight.Add(time.Duration(m)*time.Minute), StationHPa(hPa(m))))
	}
	return w
}

func TestWindowGivesTheThreeHourChange(t *testing.T) {
	fall := func(m int) float64 { return 950 - 0.01*float64(m) }
	got, ok := ramp(t, 600, fall, nil).Tendency()
	require.True(t, ok)
	require.InDelta(t, -1.8, got.ChangeHPa, 1e-9) // 180 minutes of 0.01
	require.Equal(t, Falling, got.Characteristic)

	_, ok = ramp(t, 165, fall, nil).Tendency()
	require.False(t, ok, "164 minutes are more than 15 short of three hours")
	_, ok = ramp(t, 166, fall, nil).Tendency()
	require.True(t, ok, "165 minutes are within 15 of three hours")
	_, ok = (&TendencyWindow{}).Tendency()
	require.False(t, ok)
}

func TestWindowKeepsGapsAsGaps(t *testing.T) {
	fall := func(m int) float64 { return 950 - 0.01*float64(m) }
	// The window ends at minute 399; three hours before is 219.
	gap := func(from, to int) func(int) bool { return func(m int) bool { return m >= from && m <= to } }
	got, ok := ramp(t, 400, fall, gap(210, 225)).Tendency()
	require.True(t, ok)
	require.InDelta(t, fall(399)-fall(226), got.ChangeHPa, 1e-9, "226 is seven minutes off, 209 ten")
	_, ok = ramp(t, 400, fall, gap(203, 235)).Tendency()
	require.False(t, ok, "the nearest values are 17 and 16 minutes off")
	_, ok = ramp(t, 400, fall, gap(290, 330)).Tendency()
	require.False(t, ok, "nothing near the middle")

	// At equal distance the earlier stands in.
	got, ok = ramp(t, 400, fall, gap(212, 226)).Tendency()
	require.True(t, ok)
	require.InDelta(t, fall(399)-fall(211), got.ChangeHPa, 1e-9, "211 and 227 are eight minutes off")
	// Fifteen minutes off still stand in, sixteen do not.
	got, ok = ramp(t, 400, fall, gap(205, 399-180+20)).Tendency()
	require.True(t, ok)
	require.InDelta(t, fall(399)-fall(204), got.ChangeHPa, 1e-9)
	_, ok = ramp(t, 400, fall, gap(204, 399-180+20)).Tendency()
	require.False(t, ok)

	// A silence longer than the window leaves nothing of before.
	w := ramp(t, 400, fall, nil)
	require.NoError(t, w.Add(midnight.Add(800*time.Minute), 940))
	_, ok = w.Tendency()
	require.False(t, ok)
}

func TestWindowRefuses(t *testing.T) {
	var w TendencyWindow
	require.NoError(t, w.Add(midnight, 950))
	require.ErrorIs(t, w.Add(midnight.Add(-time.Minute), 950), ErrOrder)
	var re *stationphysics.RangeError
	require.True(t, errors.As(w.Add(midnight.Add(time.Minute), 95000), &re))
	require.True(t, errors.As(w.Add(midnight.Add(2*time.Minute), StationHPa(math.NaN())), &re))
	require.NoError(t, w.Add(midnight.Add(2*time.Minute+30*time.Second), 951), "a second value of the minute replaces")
}

func TestWindowBeforeTheEpoch(t *testing.T) {
	var w TendencyWindow
	start := time.Date(1969, 12, 31, 22, 0, 0, 0, time.UTC)
	for m := range 200 {
		require.NoError(t, w.Add(start.Add(time.Duration(m)*time.Minute), 950+StationHPa(m)*0.01))
	}
	got, ok := w.Tendency()
	require.True(t, ok)
	require.InDelta(t, 1.8, got.ChangeHPa, 1e-9)
}

// TestMiddleOfTheThreeHours: a step of 1 hPa that ends ninety minutes ago lies in the
// first half, one that begins then in the second.
func TestMiddleOfTheThreeHours(t *testing.T) {
	for first, want := range map[int]Characteristic{90: RisingThenSteady, 91: FallingOrSteadyThenRising} {
		w := ramp(t, 181, func(m int) float64 {
			if m >= first {
				return 1001
			}
			return 1000
		}, nil)
		got, ok := w.Tendency()
		require.True(t, ok)
		require.Equal(t, want, got.Characteristic, "risen from minute %d on", first)
		require.InDelta(t, 1, got.ChangeHPa, 1e-12)
	}
}

// A refused pressure leaves a gap, although its minute takes the place of one that was
// kept three hours and sixteen minutes before, and the next to come that of one kept
// three hours and fifteen.
func TestRefusedMinutesAreGaps(t *testing.T) {
	fall := func(m int) float64 { return 950 - 0.01*float64(m) }
	for refused := 1; refused <= 3; refused++ {
		w := ramp(t, 400, fall, nil)
		for k := range refused {
			require.Error(t, w.Add(midnight.Add(time.Duration(400+k)*time.Minute), 95000))
		}
		got, ok := w.Tendency()
		require.True(t, ok)
		require.InDelta(t, fall(399)-fall(399+refused-180), got.ChangeHPa, 1e-9, "now is stood in for by minute 399")
	}
}

// The epoch is a minute like any other: it does not stand in for one three minutes later
// whose neighbour is nearer.
func TestTheEpochIsNoStandIn(t *testing.T) {
	var w TendencyWindow
	fall := func(m int) StationHPa { return 950 - 0.01*StationHPa(m) }
	for m := range 186 {
		if m < 3 || m > 7 {
			require.NoError(t, w.Add(time.Unix(int64(60*m), 0), fall(m)))
		}
	}
	got, ok := w.Tendency()
	require.True(t, ok)
	require.InDelta(t, float64(fall(185)-fall(2)), got.ChangeHPa, 1e-9, "2 and 8 are three minutes from 5")
}

// A minute begins with its second 0, before the epoch as after it.
func TestMinutesBeginAtTheirFirstSecond(t *testing.T) {
	for _, start := range []time.Time{midnight, time.Date(1969, 12, 31, 12, 0, 0, 0, time.UTC)} {
		var w TendencyWindow
		add := func(s int, p StationHPa) {
			require.NoError(t, w.Add(start.Add(time.Duration(s)*time.Second), p))
		}
		add(0, 950)
		add(59, 951)
		add(60, 960) // of the next minute
		add(90*60, 955)
		add(180*60, 957)
		got, ok := w.Tendency()
		require.True(t, ok)
		require.InDelta(t, 957-951, got.ChangeHPa, 1e-12, "the last value of the minute three hours ago")
	}
}
