// Package blocking weighs the part that keeps a pack from emptying itself into
// its panel at night: a Schottky diode, a silicon diode, a transistor driven as
// an ideal diode, or nothing.
//
// A forward drop costs DropV/LineV of the harvest: the same diode that costs
// two per cent in the lead of a panel at 18 V costs five behind a charger at
// 7 V, where it also lets the pack creep up as the current tapers and its drop
// shrinks. By night a Schottky part leaks, the more the warmer; a transistor
// costs its driver's current around the clock; no part at all costs what panel
// and charger let back.
//
// Leakage follows the sheet's own points as a straight line of ln I against
// 1/T. Sheets give maxima: a typical part leaks ten to fifty times less, so that
// the result is an upper bound. Not covered: breakdown, the switching time of an
// ideal diode, and the drop's effect on the working point of a panel (package
// power/chain).
//
// Accuracy: Of is arithmetic on its inputs; Leakage passes through the sheet's
// points and lies within a factor of 1.3 of the third point of a sheet that
// gives three (1N5818 at 100 °C, see the tests).
package blocking
