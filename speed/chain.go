package main

// A call is what one step of a year needs of one package.
type call struct {
	what, pkg, name string
}

// stepCalls are the calls of one step of the whole chain, one of each.
var stepCalls = []call{
	{"place of the sun in a series", "solar", "TrackAt"},
	{"tilted plane by Perez", "solar/sky", "Perez"},
	{"the panel's curve for light and temperature", "solar/panel", "At"},
	{"its current at the held voltage", "solar/panel", "Current"},
	{"converter at one point", "power", "ConverterAt"},
	{"linear regulator at one point", "power", "LinearAt"},
	{"box in the sun", "thermal", "SealedBox"},
	{"step of the pack", "battery", "Step"},
}

// stepSum adds the single calls; ok is false if one was not measured.
func stepSum(b *benchmarks) (ns float64, ok bool) {
	for _, c := range stepCalls {
		x, ok := b.ns(c.pkg, c.name)
		if !ok {
			return 0, false
		}
		ns += x
	}
	return ns, true
}

// The years whose steps are compared with the sum.
var stepYears = []struct {
	what, name string
	steps      float64
}{
	{"hourly year after the first", "YearHourlyWholeChain", 365 * 24},
	{"hourly year, the first of a station", "YearHourlyFirst", 365 * 24},
	{"minute year", "YearMinutesWholeChain", 365 * 24 * 60},
}
