// Package trim computes the output voltage that a divider or trimmer sets: its
// value, tolerance, drift and resolution, and what becomes of it when the wiper
// of the trimmer loses contact.
//
// There are two kinds of regulator, and they exchange the roles of the legs. A
// feedback regulator (most switching converters and chargers) holds its
// reference between feedback pin and ground: an open upper leg sends the output
// to the input, an open lower leg brings it down to the reference. A floating
// regulator (the 317 and adjustable 1117 kind) holds its reference between
// output and adjust pin: an open lower leg is the one that sends the output to
// the input. In either, a wiper that is tied to the free end of its track leaves
// the whole track in the leg, and the output stays bounded.
//
// Trimmers are the least reliable resistors of a supply: they are shipped at any
// setting, moved by a screwdriver, and their contact ages. Set the output before
// anything is connected, measure it, and ask WhenOpen whether the load survives.
//
// Not covered: loops that latch off on an open pin (some controllers do; their
// sheet says so), and leakage across a dirty board.
//
// Accuracy: the equations are exact for ideal parts; published examples are met
// to half their last digit. BandV takes all sixteen corners of the tolerances.
package trim
