// Package panel computes what a photovoltaic panel delivers: its
// current-voltage curve from the label, the temperature of its cells, and the
// yield at the maximum power point or at the voltage that a charger holds.
package panel
