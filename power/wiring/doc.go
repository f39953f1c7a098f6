// Package wiring computes what lies between the parts: copper wire by American
// gauge or by IEC 60228, fuses, the capacitor that carries a radio burst, and
// the overshoot of plugging a cable into a live supply.
//
// A current passes a cable twice: Run counts the way there and back. Copper
// gains 0.39 % resistance per kelvin, so that a cable in the sun drops a sixth
// more than on the bench. A fuse protects the wire and what feeds it, not the
// load: it melts at a multiple of its rating and by then a clamp may be gone
// (ClampJ). A low-loss input capacitor rings to twice the supply when it is
// plugged in, and a ceramic one above that.
//
// Not covered: the current a cable may carry without overheating, which depends
// on its insulation, bundling and surroundings and is laid down in installation
// rules; arcing in fuses; skin effect. Fuse the pack at its terminal, with a
// fuse whose voltage rating and breaking capacity exceed what the pack can give;
// work on mains belongs to licensed people and local codes.
//
// Sources: ASTM B258 (gauge), IEC 60028 and 60228 (copper, conductors),
// Littelfuse (pulses), Linear Technology AN88 (hot plugging).
//
// Accuracy: gauge to the digits of published tables, which differ among
// themselves by 0.5 % in resistance; hold-up and hot-plug formulas are exact
// for linear parts and agree with ngspice 39 to the 3e-5 V by which the simulation itself scatters.
package wiring
