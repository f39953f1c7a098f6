// Package wind turns the pulses of a cup and the angle of a vane into wind as
// one may publish it: calibration, means of speed and direction, gusts, scatter
// and the height correction.
//
// A sample that is missing stays missing: it takes up its time, counts for
// nothing, and a mean without enough of its samples is not given. Directions
// are where the wind comes from, in degrees clockwise from true north; the mean
// of opposite directions does not exist, and is not north.
//
// Rules followed: WMO-No. 8, Guide to Instruments and Methods of Observation,
// part I ch. 5 (10-minute mean, gust as the largest 3-second mean, samples at
// most 0.25 s apart); EPA-454/R-99-005, Meteorological Monitoring Guidance for
// Regulatory Modeling Applications, 6.2 (vector and scalar means); ICAO Annex 3,
// appendix 3 (calm, marked discontinuity); ISO 19289:2015 (siting).
//
// Not covered: sonic anemometers, the dynamic response of cups and vanes
// (overspeeding, damping), complex terrain.
//
// Accuracy: sums are exact to rounding. The scatter by [Vector.SigmaDeg] is the
// one-pass approximation of Yamartino, 2 % for usual distributions. A cup's own
// uncertainty is its calibration's: see [CupFit].
package wind
