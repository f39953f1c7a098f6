// Package battery answers what a pack may see, what it will see and how much is
// in it: the limits of a cell by chemistry, and an equivalent circuit that is
// stepped exactly through a charge, a discharge or a year.
//
// LiFePO4 comes first and best. Lithium-ion cells of 4.2 V, sealed and flooded
// lead-acid and NiMH are here as well, so that a wrong one is recognised and a
// station that runs on one can be calculated.
//
// # What is here
//
//   - Chemistry, Limits, PackLimits: voltages, temperature windows, rates and
//     taper, each with its source and, where the source gives one, its spread.
//   - Curve, Cell, Pack, State: an open-circuit voltage by state of charge and
//     temperature, R0 and one RC that grow in the cold, charge efficiency,
//     self-discharge, and the share of the capacity that comes out in the cold.
//   - Pack.Current, Pack.Power, Pack.Charge: steps at constant current, constant
//     power, and on a charger that holds a voltage.
//   - Run: a pack with its charger, cut-off and temperature stops, for a year run.
//   - SoCBand and Gauge: state of charge from a voltage and from counted charge,
//     each with its doubt.
//   - Cautions: what to heed, with the numbers.
//
// Beside it stand the packages trim (what to set a charger to), charge (full
// charges, unequal cells, boards, pulses), sizing (autonomy, worksheet, cold
// hours, fuse) and ageing (cycle counting, loss of capacity).
//
// # The circuit and its step
//
//	V = Voc(s, T) + I R0(T) + v,   v' = I/C1 - v/(R1(T) C1),
//	s' = (eta I - leak(T))/Q,      I into the pack, eta only while charging.
//
// The step is the solution of these equations, not an approximation of it: at a
// constant current in closed form, at a held voltage as two decaying
// exponentials on each straight piece of the curve, with the instants at which
// one turns into the other found inside the step. One step of an hour and a
// thousand small ones agree to 1e-11 of the charge. At constant power the
// current is held constant over the step at the value whose energy is exactly
// the one asked for.
//
// # What is not here
//
// A second RC, hysteresis of the open-circuit voltage (its width is part of
// DoubtV), the heat that the current makes, and whatever a cell does beyond its
// sheet. Below 0 and above 1 the curve goes on straight; nothing there is a
// model of a damaged cell.
//
// # Accuracy
//
//	circuit against a circuit simulator     0.1 mV, charge 3e-6, change of stage 1 s
//	charge in - out - stored - lost         1e-12 of the charge that went in
//	LiFePO4 curve against its measurement   15 mV on the plateau
//	a typical cell against a real one       resistance a factor of two,
//	                                        usable share at -20 °C 0.44 to 0.70
//	table of temperatures                   4e-6 of resistance and leakage
//
// So the arithmetic is never the weak place: the cell's sheet is. Where a
// measurement of resistance and capacity is at hand, put it into Cell.
//
// # Speed
//
// A step of a Run at a new temperature takes the time of nine calls of math.Exp
// and allocates nothing.
package battery
