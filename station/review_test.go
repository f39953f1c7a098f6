package station

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

func review(t testing.TB, d *Description) *Review {
	t.Helper()
	r, err := NewReview(d, Options{Seed: 1})
	require.NoError(t, err)
	return r
}

// findAll returns the findings whose quantity contains a text.
func findAll(r *Review, quantity string) (out []Finding) {
	for _, f := range r.Findings {
		if strings.Contains(f.Quantity, quantity) {
			out = append(out, f)
		}
	}
	return out
}

// find returns the one finding whose quantity contains a text.
func find(t testing.TB, r *Review, quantity string) Finding {
	t.Helper()
	out := findAll(r, quantity)
	require.Len(t, out, 1, "findings on %q", quantity)
	return out[0]
}

func TestEveryFindingIsComplete(t *testing.T) {
	for name, d := range map[string]*Description{"demo": demo(t), "bench": benchStation(), "empty": {}} {
		for _, f := range review(t, d).Findings {
			require.NotEmpty(t, f.Quantity, name)
			require.Contains(t, Topics(), f.Topic, f.Quantity)
			require.NotEmpty(t, f.Reason, f.Quantity)
			require.NotEmpty(t, f.Sure, f.Quantity)
			if f.Word > Fine {
				require.NotEmpty(t, f.Action, f.Quantity)
			}
			if f.Word == CannotTell {
				require.NotEmpty(t, f.Missing, f.Quantity)
			}
			if !math.IsNaN(f.Limit) {
				require.False(t, math.IsNaN(f.Value), f.Quantity)
				require.NotEmpty(t, f.Unit+" ", f.Quantity)
				require.InDelta(t, math.Abs(f.Value-f.Limit), math.Abs(f.Margin), 1e-9, f.Quantity)
			}
			for _, s := range []string{f.Reason, f.Action, f.Sure, f.Caution} {
				require.NotContains(t, s, "NaN", f.Quantity)
				require.NotContains(t, s, "%!", f.Quantity)
			}
		}
	}
}

func TestContradictionsAreFindingsNotCrashes(t *testing.T) {
	t.Run("a rail nobody makes", func(t *testing.T) {
		d := demo(t)
		d.Loads[1].Rail = "12V"
		f := find(t, review(t, d), "load sensor heater")
		require.Equal(t, Change, f.Word)
		require.Contains(t, f.Reason, `rail "12V", which no regulator makes`)
	})
	t.Run("a load above its damage limit at rest", func(t *testing.T) {
		d := demo(t)
		d.Loads[0].Rail = "pack"
		f := find(t, review(t, d), "controller as built")
		require.Equal(t, Stop, f.Word)
		require.Equal(t, 3.9, f.Limit)
	})
	t.Run("adapter and pack on one node, even if wanted", func(t *testing.T) {
		d := demo(t)
		d.Links[0].Wanted = Of(true)
		f := find(t, review(t, d), "if the adapter is plugged in")
		require.Equal(t, Stop, f.Word)
		require.InDelta(t, 17.1/3, f.Value, 1e-12)
	})
	t.Run("an adapter that stands below the pack's limit", func(t *testing.T) {
		d := demo(t)
		d.Adapter.RatedV, d.Adapter.NoLoadV = Of(9.0), Of(9.5)
		f := find(t, review(t, d), "link bench link")
		require.Equal(t, Stop, f.Word)
		require.Contains(t, f.Reason, "two sources on one node")
		require.True(t, math.IsNaN(f.Margin), "no number inside its limit asks to stop")
	})
	t.Run("adapter and pack on one node, of parts not described", func(t *testing.T) {
		d := &Description{Links: demo(t).Links}
		require.Equal(t, Stop, find(t, review(t, d), "link bench link").Word)
	})
	t.Run("a link out that belongs in", func(t *testing.T) {
		d := demo(t)
		d.Links[0].Fitted, d.Links[0].Wanted = Of(false), Of(true)
		f := find(t, review(t, d), "link bench link")
		require.Equal(t, Watch, f.Word)
		require.Contains(t, f.Action, "leave it out", "it joins adapter and pack")
		d.Links[0].Joins = []string{"pack", "3V3"}
		require.Equal(t, "put it in", find(t, review(t, d), "link bench link").Action)
	})
	t.Run("regulators that feed each other", func(t *testing.T) {
		d := demo(t)
		d.Regulators[0].From = "5V"
		d.Regulators = append(d.Regulators, &Regulator{Name: "b", Kind: "linear", From: "3V3", Rail: "5V", OutV: Of(5.0), InputMaxV: Of(15.0), DropoutV: Of(1.0), IdleA: Of(0.005)})
		r := review(t, d)
		require.NotEmpty(t, r.Findings)
	})
	t.Run("restart below stop", func(t *testing.T) {
		d := demo(t)
		d.Service.RestartV = Of(8.0)
		require.Equal(t, Change, find(t, review(t, d), "start voltage over stop voltage").Word)
	})
	t.Run("a trip below the charge", func(t *testing.T) {
		d := demo(t)
		d.Charger.SetV, d.Pack.TripOverV = Of(10.5), Of(3.5)
		f := find(t, review(t, d), "over-voltage trip")
		require.Equal(t, Change, f.Word)
		require.InDelta(t, find(t, review(t, d), "worst cell at the charger's setting").Value, f.Limit, 1e-12)
		require.Negative(t, f.Margin)
	})
	t.Run("two parts of one name", func(t *testing.T) {
		d := demo(t)
		d.Loads[1].Name = d.Loads[0].Name
		d.Regulators[0].Name = "charger"
		r := review(t, d)
		require.Contains(t, find(t, r, "charger (2): pass element short").Reason, "controller (2) lost")
		require.Len(t, findAll(r, "single faults"), 1)
	})
	t.Run("a link to nowhere", func(t *testing.T) {
		d := demo(t)
		d.Links[0].Joins = []string{"adapter", "nowhere"}
		f := find(t, review(t, d), "parts that are not described")
		require.Equal(t, []string{"link[0].joins (a node that exists)"}, f.Missing)
		require.Contains(t, f.Reason, `joins of link "bench link" (a node that exists)`)
	})
	t.Run("set voltage of another pack", func(t *testing.T) {
		d := demo(t)
		d.Charger.SetV = Of(3.6)
		r := review(t, d)
		require.Nil(t, r.Year)
		f := find(t, r, "service through the year")
		require.Equal(t, CannotTell, f.Word)
		require.Contains(t, f.Reason, "volts of one cell")
	})
}

// Whatever is stated, the review prints numbers or says that it cannot tell.
func TestNoReviewPrintsNaNOrInf(t *testing.T) {
	for name, change := range map[string]func(*Description){
		"nickel":        func(d *Description) { d.Pack.Chemistry = "NiMH" },
		"sealed lead":   func(d *Description) { d.Pack.Chemistry = "sealed lead-acid" },
		"flooded lead":  func(d *Description) { d.Pack.Chemistry = "flooded lead-acid" },
		"lithium-ion":   func(d *Description) { d.Pack.Chemistry = "lithium-ion" },
		"dry air":       func(d *Description) { d.Reading.HumidityPct = Of(0.0) },
		"no regulators": func(d *Description) { d.Regulators = nil },
		"no loads":      func(d *Description) { d.Loads = nil },
		"held too high": func(d *Description) { d.Charger.HoldV = Of(26.0) },
		"no sun at all": func(d *Description) { d.Climate.GlobalKWhPerM2 = make([]float64, 12) },
		"a load of nothing": func(d *Description) {
			d.Loads = []*Load{{Rail: "3V3", AsleepA: Of(0.0)}}
			d.Regulators[0].IdleA = Of(0.0)
		},
		"a pack of nothing":   func(d *Description) { d.Pack.CapacityAh = Of(0.05) },
		"everything at zero":  func(d *Description) { d.Pack.StartFrac, d.Site.GroundAlbedo = Of(0.0), Of(0.0) },
		"a dark box at night": func(d *Description) { d.Site.SkylineDeg = [][]float64{{0, 90}} },
	} {
		t.Run(name, func(t *testing.T) {
			d := demo(t)
			change(d)
			r, err := NewReview(d, Options{Seed: 1})
			require.NoError(t, err)
			for _, f := range r.Findings {
				for _, s := range append([]string{f.Quantity, f.Reason, f.Action, f.Sure, f.Caution}, f.Why...) {
					require.NotContains(t, s, "NaN", f.Quantity)
					require.NotContains(t, s, "Inf", f.Quantity)
				}
				require.False(t, math.IsInf(f.Value, 0) || math.IsInf(f.Limit, 0) || math.IsInf(f.Margin, 0), f.Quantity)
			}
		})
	}
}

func TestAGoodStationIsFine(t *testing.T) {
	d := demo(t)
	d.Charger.SetV, d.Charger.LimitA = Of(10.45), Of(2.0)
	d.Pack.TripOverV, d.Pack.CapacityAh, d.Pack.ColdStop = Of(3.68), Of(24.0), Of(true)
	d.Links[0].Fitted = Of(false)
	d.Site.SkylineDeg = nil
	d.Panel.Parallel, d.Panel.TiltDeg = Of(3), Of(60.0)
	d.Regulators = []*Regulator{{Name: "step-down", Kind: "step-down", From: "pack", Rail: "3V3", OutV: Of(3.3), InputMaxV: Of(24.0), InputMinV: Of(4.5), DropoutV: Of(0.3), IdleA: Of(20e-6), EffAtA: [][]float64{{0.001, 0.8}, {0.05, 0.9}, {0.3, 0.92}}}}
	d.Loads[0].AsleepA = Of(0.0008)
	d.Service.StopV, d.Service.RestartV = Of(9.0), Of(9.75)
	r := review(t, d)
	for _, f := range r.Findings {
		require.Less(t, f.Word, Change, "%s: %s", f.Quantity, f.Reason)
	}
	require.Empty(t, r.First())
	require.Zero(t, r.Year.LostH)
}

func TestJSONIsCompleteAndHasNoNaN(t *testing.T) {
	r := review(t, demo(t))
	var b bytes.Buffer
	require.NoError(t, r.WriteJSON(&b))
	var back jsonReview
	dec := json.NewDecoder(&b)
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&back))
	require.Equal(t, Schema, back.Schema)
	require.Len(t, back.Findings, len(r.Findings))
	require.Len(t, back.First, 2)
	require.Equal(t, "STOP", back.Findings[back.First[0]].Word)
	require.Len(t, back.Year.Months, 12)
	require.InDelta(t, r.Year.Energy.ServedWh, back.Year.Energy.Served, 1e-9)
	for i, f := range r.Findings {
		require.Equal(t, math.IsNaN(f.Value), back.Findings[i].Value == nil)
	}
	b.Reset()
	require.NoError(t, review(t, &Description{}).WriteJSON(&b))
	require.Contains(t, b.String(), `"first": []`)
	require.ErrorIs(t, r.WriteJSON(failing{}), os.ErrClosed)
}

func TestSchemaReferenceIsCurrent(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, SchemaReference(&b))
	const path = "../docs/review-json.md"
	if *update {
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), b.String()), "run go test ./station -run SchemaReference -update")
}

func TestCompareShowsWhatChanged(t *testing.T) {
	before := review(t, demo(t))
	require.Empty(t, Compare(before, before))
	d := demo(t)
	d.Regulators = append(d.Regulators, &Regulator{Name: d.Regulators[0].Name, Kind: "linear", From: "pack", Rail: "2V5", OutV: Of(2.5), InputMaxV: Of(20.0),
		DropoutV: Of(1.2), IdleA: Of(0.001), ThetaJCKPerW: Of(15.0), ThetaCAKPerW: Of(105.0)})
	twice := review(t, d)
	require.Empty(t, Compare(twice, twice), "two regulators of one name")

	d = demo(t)
	d.Charger.SetV = Of(10.45)
	after := review(t, d)
	diff := Compare(before, after)
	gone, came := false, false
	for _, x := range diff {
		gone = gone || x.After == nil && x.Before.Quantity == "cell voltage at the charger's setting" && x.Before.Word == Stop
		came = came || x.Before == nil && x.After.Quantity == "worst cell at the charger's setting" && x.After.Word < Stop
		require.False(t, x.Before == nil && x.After == nil)
	}
	require.True(t, gone && came)
	for _, x := range diff {
		if x.After != nil {
			require.NotEqual(t, TopicBus, x.After.Topic, "the bus did not change")
		}
	}
}

// Nothing found lost is not the same as nothing lost: while fates cannot be told for
// want of lines, the survey is not fine.
func TestNoLossFoundIsNotFineWhileSomeCannotBeTold(t *testing.T) {
	d := benchStation()
	d.Climate = demo(t).Climate
	f := find(t, review(t, d), "single faults of the supply that lose something")
	require.Equal(t, CannotTell, f.Word, f.Reason)
	require.Zero(t, f.Value)
	require.Contains(t, f.Missing, "load[0].damage_v")
	d.Loads[0].DamageV = Of(50.0)
	f = find(t, review(t, d), "single faults of the supply that lose something")
	require.NotContains(t, f.Missing, "load[0].damage_v")
}

// The equation shown is the one that was used: drivers of 1 MHz sink 20 mA.
func TestThePullUpEquationNamesItsCurrent(t *testing.T) {
	d := demo(t)
	require.Contains(t, find(t, review(t, d), "pull-up").Why[0], "(VDD - 0.4 V)/3 mA = 967 ohm")
	d.Bus.SpeedHz, d.Bus.CableM = Of(1e6), Of(1.0)
	require.Contains(t, find(t, review(t, d), "pull-up").Why[0], "(VDD - 0.4 V)/20 mA = 145 ohm")
}

// What only looks like the name of a section stays as it is.
func TestNumbersThatCountNothingStay(t *testing.T) {
	r := &reviewer{d: &Description{Loads: []*Load{{Name: "radio"}}}}
	require.Equal(t, `rail of load "radio"`, r.named("load[0].rail"))
	require.Equal(t, "load[99999999999999999999].rail", r.named("load[99999999999999999999].rail"))
}
