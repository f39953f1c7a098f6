package charge

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func board(t testing.TB, name string) Board {
	t.Helper()
	for _, b := range Boards() {
		if b.Name == name {
			require.NotEmpty(t, b.Source)
			return b
		}
	}
	t.Fatal(name)
	return Board{}
}

func caseOf(t testing.TB) Case {
	return Case{Pack: pack(t, 1.5, 2), Charger: battery.Charger{SetV: 7.0, MaxA: 0.5}, HighestV: 0.05, TempC: 20, NoPackV: 21.6, RailMaxV: 20}
}

func TestBoardsAsListed(t *testing.T) {
	n := 0
	refdata.Each(t, "battery/charge/boards", func(r *refdata.Row) {
		b := board(t, r.S("board"))
		n++
		r.Check("overV", b.OverV, b.Name)
		r.Check("overSpreadV", b.OverSpreadV, b.Name)
		r.Check("releaseV", b.ReleaseV, b.Name)
		r.Check("releaseSpreadV", b.ReleaseSpreadV, b.Name)
		r.Check("underV", b.UnderV, b.Name)
		r.Check("underSpreadV", b.UnderSpreadV, b.Name)
	})
	require.Len(t, Boards(), n)
}

func TestBoardComesTooLate(t *testing.T) {
	// The ordinary LiFePO4 board opens at 3.90 V ± 25 mV: 0.225 V beyond the sheet.
	v, err := board(t, "LiFePO4 board").Judge(caseOf(t))
	require.NoError(t, err)
	require.InDelta(t, 3.55, v.HighestCellV, 1e-12)
	require.False(t, v.Trips)
	require.False(t, v.InTime)
	require.InDelta(t, 0.225, v.PastSheetV, 1e-12)
	require.InDelta(t, 3.70, v.SheetV, 1e-12)
	require.InDelta(t, 1.6, v.RailOverV, 1e-12)
	require.True(t, v.CutsTooLow, "2.00 V less 0.08 V lies below 2.0 V less 0.05 V")
	require.Contains(t, v.Text, "drawn to 1.92 V")
	require.Contains(t, v.Text, "up to 0.225 V beyond the sheet's 3.70 V")
	require.Contains(t, v.Text, "does not open")
	// One for lithium-ion is no protection for these cells at all.
	v, err = board(t, "lithium-ion board").Judge(caseOf(t))
	require.NoError(t, err)
	require.InDelta(t, 0.575, v.PastSheetV, 1e-12)
	// The low option opens in time; and, set at 7.3 V with unequal cells, in earnest.
	c := caseOf(t)
	low := board(t, "LiFePO4 board, low option")
	v, err = low.Judge(c)
	require.NoError(t, err)
	require.True(t, v.InTime)
	require.InDelta(t, -0.025, v.PastSheetV, 1e-12)
	require.Contains(t, v.Text, "leaves its sheet at 3.70 V. ")
	require.False(t, v.CutsTooLow)
	require.False(t, v.Trips)
	c.Charger.SetV = 7.2
	v, err = low.Judge(c)
	require.NoError(t, err)
	require.True(t, v.Trips && !v.TripsForSure, "3.65 V lies inside the spread of the trip")
	require.InDelta(t, 3.65, v.RestingV, 1e-12)
	c.Charger.SetV = 7.4
	v, err = low.Judge(c)
	require.NoError(t, err)
	require.True(t, v.TripsForSure)
	require.InDelta(t, 3.675, v.RestingV, 1e-12)
	require.False(t, v.Releases)
	curve := c.Pack.Cell().Curve
	require.InDelta(t, 1.5*(curve.SoC(3.675, 20)-curve.SoC(3.60, 20)), v.DrainAh, 1e-12)
	require.Contains(t, v.Text, "rises to 21.6 V, 1.6 V more than its parts take")
	require.Regexp(t, `closes again once load and leakage have drawn 0\.00\d Ah;`, v.Text)
	// The text goes by the sign: half a volt too much is too much.
	c.NoPackV = 20.5
	v, err = low.Judge(c)
	require.NoError(t, err)
	require.Contains(t, v.Text, "The highest cell reaches 3.750 V; the board opens at 3.625 to 3.675 V.")
	require.Contains(t, v.Text, "rises to 20.5 V, 0.5 V more")
	c.NoPackV = 20
	v, err = low.Judge(c)
	require.NoError(t, err)
	require.Contains(t, v.Text, "stands at 20.0 V, 0.0 V inside")
	// A charger that regulates by itself keeps the rail.
	c.NoPackV = 7.4
	v, err = low.Judge(c)
	require.NoError(t, err)
	require.InDelta(t, -12.6, v.RailOverV, 1e-12)
	require.Contains(t, v.Text, "stands at 7.4 V, 12.6 V inside")
	// The very ends: a trip at the sheet's limit is in time, one at the highest cell trips.
	e := low
	e.OverV, e.OverSpreadV, e.ReleaseV, e.ReleaseSpreadV, e.UnderV, e.UnderSpreadV = 3.70, 0, 3.6, 0, 2.0, 0.05
	c.Charger.SetV = 7.3
	v, err = e.Judge(c)
	require.NoError(t, err)
	require.True(t, v.InTime && v.Trips && v.TripsForSure && !v.CutsTooLow)
	e.OverV = 3.701
	v, err = e.Judge(c)
	require.NoError(t, err)
	require.False(t, v.InTime || v.Trips)
	e.OverV, e.OverSpreadV, e.ReleaseV, e.ReleaseSpreadV = 3.70, 0.05, 3.75, 0.05
	e.ReleaseV = 3.70
	v, err = e.Judge(c)
	require.NoError(t, err)
	require.True(t, v.Trips && !v.TripsForSure && !v.Releases)
	require.InDelta(t, 3.70, v.RestingV, 1e-12)
	e.ReleaseSpreadV = 0
	v, err = e.Judge(c)
	require.NoError(t, err)
	require.True(t, v.Releases)
	// A cell that rests below the release closes the board by itself.
	b := low
	b.OverV, b.OverSpreadV, b.ReleaseV, b.ReleaseSpreadV = 3.70, 0.2, 3.70, 0
	c.Charger.SetV = 7.2
	v, err = b.Judge(c)
	require.NoError(t, err)
	require.True(t, v.Trips && v.Releases)
	require.Zero(t, v.DrainAh)
	require.Contains(t, v.Text, "take turns")
}

// A trip far above the cells' curve has no charge down to the release, and the
// text says so instead of "NaN Ah".
func TestBoardBeyondTheCurve(t *testing.T) {
	b := board(t, "LiFePO4 board, low option")
	b.OverV = 5
	v, err := b.Judge(Case{Pack: pack(t, 1.5, 2), Charger: battery.Charger{SetV: 12, MaxA: 0.5}, TempC: 20, NoPackV: 12, RailMaxV: 20})
	require.NoError(t, err)
	require.True(t, v.TripsForSure && !v.Releases && math.IsNaN(v.DrainAh))
	require.Contains(t, v.Text, "from voltages that its curve does not reach")
	require.NotContains(t, v.Text, "NaN")
}

func TestBoardDischarge(t *testing.T) {
	b := board(t, "LiFePO4 board")
	b.UnderV = 1.9
	v, err := b.Judge(caseOf(t))
	require.NoError(t, err)
	require.True(t, v.CutsTooLow)
	c, err := battery.TypicalCell(battery.NickelMetalHydride, 2)
	require.NoError(t, err)
	p, err := battery.NewPack(c, 6, 1)
	require.NoError(t, err)
	x := caseOf(t)
	x.Pack = p
	v, err = b.Judge(x)
	require.NoError(t, err)
	require.True(t, math.IsNaN(v.SheetV))
	require.Contains(t, v.Text, "no charge voltage to compare with")
}

func TestBoardRefusals(t *testing.T) {
	ok := board(t, "LiFePO4 board")
	for text, f := range map[string]func(b *Board, c *Case){
		"number of packs 0 is outside 1..1": func(_ *Board, c *Case) { c.Pack = nil },
		"volts of the whole pack?":          func(b *Board, _ *Case) { b.OverV = 7.8 },
		"spread of a trip voltage":          func(b *Board, _ *Case) { b.OverSpreadV = -1 },
		"trip voltage of a cell NaN":        func(b *Board, _ *Case) { b.ReleaseV = math.NaN() },
		"spread of a trip voltage 2":        func(b *Board, _ *Case) { b.ReleaseSpreadV = 2 },
		"trip voltage of a cell 0":          func(b *Board, _ *Case) { b.UnderV = 0 },
		"spread of a trip voltage 3":        func(b *Board, _ *Case) { b.UnderSpreadV = 3 },
		"set voltage":                       func(_ *Board, c *Case) { c.Charger.SetV = 0 },
		"most current":                      func(_ *Board, c *Case) { c.Charger.MaxA = -1 },
		"highest cell":                      func(_ *Board, c *Case) { c.HighestV = 50 },
		"kelvins?":                          func(_ *Board, c *Case) { c.TempC = 293 },
		"voltage of the rail":               func(_ *Board, c *Case) { c.NoPackV = -1 },
		"voltage of the rail NaN":           func(_ *Board, c *Case) { c.RailMaxV = math.NaN() },
		"releases at or below its trip":     func(b *Board, _ *Case) { b.ReleaseV = 3.95 },
		"and above its discharge trip":      func(b *Board, _ *Case) { b.UnderV = 3.9 },
		"above its discharge trip":          func(b *Board, _ *Case) { b.UnderV = b.ReleaseV },
	} {
		b, c := ok, caseOf(t)
		f(&b, &c)
		_, err := b.Judge(c)
		require.ErrorContains(t, err, text)
	}
}
