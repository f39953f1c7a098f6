package wording

import (
	"slices"
	"strings"
)

// Meant returns the candidate that a mistyped or unknown word was probably meant
// for, and "" if none is that close: a suggestion that is far off does more harm
// than none. In this order it looks for the same word but for capitals, its ending
// in a unit or a plural; for what other names for the candidates say; for the one
// candidate that begins with the word; and for a slip of the fingers: one letter in
// three wrong, lacking, too many or exchanged with the next. other maps further
// names to the candidates they stand for, the likeliest first.
func Meant(word string, candidates []string, other map[string][]string) string {
	w := stem(word)
	if w == "" || len(w) > 64 {
		return ""
	}
	for _, c := range candidates {
		if stem(c) == w {
			return c
		}
	}
	if c := known(other[w], candidates); c != "" {
		return c
	}
	if c := beginning(w, candidates); c != "" {
		return c
	}
	best, bestD, by := "", len(w)/3+1, ""
	try := func(name, means string) {
		if means == "" || max(len(w)-len(name), len(name)-len(w)) > bestD {
			return
		}
		// Among equals the candidates' own names first, then the alphabet: the
		// same answer every time.
		if d := edits(w, name); d < bestD || d == bestD && by != "" && name < by {
			best, bestD, by = means, d, name
		}
	}
	for _, c := range candidates {
		try(stem(c), c)
		try(c, c) // the unit may be where the slip is
	}
	by = ""
	for name, means := range other {
		try(name, known(means, candidates))
	}
	return best
}

// known is the first of the words that is a candidate.
func known(words, candidates []string) string {
	for _, w := range words {
		if slices.Contains(candidates, w) {
			return w
		}
	}
	return ""
}

// beginning is the only candidate that begins with the three letters or more of
// w; the shortest of several if it begins all others.
func beginning(w string, candidates []string) string {
	if len(w) < 3 {
		return ""
	}
	found := ""
	for _, c := range candidates {
		switch s := stem(c); {
		case !strings.HasPrefix(s, w), found != "" && strings.HasPrefix(s, stem(found)):
		case found == "", strings.HasPrefix(stem(found), s):
			found = c
		default:
			return ""
		}
	}
	return found
}

// units are the endings of keys and columns that name a unit.
var units = map[string]bool{
	"c": true, "k": true, "f": true, "v": true, "mv": true, "volt": true, "volts": true, "a": true, "ma": true, "amp": true, "amps": true,
	"w": true, "watt": true, "watts": true, "wh": true, "kwh": true, "ah": true, "mah": true, "ohm": true, "ohms": true, "kohm": true,
	"m": true, "m2": true, "mm": true, "cm": true, "km": true, "deg": true, "degrees": true, "s": true, "h": true, "hz": true, "khz": true,
	"hpa": true, "pa": true, "kpa": true, "pct": true, "percent": true, "share": true, "lx": true, "lux": true, "farad": true, "per": true, "day": true,
}

// stem is the word in small letters without its unit and without a plural's s.
func stem(word string) string {
	parts := strings.FieldsFunc(strings.ToLower(word), func(r rune) bool { return r == '_' || r == '-' || r == ' ' })
	for len(parts) > 1 && units[parts[len(parts)-1]] {
		parts = parts[:len(parts)-1]
	}
	s := strings.Join(parts, "_")
	if len(s) > 3 && !strings.HasSuffix(s, "ss") {
		s = strings.TrimSuffix(s, "s")
	}
	return s
}

// edits counts the letters that are wrong, lacking, too many or exchanged with
// the next (optimal string alignment).
func edits(a, b string) int {
	before, prev, cur := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], before[j-2]+1)
			}
		}
		before, prev, cur = prev, cur, before
	}
	return prev[len(b)]
}
