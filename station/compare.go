package station

import "math"

// A Difference is a verdict that changed from one review to another.
type Difference struct {
	Before, After *Finding // nil where the finding exists in one review only
}

// Compare lists the findings whose word or value changed between two reviews,
// the most urgent of after first; a value counts as changed from a thousandth
// of it on. Findings belong together by topic and quantity, several of one quantity,
// as of parts of one name, in their order.
func Compare(before, after *Review) []Difference {
	old, now := keyed(before), keyed(after)
	was := make(map[findingKey]*Finding, len(old))
	for i, k := range old {
		was[k] = &before.Findings[i]
	}
	var out []Difference
	for _, i := range order(after.Findings) {
		f, b := &after.Findings[i], was[now[i]]
		delete(was, now[i])
		if b == nil || b.Word != f.Word || changed(b.Value, f.Value) || changed(b.Limit, f.Limit) {
			out = append(out, Difference{Before: b, After: f})
		}
	}
	for _, i := range order(before.Findings) {
		if was[old[i]] != nil {
			out = append(out, Difference{Before: &before.Findings[i]})
		}
	}
	return out
}

type findingKey struct {
	topic    Topic
	quantity string
	nth      int // of those with this topic and quantity
}

// keyed gives the key of each finding.
func keyed(r *Review) []findingKey {
	out := make([]findingKey, len(r.Findings))
	seen := map[findingKey]int{}
	for i, f := range r.Findings {
		k := findingKey{topic: f.Topic, quantity: f.Quantity}
		seen[k]++
		out[i], out[i].nth = k, seen[k]
	}
	return out
}

func changed(a, b float64) bool {
	if math.IsNaN(a) || math.IsNaN(b) {
		return math.IsNaN(a) != math.IsNaN(b)
	}
	return math.Abs(a-b) > 1e-3*math.Max(math.Abs(a), math.Abs(b))
}
