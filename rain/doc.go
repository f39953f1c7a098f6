// Package rain turns the closures of a tipping bucket into depth and intensity
// of rain as one may publish them.
//
// A closure within the ignore time of the one before is contact bounce. Each
// tip stands for the water that fell since the tip before: its depth is spread
// over that gap, not put into the minute of the tip. While the bucket tips it
// loses water, the more the harder it rains; the loss is put back gap by gap. A
// sum with a gap in its record is "at least".
//
// Rules followed: WMO-No. 8, Guide to Instruments and Methods of Observation,
// part I ch. 6 (one-minute intensity; resolution; from memory); Duchon, Fiebrich
// and Grimsley 2014, Journal of Atmospheric and Oceanic Technology 31(6) (loss
// during the tip).
//
// Not covered: loss to wind at the funnel and to wetting and evaporation, a few
// per cent each, which need the wind and the gauge's shape; snow and hail.
//
// Accuracy: arithmetic to rounding. The loss of Duchon et al., 0.98 % at 19.9
// mm/h and 8.78 % at 175.2 mm/h, is met to 0.2 percentage points.
package rain
