// Package panel computes what a crystalline silicon solar panel delivers: its
// current-voltage curve at any light and temperature from the few numbers of
// its label, the temperature of its cells, and the yield over hours to years,
// at the maximum power point or at the voltage that a charger holds.
//
// # From the label to the year
//
// Fit turns a Label into a Module: the five parameters of the single-diode
// equation of De Soto, Klein and Beckman (2006, Solar Energy 80:78),
//
//	I = IL - I0 (exp((V + I Rs)/a) - 1) - (V + I Rs)/Rsh,
//
// such that the curve passes the three points of the label, has its maximum
// power at the printed one, and moves with temperature as printed. Module.At
// gives the Curve at an irradiance and a cell temperature, and the curve
// answers: CurrentA at a voltage, VoltageV at a current, OpenCircuitV,
// ShortCircuitA, MaxPower, KeptFrac of it at a held voltage. Faiman, Nominal
// and BackSheet say how warm the cells get. Module.Yield sums a series of
// Weather; BatchWeather makes such a series from light in the open, and BestMount
// finds how to put the panel up. Module.Window says which voltages the charger
// will meet. Module.Field joins equal panels, Series and Parallel unlike ones.
//
// Fit and the other constructors check everything and return an error; the
// methods of what they return cannot fail. They give NaN, never a guess, for
// conditions and voltages outside their documented range.
//
// # How exact
//
//	current, voltage and maximum power     3e-14 of themselves over a published set of 32 curves
//	of the equation                        solved to 19 decimals; hard cases to 1e-13
//	the label's points                     1e-12, and 1e-10 for the maximum power point
//	De Soto's model against a real panel   some 1 to 3 % of power in good light, more in weak
//	                                       light (order of magnitude, common practice)
//	cell temperature                       some 3 to 5 K (order of magnitude, common practice)
//	a label                                3 to 10 % of power, as printed beside it
//
// The last three lines, not the first, make the error of a yield.
//
// # What it costs
//
// As multiples of one math.Exp: At about 8, CurrentA 5, VoltageV 13, MaxPower
// 20, one Output of a year 40. Nothing of this allocates. A Fit takes some 8000
// and is done once. The benchmarks say it for a machine.
//
// # What it leaves out
//
// Thin-film panels, whose light soaking and spectral response the model does
// not have; the air-mass modifier of De Soto's paper, taken as 1; ageing;
// partial shade within one panel; the reverse breakdown of a cell, which is why
// voltages stop at 5 V a cell either way; and the shunt of the unlit panel, see
// DarkLeakA.
//
// # Care
//
// A panel is live whenever it is lit and cannot be switched off: cover it
// before wiring. The open-circuit voltage of a frosty morning, not the one of
// the label, is what every part at the input must stand. Several panels in
// series, or in parallel on one battery, reach voltages and currents at which
// local codes ask for fuses, disconnects and a licensed person, as they do for
// work on a roof or a mast. Results here are arithmetic on the given numbers,
// not an inspection.
package panel
