package logbook

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/station"
)

// The lines at which the generator plants its troubles: a minute m of the log
// stands in line m+3, from the broken and the doubled row of the first evening on
// in m+5, and after the gap of twenty rows in m-15.
const (
	early = 3
	dusk  = 5
	late  = -15
)

func day1(h, m int) int { return h*60 + m }
func day2(h, m int) int { return 1440 + day1(h, m) }

type planted struct {
	kind        Kind
	column      Column
	first, last int // lines
	rows        int
	spells      int
	word        station.Word
}

var plantedTroubles = []planted{
	{FrostCharge, Current, day1(7, 0) + early, day1(7, 19) + early, 20, 20, station.Stop},
	{OverCharge, Pack, day1(13, 0) + early, day1(13, 29) + early, 30, 1, station.Stop},
	{PairApart, Air2, day1(2, 0) + early, day1(4, 29) + early, 150, 1, station.Change},
	{NotCharging, Pack, day1(14, 20) + early, day1(15, 19) + early, 60, 1, station.Change},
	{Impossible, Humidity, day1(16, 50) + early, day1(16, 50) + early, 1, 1, station.Change},
	{Restarts, Boots, day1(17, 34) + early, day1(17, 34) + early, 1, 1, station.Change},
	{TransferFailed, Air, day1(20, 0) + dusk, day1(20, 2) + dusk, 3, 3, station.Change},
	{TransferFailed, Pressure, day1(20, 10) + dusk, day1(20, 11) + dusk, 2, 2, station.Change},
	{CupStuck, Wind, day2(2, 0) + late, day2(5, 59) + late, 240, 1, station.Change},
	{VaneStuck, Direction, day2(6, 30) + late, day2(8, 29) + late, 120, 1, station.Change},
	{Bounce, RainTips, day2(11, 5) + late, day2(11, 5) + late, 1, 1, station.Change},
	{BrownOutLoop, Boots, day2(16, 20) + late, day2(16, 30) + late, 2, 2, station.Change},
	{StuckRegister, Pressure, day2(14, 0) + late, day2(17, 59) + late, 240, 1, station.Change},
	{ClockStep, columns, day2(22, 0) + late, day2(22, 0) + late, 1, 1, station.Change},
	{Melt, RainTips, day1(3, 10) + early, day1(3, 10) + early, 1, 1, station.Watch},
	{VaneFrozen, Wind, day1(0, 30) + early, day1(5, 29) + early, 300, 1, station.Watch},
	{LightPegged, Light, day1(11, 0) + early, day1(12, 29) + early, 90, 90, station.Watch},
	{WarmBox, Box, day1(12, 0) + early, day1(12, 59) + early, 60, 1, station.Watch},
	{Contradiction, Gust, day1(18, 0) + early, day1(18, 4) + early, 5, 5, station.Watch},
	{Duplicate, columns, day1(18, 30) + dusk, day1(18, 30) + dusk, 1, 1, station.Watch},
	{Gap, columns, day1(22, 20) + late, day1(22, 20) + late, 1, 1, station.Watch},
	{HumidityPegged, Humidity, day2(0, 0) + late, day2(7, 59) + late, 480, 1, station.Watch},
	{Full, Pack, day1(13, 40) + early, day1(14, 9) + early, 30, 1, station.Fine},
	// Both ends of the planted stretches jump, which is what a step check is for.
	{StuckRegister, Humidity2, day1(0, 30) + early, day1(5, 29) + early, 300, 1, station.Change},
	{PairApart, Humidity2, day1(2, 0) + early, day1(4, 29) + early, 150, 1, station.Change},
}

// atLeast are found too, with lines that the noise decides: a pack that is to
// stand still from nine has made its last step up some minutes before.
var atLeast = []planted{
	{kind: LoadAboveHarvest, column: Pack, first: day2(8, 40) + late, last: day2(12, 59) + late},
	{kind: HeatedShield, column: Air, first: day1(9, 50) + early, last: day1(10, 9) + early},
	{kind: Spike, column: Pressure, first: day1(16, 40) + early, last: day2(18, 2) + late},
	{kind: Spike, column: Air, first: day1(9, 50) + early, last: day1(10, 12) + early},
	{kind: Spike, column: Air2, first: day1(9, 50) + early, last: day1(10, 12) + early},
	{kind: Spike, column: Humidity, first: day1(0, 30) + early, last: day2(8, 2) + late},
	{kind: Spike, column: Humidity2, first: day1(0, 30) + early, last: day2(8, 2) + late},
}

func TestPlantedTroublesAreFound(t *testing.T) {
	r, err := New(bytes.NewReader(inventedLog(t, "troubled.csv")), "troubled.csv", invented(t))
	require.NoError(t, err)
	all := drain(t, r)
	require.Len(t, all, 2860)
	got := map[[2]int]Trouble{}
	last := station.Stop
	for _, x := range r.Troubles() {
		got[[2]int{int(x.Kind), int(x.Column)}] = x
		require.LessOrEqual(t, x.Word, last, "the most urgent first")
		last = x.Word
		require.NotEmpty(t, x.Reason, x.Kind)
		require.Equal(t, x.Word != station.Fine, x.Next != "", x.Kind)
		require.NotEmpty(t, x.Evidence)
		require.LessOrEqual(t, len(x.Evidence), 3)
		require.Equal(t, "troubled.csv", x.File)
		require.Equal(t, "troubled.csv", x.LastFile)
		for _, e := range x.Evidence {
			require.NotEmpty(t, e.Text)
			require.GreaterOrEqual(t, e.Line, x.FirstLine)
			require.LessOrEqual(t, e.Line, x.LastLine)
		}
	}
	for _, p := range plantedTroubles {
		x, ok := got[[2]int{int(p.kind), int(p.column)}]
		require.True(t, ok, "%s of %s", p.kind, p.column)
		require.Equal(t, p, planted{x.Kind, x.Column, x.FirstLine, x.LastLine, x.Rows, x.Spells, x.Word}, "%s of %s", p.kind, p.column)
		delete(got, [2]int{int(p.kind), int(p.column)})
	}
	for _, p := range atLeast {
		x, ok := got[[2]int{int(p.kind), int(p.column)}]
		require.True(t, ok, "%s of %s", p.kind, p.column)
		require.GreaterOrEqual(t, x.FirstLine, p.first)
		require.LessOrEqual(t, x.LastLine, p.last)
		delete(got, [2]int{int(p.kind), int(p.column)})
	}
	require.Empty(t, got, "nothing that was not planted")

	s := r.Summary()
	require.Equal(t, 1, s.Broken)
	require.EqualError(t, r.Mistakes(), "troubled.csv:1113: 3 fields instead of 16: is the row cut short?")
	require.Equal(t, []int{1, 1, 20, 1}, []int{s.Duplicates, s.Gaps, s.MissingRows, s.ClockSteps})
	require.True(t, s.RainMm.AtLeast, "the gap may have been wet")
	require.Equal(t, Missing, all[day1(20, 20)].State(Pressure), "nan is missing, not a bus error")
	require.Equal(t, BusError, all[day1(20, 10)].State(Pressure))
	require.Equal(t, Pegged, all[day1(11, 0)].State(Light))
}

func TestCleanTwinIsSilent(t *testing.T) {
	r, err := New(bytes.NewReader(inventedLog(t, "clean.csv")), "clean.csv", invented(t))
	require.NoError(t, err)
	all := drain(t, r)
	require.Len(t, all, 2880)
	require.Empty(t, r.Troubles())
	require.Empty(t, r.Mistakes())
	for i := range all {
		for c := range columns {
			require.Zero(t, all[i].Flags(c), "line %d %s", all[i].Line, c)
		}
	}
	require.Zero(t, r.Summary().FlaggedValues)
	require.False(t, r.Summary().RainMm.AtLeast)
}
