package stationphysics_test

import (
	"errors"
	"fmt"
	"strings"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/battery/charge"
	"github.com/stationphysics/stationphysics/psychro"
	"github.com/stationphysics/stationphysics/station"
)

// A value out of its range, from any package: what it was, what is accepted, and
// the slip that it looks like.
//
// Given: 293.15 for a temperature in °C, as a sensor's library may hand it out.
// Find: what a program can ask of the error.
//
// The wrong way: to compare the text of the error.
func ExampleRangeError() {
	_, err := psychro.New(293.15, 60, 950)
	fmt.Println(err)
	var re *stationphysics.RangeError
	if errors.As(err, &re) {
		fmt.Println(re.Quantity, re.Value, re.Unit, "accepted from", re.Min, "to", re.Max, "-", re.Slip)
	}
	// Output:
	// air temperature 293.15 °C is outside -100..100 °C: kelvins?
	// air temperature 293.15 °C accepted from -100 to 100 - kelvins
}

// A name that is not known, from any package: what was named, and what is known
// there.
//
// Given: a description with a slip of the fingers.
// Find: the key that was meant, as a program would offer it.
func ExampleNameError() {
	_, err := station.Read(strings.NewReader("[panel]\nvpm_v = 18\n"), "my.toml")
	fmt.Println(err)
	var ne *stationphysics.NameError
	if errors.As(err, &ne) {
		fmt.Println(ne.Kind, ne.Name, "->", ne.Nearest, "of", len(ne.Known))
	}
	// Output:
	// my.toml:2: panel.vpm_v: unknown key "vpm_v": did you mean "vmp_v"?
	// key vpm_v -> vmp_v of 13
}

// Values that are each possible, but not together.
//
// Given: a protection board that closes again above the voltage at which it opens.
// Find: which values contradict each other, and why.
func ExampleConflictError() {
	cell, err := battery.TypicalCell(battery.LiFePO4, 2.4)
	if err != nil {
		fmt.Println(err)
		return
	}
	pack, err := battery.NewPack(cell, 4, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	board := charge.Board{Name: "swapped", OverV: 3.6, ReleaseV: 3.9, UnderV: 2.5}
	_, err = board.Judge(charge.Case{Pack: pack, Charger: battery.Charger{SetV: 14, MaxA: 1}, TempC: 20, NoPackV: 14, RailMaxV: 20})
	var ce *stationphysics.ConflictError
	if errors.As(err, &ce) {
		fmt.Println(ce.Quantities, ce.Values)
		fmt.Println(ce.Rule)
	}
	// Output:
	// [release voltage trip voltage] [3.9 3.6]
	// a board releases at or below its trip voltage, and above its discharge trip
}
