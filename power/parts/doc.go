// Package parts holds the numbers of a few data sheets, each with the sheet it
// was taken from: linear regulators and Schottky rectifiers that stations are
// built from.
//
// The presets exist to show that a number on a package is not a specification.
// Under "1117" alone they list maximum inputs of 7, 15 and 20 V: the same
// solar panel at 18 V leaves one part working, overstresses the next and
// destroys the third. A preset is a starting point; the sheet of the part in
// hand decides, and a part whose maker is unknown has no sheet.
//
// Where a number is not from the sheet named, the entry says so ("from memory",
// or whose it is). Specs hold worst cases: typical parts drop less voltage,
// draw less and leak far less. Thermal resistances are not listed, since they
// belong to the board: package thermal.
package parts
