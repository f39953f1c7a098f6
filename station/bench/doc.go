// Package bench judges a bench test of a linear regulator: from a table of what
// the meters showed it says of each row what the part did, and of the part
// whether it meets its sheet, how surely, and which measurement would settle
// what is open.
//
// ReadTable reads the table; New takes the part's sheet and the errors of the
// meters; Judge gives the Report. Expect gives what the sheet lets the meters
// show at one setting.
//
// # How it judges
//
//   - A row below the input that the dropout needs is no evidence on regulation,
//     for or against.
//   - An output outside its band counts against the part only where the sheet
//     makes its promise (AccuracyLowV to AccuracyHighV).
//   - An output above its band that stands less than 0.3 V below the input is a
//     shorted pass element; nothing that follows in the table says anything of
//     the part's heat.
//   - The dissipation is (Vin - Vout)·I + Vin·Iq with its expanded uncertainty
//     (JCGM 100, factor 2). The user's own figure is compared with it and, if
//     wrong, with the usual slips: Vin·I counts the load's power as heat.
//   - The junction lies between the tab as read and the tab as it may be behind
//     the stated contact error; a thermometer pressed on the tab always reads
//     low. CriticalContactRatio says how bad the contact would have to be for
//     the junction to be at its limit.
//   - Resistance and time constant of the cooling are fitted over rows of any
//     dwell, each starting where the last one ended. A time constant is stated
//     only if the table shows one (F test, 95 %); a contact error scales every
//     reading alike and cannot be seen in the fit, so it widens the result.
//   - A slow test is not the sheet's line regulation, which is measured with
//     pulses at constant temperature: temperature drift, thermal regulation and
//     load regulation are allowed beside it, and the verdict is never more than
//     weak.
//   - A sagging output is put down to heat if the junction may be where the part
//     protects itself; soundly, only if the tab stayed and the output fell while
//     the input rose.
//
// # What it cannot show
//
// One unit says nothing of another. Not meeting the sheet does not say why, nor
// who made the part. Nothing is concluded on parts that switch: their efficiency
// needs the input current.
//
// # Caution
//
// Test with a current-limited and fused supply and a load resistor that bears
// what a shorted part would let through; with no cells and no controller on the
// rail. A tab above 48 °C burns skin that rests on it for ten minutes, one above
// 65 °C at a touch (ISO 13732-1, from memory).
package bench
