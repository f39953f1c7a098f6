// Package charge follows a pack through a charge and through a discharge: when
// the charger changes from constant current to constant voltage, when it ends,
// where the cells of a string stand that are not equal, when a pulse of the
// load browns the station out, and what a protection board does to cell and
// rail.
package charge
