// Package switching computes a step-down or step-up converter from its
// components: duty, ripple, peak current, and the losses in switch, rectifier,
// winding, edges, gates and controller, down to the light loads at which most
// stations live.
//
// At a few milliamperes the conduction losses vanish and the fixed ones rule:
// ripple current that keeps flowing both ways, gate charge and edges at full
// frequency, the controller's own current. LightLoad says whether the stage
// keeps them (Forced), stops the reverse current (Discontinuous) or also slows
// down with the load (Skipping). Converter turns the result into the efficiency
// curve that package power works with.
//
// The duty follows from volt-second balance with every drop at the mean
// current; losses use the mean square of a triangular ripple. Left out: core
// loss, output capacitance and reverse recovery of the switches, dead time,
// ringing. They add a few per cent of the loss at full load and more at high
// frequency: a measured curve is better where there is one.
//
// Sources: Erickson and Maksimovic, Fundamentals of Power Electronics (from
// memory); TI SLVA477B; worked examples of the LMR12015 and LM2735 data sheets.
//
// Accuracy: against ngspice 39 with ideal switches, duty, input current and
// ripple agree to 1.3e-4 of their value (seven stages, up and down, diode and
// synchronous). Against the worked tables of two data sheets each loss is within
// half its last digit once their own duty and current are used.
package switching
