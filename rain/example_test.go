package rain_test

import (
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics/rain"
)

// The rain between two tips.
//
// Given: a bucket of 0.2 mm that loses water for 0.4 s while it tips, and tips
// 6 s apart.
// Find: the rain of that gap and its intensity.
//
//	d gap/(gap - t) = 0.2·6/5.6 = 0.2143 mm;  0.2143·3600/6 = 128.6 mm/h
//
// The wrong way multiplies tips by depth: 7 % too little, at this rate.
//
// Source: water balance of the bucket; loss during the tip, Duchon et al.
// 2014, Journal of Atmospheric and Oceanic Technology 31(6).
func ExampleBucket() {
	b, err := rain.NewBucket(rain.BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.05})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f mm in the gap, %.1f mm/h\n", b.GapDepthMm(6), b.GapMmPerH(6))
	fmt.Printf("the wrong way: 0.2 mm, %.1f mm/h\n", 0.2/6*3600)
	// Output:
	// 0.2143 mm in the gap, 128.6 mm/h
	// the wrong way: 0.2 mm, 120.0 mm/h
}

// What a bucket loses in heavy rain.
//
// Given: a tip of 0.45 s in a bucket of 0.254 mm.
// Find: the loss at indicated 19.9 and 175.2 mm/h.
//
//	t R/(3600 d) = 0.45·19.9/914.4 = 0.98 %;  0.45·175.2/914.4 = 8.62 %
//
// Published are 0.98 % and 8.78 %.
//
// Source: Duchon et al. 2014, Journal of Atmospheric and Oceanic Technology
// 31(6), abstract.
func ExampleBucket_LossRatio() {
	b, _ := rain.NewBucket(rain.BucketSpec{TipMm: 0.254, TipTimeS: 0.45})
	fmt.Printf("%.2f %% and %.2f %%\n", 100*b.LossRatio(19.9), 100*b.LossRatio(175.2))
	// Output: 0.98 % and 8.62 %
}

// Calibrating with a bottle.
//
// Given: 500 ml poured into a funnel of 200 cm² at three rates.
// Find: the tip at slow filling and the time lost.
//
//	500 ml/200 cm² = 25 mm: water per tip 25/124 = 0.2016 mm at 25 mm/h,
//	25/121 = 0.2066 mm at 75 mm/h, 25/115 = 0.2174 mm at 180 mm/h
//	the line d0 + t R/3600 through them: d0 = 0.199 mm, t = 0.37 s
//
// The wrong way takes the fastest pour alone: the loss makes the tip look
// larger than it is.
//
// Source: least squares, JCGM 100:2008, annex H.3.
func ExampleCalibrate() {
	pours := []rain.Pour{
		{VolumeM3: 500e-6, Tips: 124, DurationS: 3600},
		{VolumeM3: 500e-6, Tips: 121, DurationS: 1200},
		{VolumeM3: 500e-6, Tips: 115, DurationS: 500},
	}
	c, err := rain.Calibrate(200e-4, pours)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("tip %.4f ± %.4f mm, lost in %.2f ± %.2f s\n", c.TipMm, c.TipErrorMm, c.TipTimeS, c.TipTimeErrorS)
	fmt.Printf("the wrong way: %.4f mm\n", 25.0/115)
	// Output:
	// tip 0.1990 ± 0.0001 mm, lost in 0.37 ± 0.00 s
	// the wrong way: 0.2174 mm
}

// A bouncing contact.
//
// Given: closures at 0, 0.012, 20 and 40 s; what follows within 100 ms is
// taken for bounce; a bucket of 0.2 mm and 0.4 s.
// Find: which are tips, and their depths.
//
//	12 ms < 100 ms: the contact, not rain;  0.2·20/19.6 = 0.2041 mm
//
// The wrong way counts four tips: 0.8 instead of 0.61 mm.
//
// Source: as for ExampleBucket; the ignore time is common practice.
func ExampleGauge() {
	b, _ := rain.NewBucket(rain.BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.1})
	g, err := rain.NewGauge(b, 3600)
	if err != nil {
		fmt.Println(err)
		return
	}
	start := time.Date(2026, 7, 4, 15, 0, 0, 0, time.UTC)
	for _, ms := range []int{0, 12, 20000, 40000} {
		c, err := g.Closure(start.Add(time.Duration(ms)*time.Millisecond), rain.Unknown())
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%5d ms: tip %v, %.4f mm\n", ms, c.Kind == rain.Tip, c.DepthMm)
	}
	// Output:
	//     0 ms: tip true, 0.2000 mm
	//    12 ms: tip false, 0.0000 mm
	// 20000 ms: tip true, 0.2041 mm
	// 40000 ms: tip true, 0.2041 mm
}

// A tip belongs to the time since the tip before.
//
// Given: two tips of 0.2 mm six minutes apart.
// Find: the largest one-minute intensity.
//
//	0.2 mm/6 min = 2 mm/h: a drizzle
//
// The wrong way puts them into their minutes, two bursts of 0.2·60 = 12 mm/h.
//
// Source: WMO-No. 8, part I, ch. 6 (one-minute intensity, from memory); Water
// 2024, 16(7), 998.
func ExampleMinutes() {
	b, _ := rain.NewBucket(rain.BucketSpec{TipMm: 0.2})
	g, _ := rain.NewGauge(b, 3600)
	peak := 0.0
	m, err := rain.NewMinutes(3600, func(x rain.Minute) { peak = max(peak, x.RateMmPerH()) })
	if err != nil {
		fmt.Println(err)
		return
	}
	start := time.Date(2026, 7, 4, 15, 0, 0, 0, time.UTC)
	for _, minute := range []int{0, 6} {
		at := start.Add(time.Duration(minute) * time.Minute)
		c, _ := g.Closure(at, rain.Unknown())
		m.Add(c)
	}
	m.Flush(start.Add(time.Hour))
	fmt.Printf("peak %.1f mm/h\n", peak)
	// Output: peak 2.0 mm/h
}

// A sum over a record with a gap is "at least".
//
// Given: a minute of 0.4 mm, and one that is missing in part.
// Find: the sum.
//
//	0.4 + (0 or more) >= 0.4 mm
//
// The wrong way takes the missing minute for a dry one and publishes 0.4 mm.
//
// Source: arithmetic.
func ExampleTotal() {
	var day rain.Total
	day.Add(rain.Minute{DepthMm: 0.4})
	day.Add(rain.Minute{AtLeast: true})
	word := ""
	if day.AtLeast {
		word = "at least "
	}
	fmt.Printf("%s%.1f mm\n", word, day.DepthMm)
	// Output: at least 0.4 mm
}
