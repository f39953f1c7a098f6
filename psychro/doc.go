// Package psychro computes moist air: vapour pressure, dew and frost point, wet
// and ice bulb, moisture content, density, enthalpy, entropy, cloud base and
// indices of comfort, and how each answer moves with its readings.
//
// A State is made once, with every check, and then answers without failing:
//
//	air, err := psychro.New(21.4, 63, 948.2) // °C, % over water, hPa
//	air.DewPointC()
//
// From makes it from any two quantities, FromPsychrometer from a wet and a dry
// thermometer, Batch computes one quantity of many readings. Formula offers the
// bare saturation pressures.
//
// # Over water or over ice
//
// Below 0 °C two conventions of relative humidity are in use, and at -20 °C they
// differ by a fifth. New, Humidity and RelativeHumidityPct count over supercooled
// water at all temperatures: WMO-No. 8 and humidity sensors do. Refrigeration and
// air conditioning count over ice; so do HumidityOverIce and HumidityOverIcePct.
// A dew point is over water, a frost point over ice, at any temperature.
// Supersaturation, which Excess is about, is over water.
//
// # A real gas
//
// Water vapour in air is not alone: at saturation its pressure exceeds that of
// pure vapour by the enhancement factor, 0.42 % at 20 °C and 1013 hPa. It is in
// every result. Density, fugacity, enthalpy and entropy come from one virial
// equation of state with second and third coefficients (Lemmon et al. 2000 for
// air, IAPWS-95 for vapour, IAPWS G8-10 between them); the wet bulb balances its
// enthalpies. For dry air at 400 µmol/mol of carbon dioxide (CIPM-2007).
//
// # Saturation pressure
//
// Reference is the choice of the package, by stated uncertainty:
//
//   - over water from 0 to 100 °C IAPWS-95, which states 0.025 % (from memory).
//     Below 25 °C it runs into the measured triple point of 611.657 Pa, which the
//     other two share and which is 3.6e-6 above its own;
//   - over supercooled water Murphy and Koop (2005), eq. 10, because it rests on
//     heat capacities measured there, while every other formula is an
//     extrapolation from above 0 °C; no figure for its uncertainty was at hand,
//     and formulas in use differ from it by up to 0.8 % at -40 °C;
//   - over ice IAPWS R14-08, which states 0.1 % (from memory).
//
// All are tables of polynomials fitted to those equations. WMO8 and HylandWexler
// are the formulas of weather services and of air conditioning.
//
// # Accuracy
//
// Largest deviations found, recomputed by the tests. "Real gas" is IAPWS G8-10
// with IAPWS-95 and IAPWS R10-06 as Debian python3-iapws 1.5.2 evaluates them, and
// RP-1485 the equations of Herrmann, Kretzschmar and Gatley (2009), over -40 to 60 °C,
// 1 to 80 %, 600 to 1060 hPa; the two differ from one another by up to 0.016 % of
// mixing ratio, 0.0008 K of wet bulb and 0.05 kJ/kg. "Ideal gas" is what the
// relations of ASHRAE Fundamentals, chapter 1, cost on the same air. "Stated" is the source's own uncertainty where one is
// known (from memory).
//
//	result                       against          range          stated   largest deviation
//
//	Reference, water             IAPWS-95         0..100 °C      0.025 %  0.00035 %
//	Reference, water             Murphy and Koop  -150..0 °C     -        4.3e-06 %
//	Reference, ice               IAPWS R14-08     -150..0.01 °C  0.1 %    2.2e-07 %
//	WMO8, water                  Reference        0..60 °C       -        0.31 %
//	WMO8, water                  Reference        -45..0 °C      -        0.74 %
//	WMO8, ice                    Reference        -65..0.01 °C   -        0.19 %
//	HylandWexler, water          Reference        0..100 °C      -        0.022 %
//	HylandWexler, water          Reference        -60..0 °C      -        4.8 %
//	HylandWexler, ice            Reference        -100..0.01 °C  -        0.033 %
//
//	enhancement factor           real gas         -40..60 °C     -        0.0083 %
//	mixing ratio                 real gas         -40..60 °C     -        0.0083 %
//	density                      real gas         -40..60 °C     -        0.00066 %
//	dew and frost point          real gas         -40..60 °C     -        0.00087 K
//	wet bulb, water              real gas         -40..60 °C     -        0.00028 K
//	wet bulb, ice                real gas         -40..60 °C     -        0.00013 K
//	enthalpy                     real gas         -40..60 °C     -        0.015 kJ/kg
//	entropy                      real gas         -40..60 °C     -        4.5e-05 kJ/(kg K)
//
//	mixing ratio                 RP-1485          -40..60 °C     -        0.01 %
//	density                      RP-1485          -40..60 °C     -        0.0019 %
//	dew and frost point          RP-1485          -40..60 °C     -        0.0008 K
//	wet bulb                     RP-1485          -40..60 °C     -        0.00084 K
//	enthalpy                     RP-1485          -40..60 °C     -        0.035 kJ/kg
//	entropy                      RP-1485          -40..60 °C     -        0.00068 kJ/(kg K)
//
//	ideal gas: mixing ratio      real gas         -40..60 °C     -        0.72 %
//	ideal gas: density           real gas         -40..60 °C     -        0.14 %
//	ideal gas: dew, frost point  real gas         -40..60 °C     -        0.023 K
//	ideal gas: wet bulb          real gas         -40..60 °C     -        0.033 K
//	ideal gas: enthalpy          real gas         -40..60 °C     -        2.9 kJ/kg
//
// Below -20 °C part of the deviation from the real gas is the sublimation
// pressure: R14-08 and the equation of state of ice with IAPWS-95 differ by 7e-5
// at -40 °C. Near saturation above 30 °C IAPWS-95 departs from a virial series of
// three terms, an anomaly that Harvey (2019, Int. J. Thermophys. 40, 98) reports.
//
// Inverses (TemperatureC, DewPointC) reproduce their argument within 1e-9 K in
// weather, wet and ice bulb their balance within 1e-8 K.
//
// # Not covered
//
// Droplets and hailstones (curvature, salt), air dissolved in the water, air of
// other composition, pressures outside 300 to 1100 hPa, temperatures outside -100 to
// 100 °C, air of more than nine tenths vapour.
//
// # Speed
//
// In units of one math.Exp on the machine it was written on (BenchmarkExp, 8.5 ns):
// saturation pressure 2, dew point of a State 5, wet bulb 24, New 8. Nothing
// allocates but errors.
package psychro
