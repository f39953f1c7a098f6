// Package sizing turns a pack and a load into days without sun, and days
// without sun into a pack.
//
//   - Autonomy: usable capacity by temperature, rate and age, and the days it
//     carries a load. The rate comes in through the resistance, which is what
//     limits LiFePO4; Delivered shows it for one current, and PeukertH is the
//     older law for lead-acid.
//   - Need, Sheet: the battery part of the worksheet of stand-alone systems (IEEE
//     1013 and 1562, as public descriptions give it; the standards were not at
//     hand).
//   - Cold, ColdHours: hours in which the sun would charge frozen cells, and the
//     energy that blocking it costs.
//   - Fuse: the fuse at the pack, and the short-circuit current it must break.
//
// # Accuracy
//
// Autonomy agrees with the same discharge stepped through by the minute to one
// part in a thousand. What it rests on does not: the usable share of LiFePO4
// cells at -20 °C ranges from 0.44 to 0.70 between sheets.
//
// # Safety
//
// A bigger pack stores more energy: fuse, wire and box grow with it. The fuse
// stands at the pack, before the first wire. Local rules go first, and licensed
// practice where the mains come in.
package sizing
