package psychro

import "math"

// The primary equations written out, for the tests alone: what the tables were
// fitted to, and the formulas that others use.

// iceR14 is IAPWS R14-08 eq. 6 in hPa.
func iceR14(tempC float64) float64 {
	th := (tempC + 273.15) / 273.16
	s := -21.2144006*math.Pow(th, 0.333333333e-2) + 27.3203819*math.Pow(th, 1.20666667) - 6.10598130*math.Pow(th, 1.70333333)
	return 6.11657 * math.Exp(s/th)
}

// murphyKoop is eq. 10 of Murphy and Koop (2005) in hPa.
func murphyKoop(tempC float64) float64 {
	t := tempC + 273.15
	l := math.Log(t)
	return 0.01 * math.Exp(54.842763-6763.22/t-4.210*l+0.000367*t+
		math.Tanh(0.0415*(t-218.8))*(53.878-1331.22/t-9.44523*l+0.014025*t))
}

// murphyKoopIce is eq. 7 of Murphy and Koop (2005) in hPa.
func murphyKoopIce(tempC float64) float64 {
	t := tempC + 273.15
	return 0.01 * math.Exp(9.550426-5723.265/t+3.53068*math.Log(t)-0.00728332*t)
}

// iapwsSR1 is eq. 1 of IAPWS SR1-86(1992) in hPa.
func iapwsSR1(tempC float64) float64 {
	t := tempC + 273.15
	u := 1 - t/647.096
	s := -7.85951783*u + 1.84408259*math.Pow(u, 1.5) - 11.7866497*math.Pow(u, 3) +
		22.6807411*math.Pow(u, 3.5) - 15.9618719*math.Pow(u, 4) + 1.80122502*math.Pow(u, 7.5)
	return 220640 * math.Exp(647.096/t*s)
}

func magnusForm(a, b, c float64) func(float64) float64 {
	return func(t float64) float64 { return a * math.Exp(b*t/(c+t)) }
}

// otherFormulas are those of formula_accuracy.csv that the package does not have.
var otherFormulas = map[string]func(float64) float64{
	"Bolton1980 6.112/17.67/243.5":           magnusForm(6.112, 17.67, 243.5),
	"Alduchov-Eskridge 6.1094/17.625/243.04": magnusForm(6.1094, 17.625, 243.04),
	"Buck1981 ew1 6.1121/17.502/240.97":      magnusForm(6.1121, 17.502, 240.97),
	"Buck1981 ei 6.1115/22.452/272.55":       magnusForm(6.1115, 22.452, 272.55),
	"Tetens 6.1078/17.27/237.3":              magnusForm(6.1078, 17.27, 237.3),
	"Buck1996 water":                         func(t float64) float64 { return 6.1121 * math.Exp((18.678-t/234.5)*t/(257.14+t)) },
	"Buck1996 ice":                           func(t float64) float64 { return 6.1115 * math.Exp((23.036-t/333.7)*t/(279.82+t)) },
	"Sonntag1990 water": func(t float64) float64 {
		k := t + 273.15
		return 0.01 * math.Exp(-6096.9385/k+21.2409642-2.711193e-2*k+1.673952e-5*k*k+2.433502*math.Log(k))
	},
	"Sonntag1990 ice": func(t float64) float64 {
		k := t + 273.15
		return 0.01 * math.Exp(-6024.5282/k+29.32707+1.0613868e-2*k-1.3198825e-5*k*k-0.49382577*math.Log(k))
	},
	"IAPWS aux (1992)": iapwsSR1,
	"MurphyKoop water": murphyKoop,
	"MurphyKoop ice":   murphyKoopIce,
	"Goff-Gratch 1946/WMO": func(t float64) float64 {
		k := t + 273.15
		const ts = 373.16
		return 1013.246 * math.Pow(10, -7.90298*(ts/k-1)+5.02808*math.Log10(ts/k)-
			1.3816e-7*(math.Pow(10, 11.344*(1-k/ts))-1)+8.1328e-3*(math.Pow(10, -3.49149*(ts/k-1))-1))
	},
}

// cipm2007 is the compressibility factor of CIPM-2007 for p in hPa.
func cipm2007(t, p, x float64) float64 {
	k := t + 273.15
	q := 100 * p / k
	return 1 - q*(1.58123e-6-2.9331e-8*t+1.1043e-10*t*t+(5.707e-6-2.051e-8*t)*x+(1.9898e-4-2.376e-6*t)*x*x) + q*q*(1.83e-11-0.765e-8*x*x)
}
