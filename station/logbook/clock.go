package logbook

import (
	"time"
)

// Years in which nanoseconds since 1970 fit 64 bits, and in which package solar
// knows the sun. A logger whose clock was never set stands at 1970 or 2000.
const firstYear, lastYear = 1900, 2199

// parseTime reads RFC 3339 without allocating: time.Parse makes a new zone for
// every offset that is not the machine's own.
func (r *Reader) parseTime(b []byte) (t time.Time, ok bool) {
	// 2024-01-01T13:00:00+01:00
	if len(b) < 20 || b[4] != '-' || b[7] != '-' || b[10] != 'T' && b[10] != 't' && b[10] != ' ' || b[13] != ':' || b[16] != ':' {
		return t, false
	}
	year, ok0 := digits(b[0:4])
	month, ok1 := digits(b[5:7])
	day, ok2 := digits(b[8:10])
	hour, ok3 := digits(b[11:13])
	minute, ok4 := digits(b[14:16])
	second, ok5 := digits(b[17:19])
	if !(ok0 && ok1 && ok2 && ok3 && ok4 && ok5) || year < firstYear || year > lastYear || month < 1 || month > 12 || day < 1 || day > daysIn(year, month) || hour > 23 || minute > 59 || second > 59 {
		return t, false
	}
	rest := b[19:]
	nano := 0
	if rest[0] == '.' {
		i, unit := 1, 100_000_000
		for ; i < len(rest) && rest[i] >= '0' && rest[i] <= '9'; i++ {
			nano += int(rest[i]-'0') * unit
			unit /= 10
		}
		if i == 1 || i == len(rest) {
			return t, false
		}
		rest = rest[i:]
	}
	offset := 0
	switch {
	case len(rest) == 1 && (rest[0] == 'Z' || rest[0] == 'z'):
	case len(rest) == 6 && (rest[0] == '+' || rest[0] == '-') && rest[3] == ':':
		h, okH := digits(rest[1:3])
		m, okM := digits(rest[4:6])
		if !okH || !okM || h > 23 || m > 59 {
			return t, false
		}
		offset = (h*60 + m) * 60
		if rest[0] == '-' {
			offset = -offset
		}
	default:
		return t, false
	}
	t = time.Date(year, time.Month(month), day, hour, minute, second, nano, time.UTC)
	if offset == 0 {
		return t, true
	}
	if r.zone == nil || r.zoneS != offset {
		r.zone, r.zoneS = time.FixedZone("", offset), offset
	}
	return t.Add(-time.Duration(offset) * time.Second).In(r.zone), true
}

func digits(b []byte) (n int, ok bool) {
	for _, c := range b {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	return n, true
}

func daysIn(year, month int) int {
	switch month {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}
