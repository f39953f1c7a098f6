// Package station knows a whole weather station: it reads the builder's
// description, runs it through a year of weather and judges what it finds.
//
//	d, err := station.Read(file, "my.toml")           // every mistake with its line
//	r, err := station.NewReview(d, station.Options{}) // what to set, what kills what, heat, the year
//	for _, f := range r.First() { ... }               // the one or two things to do first
//
// # The description
//
// A Description is what the builder states: site, climate, panel, charger, pack,
// regulators, loads, box, bus, sensors. Every line is optional. Its form in a file
// is TOML, field by field in docs/description.md; WriteTemplate writes one to fill
// in. What depends on a line that is not stated is answered with CannotTell and the
// name of the line: nothing is assumed in its place. Where a usual value stands in
// (the "if absent" of the reference), the finding says so under Sure.
//
// # The verdicts
//
// A Finding is one of five words. Stop: do not connect or run it so. Change: it will
// fail or lose service. Watch: it holds, but for a reason to be known. CannotTell: a
// line is missing, or nothing published decides it. Fine. Beside the word stand
// value, limit, margin, the reason, what to do, what to mind where it can hurt, how
// sure it is, and on demand the equations with their sources.
//
// # The year
//
// Three steps, which variants of a station share: Model.Sunlight carries the weather
// to the panel's plane (sun after Reda and Andreas 2004, tilted plane after Perez et
// al. 1990); panel, diode, charger and box follow; Model.Run takes the pack, the loads
// and the thresholds through one step after another and closes the balance of energy,
// Energy.ResidualWh. ReadWeather takes measured weather; Model.Synthetic makes a
// seeded year from monthly means, Model.Years many of them. One year is one draw: what
// hangs on the longest run of dark days needs many.
//
// # Sizing
//
// Model.Size tries every combination of panels, tilts, packs and loads and sorts those
// that survive by size; Model.Levers ranks what one change buys.
//
// # What it does not know
//
// A review is arithmetic on the numbers stated, not an inspection: not whether a
// screw is tight, a gland closed or a cell damaged. Snow stands as a share of days,
// the wind on the mast not at all. Local codes and licensed practice decide where they
// apply.
package station
