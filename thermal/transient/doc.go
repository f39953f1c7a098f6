// Package transient follows heat through capacities: how fast a part warms up,
// what pulses do to it, and what a warm-up record tells about its cooling.
//
// # What it covers
//
//   - Network: nodes with and without capacity, joined by resistances; steady
//     state, exact response to powers switched on, and a Stepper for long runs
//     in equal steps.
//   - Ladder and Foster: the two forms of the impedance seen from a junction,
//     each into the other. The stages of a Ladder (Cauer) are places and can be
//     joined to a board; the terms of a Foster sum, which data sheets print, are
//     only numbers.
//   - PulseTrain: peak, trough and mean of the junction under regular pulses.
//   - FitWarmUp: resistance and time constant from a record, with standard
//     errors.
//
// All networks are linear: convection and radiation enter as a resistance taken
// at the expected temperature. Steady questions about one part are simpler in
// package thermal.
//
// # Accuracy
//
//	Network, Ladder, Foster   within 1e-5 K of ngspice 39; slow time constants within
//	                          1e-16 times the ratio of the longest to the shortest
//	pulses                    within 5e-5 K of ngspice 39
//	Foster to Cauer           2e-12 of the impedance
//	FitWarmUp                 its standard errors; 1e-7 on a record without scatter
//
// # Sources
//
// Published pairs of Foster and Cauer models are often independent fits and
// differ by 20 to 80 % below a millisecond (Vishay 74688): they test no
// conversion. The conversion here follows Lanczos (J. Res. NBS 45 (1950) 255)
// and, for the way back, the singular values of a bidiagonal matrix (Demmel and
// Kahan, SIAM J. Sci. Stat. Comput. 11 (1990) 873), both from memory.
package transient
