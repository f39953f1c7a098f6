// Package ageing tells what years and cycles take from a LiFePO4 cell.
//
// Three things are covered:
//
//   - Rainflow counting of a history of the state of charge (ASTM E1049-85,
//     5.4.4): Rainflow for a slice, Counter for a stream. Share adds the counted
//     cycles up against the cycle life that a sheet promises.
//   - Cycle loss by charge throughput, CycleLossPct: Wang et al., J. Power
//     Sources 196 (2011) 3942, fitted on 2.2 Ah LiFePO4 cells at 15 to 60 °C and
//     half to ten times the capacity. Its constants are quoted.
//   - Calendar loss, CalendarLossPct: Naumann et al., J. Energy Storage 17
//     (2018) 153, fitted on 3 Ah LiFePO4 cells over 885 days at 0 to 60 °C. Its
//     constants are quoted.
//
// A Tally adds both losses up over a year of changing temperature, charge and
// current, and tells the years to a loss.
//
// # What it does not cover
//
// Charging below the window plates lithium and takes capacity at once; no
// published number fits every cell, and none is given here: hours of it are
// counted in package sizing. Swelling, leaks and rising resistance are not
// modelled. Lead-acid and NiMH cells age by other laws (sulphation, corrosion,
// drying out): nothing here holds for them.
//
// # Accuracy
//
//	calendar loss   within 2.2 points of the validation runs of its paper
//	cycle loss      the paper's own fit scatters by a few points
//	another cell    a factor of two either way is ordinary
//
// Years to 80 % beyond twelve or so are outside anything measured.
package ageing
