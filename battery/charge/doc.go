// Package charge follows a pack through a charge and through a discharge.
//
//   - Full: constant current, constant voltage, taper; with a load that hangs on
//     the charger, which may keep it from ever ending.
//   - String, Settled, Mismatch: cells in series that are not equal. Capacity, charge and
//     leakage decide where each stands when the string is at its voltage.
//   - PulseEndV, BrownOutSoC, BrownOut: when a pulse of the load, a radio that starts, takes the
//     pack under the voltage the station needs.
//   - Board, Judge: a protection board between charger and cells: does it open before the
//     cell leaves its sheet, does it close again, and what does the rail see
//     while it is open under sun.
//
// # Accuracy
//
// Full is exact for equal cells and independent of its step: against a circuit
// simulator the change to constant voltage and the end agree within a second,
// the charge within 3e-6. A String is stepped with a constant current over each
// step; at steps of 0.25 s it agrees with the simulator within a second, and the
// state it settles in does not depend on the step.
//
// The cells are those of package battery: typical ones until measured. Near full
// the LiFePO4 curve is so steep that half a per cent of charge is a tenth of a
// volt: a computed highest cell says that the cells must be balanced, not to the
// millivolt where they stand. Measure each cell at the end of the first charge.
//
// # Not covered
//
// What a cell does when over-charged, the heat of it, the switching of a
// charger. Boards differ: the values of Boards are one maker's list, and the
// sheet of the board at hand goes first.
package charge
