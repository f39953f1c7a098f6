// Package sky gives the light of sun and sky on a surface, from what a station
// measures, a file holds or a table of monthly means says.
//
// The way from a measurement to the cells of a panel:
//
//	site → solar.Site.Track → SunUp or SunAt     where the sun stands
//	file → Clean                                 complete and checked light
//	means → SyntheticYear                        an hourly year, seeded
//	Plane.On, Plane.Over                         irradiance on the plane, an instant or an interval
//	Plane.Course                                 the same for many weathers over the same intervals
//	Plane.EffectiveWPerM2                        behind glass, dirt and snow
//
// # Light
//
// Light has three parts: the global irradiance on a level surface, the beam on
// a surface that faces the sun, and the diffuse light on the level surface. The
// direct light on the level is the beam times the sine of the elevation, and with
// the diffuse light it makes the global. All are in W/m². The elevation is the
// apparent one, raised by refraction, because light takes the bent way; azimuths
// count clockwise from true north, also that in which a surface looks.
//
// Near the horizon a small error in the global light becomes a large beam. So no
// beam that is derived here exceeds what air without haze and water lets through.
//
// # Interval means
//
// An hourly value is a mean over an interval in which the sun moves by 15° and
// perhaps rises. It belongs to the sun in the middle of the interval's sunlit
// part (SunUp). Plane.Over goes further and follows the sun through the interval,
// so that a clear day in hours gives the energy of the same day in minutes to
// 0.4 % on every open plane tried, from Reykjavik to the equator (worst 0.37 %;
// days with less than 100 Wh/m², from a sun below 3°, to 1 Wh/m²), and to 0.5 %
// behind a skyline.
//
// # Skyline
//
// A skyline takes the beam and the bright sky around the sun away while it hides
// the sun's centre, and of the even sky and the bright horizon what stands
// behind it. What stands there is taken as black: a light wall gives back up to a
// fifth of what it hides. The ground is lit as measured in the open.
//
// # Equations
//
//   - Extraterrestrial light: 1361.1 W/m² over the square of the distance
//     (Gueymard 2018); by the day of the year, Spencer (1971).
//   - Air mass: Kasten & Young (1989).
//   - Clear skies: Haurwitz (1945), Ineichen & Perez (2002), Bird & Hulstrom (1981).
//   - Direct and diffuse from global: Erbs (1982), its continuous form (Driesse,
//     Jensen & Perez 2024), Boland, Ridley & Brown (2008).
//   - Sky over a tilted plane: even, Hay & Davies (1980), Reindl (1990), Perez (1990).
//   - Glass: ASHRAE (Souka & Safwat 1966), refraction and absorption (De Soto
//     2006), Martin & Ruiz (2001, 2005), diffuse parts by Marion's integral (2017).
//   - Daylight: Perez (1990).
//   - Synthetic year: Bendt (1981), Hollands & Huget (1983), Graham (1988), Aguiar &
//     Collares-Pereira (1992), Erbs, Klein & Beckman (1983).
//
// # Accuracy
//
// How well the formulas are evaluated, against independent evaluations of the
// same papers, and how well they describe the sky (by their authors and by
// comparisons in the literature, from memory):
//
//	                          evaluated          describes hours to
//	air mass                  4e-12              0.5 %
//	sky on a plane            2e-8 W/m²          5 % of what falls on the plane
//	diffuse share             1e-7 W/m²          a quarter of the diffuse light
//	clear sky                 1e-5 of itself     5 % of the global, haze given
//	glass, beam               6e-10              2 % of the beam at 75°
//	glass, sky and ground     1e-8               1 %
//	daylight                  2e-6 lx            5 %
//	monthly mean of a year    0.1 %              as the table given
//
// # Not covered
//
// The spectrum, albedo that differs between ground and snow during a year (make
// one Plane for each), light reflected by buildings, shade that falls on part of a
// panel, circumsolar light lost to an instrument, clouds that brighten the sky
// above a clear one within an hour.
package sky
