// Package trim says what to set a charger to for a pack, and what a setting that
// is already there means.
//
// New takes the errors of meter, trimmer and charger, the highest cell and a
// diode, and gives the highest safe setting and the one to make. Judge takes a
// setting as it was read and recognises the usual slips: the charge voltage of
// another chemistry (4.20 V a cell on LiFePO4), the volts of one cell for those
// of the pack, and the reverse.
//
// # How to read the voltage
//
// At the charger's output, with nothing connected, before any diode. With the
// pack connected the meter shows the pack, whatever the setting; behind a diode
// it shows the setting less a drop that vanishes as the current tapers.
//
// # What a voltage over the limit does
//
// The texts say what has been published and no more: such charging is outside
// the cell's sheet; in the cold it cost capacity with every cycle (Energies
// 2023, 16, 2786); cells that kept their capacity at 4.0 to 4.2 V were thermally
// less stable afterwards (J. Energy Storage 50, 104691); and nothing is left for
// unequal cells. That is reason enough to stop, lower and check, and none for
// alarm.
//
// # Not covered
//
// The charger's behaviour with a load (package charge), a protection board (the
// same), and chargers whose voltage is fixed inside: those are exchanged, not
// trimmed. The errors are combined at their worst; LikelyCellV shows what
// independent ones come to.
package trim
