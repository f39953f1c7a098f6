// Package solar says where the sun stands, when it rises and sets, and what a
// skyline leaves of it. The light it sends is the matter of solar/sky, the panel
// that catches it of solar/panel.
//
// # The position
//
// A [Site] is a latitude, a longitude and a height. [Site.At] gives the
// [Position] at one instant by the solar position algorithm (SPA) of Reda and
// Andreas, NREL/TP-560-34302, revised 2008: the Earth's place by the leading
// terms of VSOP87, the IAU 1980 nutation, annual aberration, apparent sidereal
// time, parallax, refraction. To it the package adds the diurnal aberration,
// 0.32″ eastwards at the equator, which the report leaves out.
//
// Three things that are often mixed up have separate names here:
//
//   - The true elevation is geometry, the apparent one is lifted by refraction
//     (SPA eq 42), by half a degree on the horizon. A panel, a skyline and an eye
//     meet the apparent sun; sunrise is defined by the true one.
//   - The hour angle counts true solar time; mean solar time differs by the
//     equation of time, zone time also by the longitude.
//   - UTC is what a time.Time holds, UT1 what the Earth shows, TT what the planets
//     keep. UTC is taken as UT1, which costs up to 13″, unless [Site.WithUT1]
//     says better. TT - UT1 follows [DeltaT] unless [Site.WithDeltaT] fixes it.
//
// For many instants, a [Track] computes what changes slowly at Chebyshev nodes and
// interpolates it; a position then costs a twentieth of the time. [Site.Year] is
// the track of a civil year, [Track.Every] walks it at any step, and a [Track.Arc] of
// some hours gives directions, as a tilted surface asks for them, at less again.
//
// # The events
//
// [Site.Day] gives transit, sunrise, sunset and the three twilights of a civil
// date in a time zone. A date is not a day of universal time: west of Greenwich the
// sunset falls on the next UTC date, east of it the sunrise on the one before, and
// a program that folds them back reports the event of a neighbouring day. Here the
// events are searched on both sides of the transit nearest to the date's noon,
// between the lowest sun before and after it, by a bracketed root, and an
// [Outcome] tells the polar cases apart.
//
// # The skyline
//
// A [Skyline] is the apparent elevation of the surroundings over azimuth.
// [Site.DirectSun] gives the first and last direct sun of a date, the spells
// between and the hours lost; [Site.SunHours] sums them over the months of a year.
//
// # Accuracy
//
// Against ERFA 2.0.0 (IAU 2006/2000A) at the same UT1 and TT, and against published
// tables; the largest differences seen over 4000 instants and 300 events, which
// the tests hold to 1″, 3e-6 au, 0.1 s and 1 s:
//
//	direction, 1900 to 2200, everywhere        0.7″, 0.2″ rms
//	distance                                   2.4e-6 au
//	track against single instant               0.003″, bound 0.01″
//	transit                                    0.03 s
//	rise, set and twilight                     0.25 s where the sun crosses
//	                                           faster than 0.02° a minute
//	yearly tables of the Naval Observatory     every event agrees to the minute, for
//	                                           a place given to the minute of arc
//
// The refraction is that of a mean atmosphere; near the horizon the real one
// differs by minutes of arc and the real sunrise by minutes of time.
//
// # Speed
//
// In sines of package math on the same machine, as measured: one instant
// 190, a position of a track 8, the events of a date 1300, the direct sun of a
// date 17000; a year of minutes takes 40 ms where a sine takes 7 ns. None of
// them allocates but for the list of spells and the stretches of a track (two
// allocations, 18 kB a year).
//
// # Not covered
//
// Years before 1900 and after 2200; the Moon and eclipses; the dip of the horizon
// for a height above the surroundings (draw it as a skyline below 0°); the
// semidiameter, except in the definition of sunrise; sky and ground irradiance.
//
// The package imports nothing that works by reflection and nothing but the
// standard library and the module's own range checks, so that a small device can
// carry it.
package solar
