package station

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
)

// The columns of the typical-year format that are used, by the names that
// NREL/TP-581-43156 (Wilcox and Marion 2008), table 1-2, gives them.
const (
	tmyDate    = "Date (MM/DD/YYYY)"
	tmyTime    = "Time (HH:MM)"
	tmyGlobal  = "GHI (W/m^2)"
	tmyDirect  = "DNI (W/m^2)"
	tmyDiffuse = "DHI (W/m^2)"
	tmyAir     = "Dry-bulb (C)"
	tmyWind    = "Wspd (m/s)"
	tmyDew     = "Dew-point (C)" // optional here
)

// tmyHours is the length of a typical year: no leap day.
const tmyHours = 8760

// isTMY3 recognises the first line: site number, name in quotes, state, hours
// from UTC, latitude, longitude, height.
func isTMY3(f []string) bool {
	if len(f) != 7 {
		return false
	}
	_, err := strconv.Atoi(f[0])
	return err == nil
}

// A TypicalSite is what the first line of a typical-year file says.
type TypicalSite struct {
	Name         string
	UTCOffsetH   float64 // its standard time ahead of UTC
	LatitudeDeg  float64 // north positive
	LongitudeDeg float64 // east positive
	HeightM      float64 // above sea level
}

func (w *weatherReader) tmy3(first []string) {
	site := TypicalSite{Name: first[1]}
	for i, p := range []*float64{&site.UTCOffsetH, &site.LatitudeDeg, &site.LongitudeDeg, &site.HeightM} {
		v, err := strconv.ParseFloat(first[3+i], 64)
		if err != nil {
			w.fail("", fmt.Errorf("%q in the site line is not a number", first[3+i]))
		}
		*p = v
	}
	header, err := w.t.Next()
	if err != nil {
		if errors.Is(err, io.EOF) {
			err = errors.New("the file ends after the site line")
		}
		w.fail("", err)
		return
	}
	columns := len(header)
	at := map[string]int{}
	for _, name := range []string{tmyDate, tmyTime, tmyGlobal, tmyDirect, tmyDiffuse, tmyAir, tmyWind} {
		i := slices.Index(header, name)
		if i < 0 {
			w.fail(name, errors.New("the column is missing"))
			continue
		}
		at[name] = i
	}
	if len(w.errs) > 0 {
		return
	}
	dewAt := slices.Index(header, tmyDew)
	w.out.HasDew = dewAt >= 0
	zone := time.FixedZone("", int(site.UTCOffsetH*3600))
	w.out.Typical = &site
	w.out.Step = time.Hour
	w.rows(columns, func(f []string) (s WeatherStep, ok bool) {
		n := len(w.errs)
		if s.Start, err = tmyStart(f[at[tmyDate]], f[at[tmyTime]], zone); err != nil {
			return s, w.fail(tmyTime, err)
		}
		// Months come from different years, so only the hour of the year can
		// tell whether a row is missing.
		if want := len(w.out.Steps); hourOfYear(s.Start) != want && len(w.errs) == n {
			return s, w.fail(tmyTime, fmt.Errorf("hour %d of the year where hour %d is due: %d missing", hourOfYear(s.Start)+1, want+1, hourOfYear(s.Start)-want)) && false
		}
		s.GlobalWPerM2 = w.value(f[at[tmyGlobal]], &globalRange)
		s.DirectWPerM2 = w.value(f[at[tmyDirect]], &directRange)
		s.SkyWPerM2 = w.value(f[at[tmyDiffuse]], &skyRange)
		s.AirC = w.value(f[at[tmyAir]], &airRange)
		s.WindMPerS = w.value(f[at[tmyWind]], &windRange)
		if dewAt >= 0 {
			s.DewC = w.value(f[dewAt], &dewRange)
		}
		return s, len(w.errs) < maxReported
	})
	if n := len(w.out.Steps); len(w.errs) == 0 && n != tmyHours {
		w.fail("", fmt.Errorf("%d hours instead of %d: the file is cut short", n, tmyHours))
		return
	}
	w.finish()
}

// tmyStart turns the stamp at the end of an hour, "01:00" to "24:00", into the
// start of that hour.
func tmyStart(date, clock string, zone *time.Location) (time.Time, error) {
	day, err := time.ParseInLocation("01/02/2006", date, zone)
	if err != nil {
		return day, fmt.Errorf("%q is not a date such as 01/31/1988", date)
	}
	hh, mm, ok := strings.Cut(clock, ":")
	h, err := strconv.Atoi(hh)
	if err != nil || !ok || mm != "00" || h < 1 || h > 24 {
		return day, fmt.Errorf("%q is not an hour from 01:00 to 24:00", clock)
	}
	return day.Add(time.Duration(h-1) * time.Hour), nil
}

// hourOfYear counts hours from 1 January in a year without a leap day.
func hourOfYear(t time.Time) int {
	d := t.YearDay() - 1
	if y := t.Year(); y%4 == 0 && (y%100 != 0 || y%400 == 0) && t.Month() > time.February {
		d--
	}
	return d*24 + t.Hour()
}

func (w *weatherReader) typical() bool { return w.out.Typical != nil }
