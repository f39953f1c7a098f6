// Package bus computes the small signals of a station: pull-ups and cable
// length of an I²C bus, a reed contact on a wire with its debouncing capacitor,
// and the divider in front of an analogue input.
//
// Modules bring their own pull-ups, and they all count: four boards of 10 kohm
// make 2.5 kohm, and ten make the bus undrivable. A cable adds some 50 pF per
// metre; at 10 kohm the rise time of fast mode is spent before the first metre.
// A divider that hangs on the pack feeds the input's protection diode when the
// board is off, and a high-ohmic one reads low because the converter's sampling
// capacitor does not fill in time.
//
// Not covered: crosstalk and reflections on long cables, ground offsets,
// electrostatic discharge, and lightning, which on a wire to a mast is the rule
// rather than the exception: protection there follows IEC 62305 and local
// practice.
//
// Sources: NXP UM10204 (rev. 5 and 6, 7.1), TI SLVA689, ST STM32F103x6 data
// sheet (equation 1 and table of the largest source resistance).
//
// Accuracy: exact for linear parts; published examples are met to their printed
// digits.
package bus
