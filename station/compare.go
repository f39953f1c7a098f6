package station

import "math"

// A Difference is a verdict that changed from one review to another.
type Difference struct {
	Before, After *Finding // nil where the finding exists in one review only
}

// Compare lists the findings whose word or value changed between two reviews,
// the most urgent of after first; a value counts as changed from a thousandth
// of it on. Findings belong together by topic and quantity.
func Compare(before, after *Review) []Difference {
	key := func(f *Finding) string { return string(f.Topic) + "\x00" + f.Quantity }
	old := map[string]*Finding{}
	for i := range before.Findings {
		old[key(&before.Findings[i])] = &before.Findings[i]
	}
	var out []Difference
	for _, f := range after.Ranked() {
		b := old[key(&f)]
		delete(old, key(&f))
		if b == nil || b.Word != f.Word || changed(b.Value, f.Value) || changed(b.Limit, f.Limit) {
			out = append(out, Difference{Before: b, After: &f})
		}
	}
	for _, f := range before.Ranked() {
		if old[key(&f)] != nil {
			out = append(out, Difference{Before: &f})
		}
	}
	return out
}

func changed(a, b float64) bool {
	if math.IsNaN(a) || math.IsNaN(b) {
		return math.IsNaN(a) != math.IsNaN(b)
	}
	return math.Abs(a-b) > 1e-3*math.Max(math.Abs(a), math.Abs(b))
}
