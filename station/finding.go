package station

import (
	"math"
	"reflect"
	"slices"
	"sort"
)

// A Word is the one-word verdict of a finding. Its order is that of urgency.
type Word uint8

// The words, from the least to the most urgent.
const (
	Fine       Word = iota // inside every limit with its margin
	CannotTell             // a line is missing from the description, or nothing published decides it
	Watch                  // inside the limit with little margin, or outside what serves well
	Change                 // does not do its job, or outside a limit without danger to people or parts
	Stop                   // do not connect: outside a limit that protects cells, parts or people
)

var words = [...]string{"FINE", "CANNOT TELL", "WATCH", "CHANGE", "STOP"}

// String gives the word in capitals.
func (w Word) String() string {
	if int(w) < len(words) {
		return words[w]
	}
	return "?"
}

// A Topic groups findings.
type Topic string

// The topics of a review.
const (
	TopicSet      Topic = "what to set"
	TopicKills    Topic = "what kills what"
	TopicHeat     Topic = "heat"
	TopicYear     Topic = "the year"
	TopicBus      Topic = "the sensor bus"
	TopicSite     Topic = "the site"
	TopicReadings Topic = "readings"
)

// Topics lists the topics in the order in which a review treats them.
func Topics() []Topic {
	return []Topic{TopicSet, TopicKills, TopicHeat, TopicYear, TopicBus, TopicSite, TopicReadings}
}

// A Finding is one verdict of a review.
type Finding struct {
	Word     Word
	Topic    Topic
	Quantity string  // what was judged: "cell voltage at the end of charge"
	Value    float64 // in Unit; NaN where the finding has no number
	Limit    float64 // in Unit; NaN where there is none
	Margin   float64 // in Unit, positive inside the limit; NaN where there is none
	Unit     string
	Reason   string   // why this word
	Action   string   // what to do; empty for FINE
	Caution  string   // what to mind while doing it, where it can hurt; empty otherwise
	Sure     string   // how sure, and what rests on assumption
	Missing  []string // for CANNOT TELL, the keys to add to the description
	Why      []string // the equations behind it with their sources, numbers put in
	weight   float64  // order within a word: larger is more urgent
}

// finding starts a finding without numbers.
func finding(w Word, t Topic, quantity string) Finding {
	nan := math.NaN()
	return Finding{Word: w, Topic: t, Quantity: quantity, Value: nan, Limit: nan, Margin: nan}
}

// below sets value and upper limit; the margin is what is left below it.
func (f Finding) below(value, limit float64, unit string) Finding {
	f.Value, f.Limit, f.Margin, f.Unit = value, limit, limit-value, unit
	return f
}

// above sets value and lower limit; the margin is what is left above it.
func (f Finding) above(value, limit float64, unit string) Finding {
	f.Value, f.Limit, f.Margin, f.Unit = value, limit, value-limit, unit
	return f
}

// cannotTell is the finding for a quantity whose inputs are missing.
func cannotTell(t Topic, quantity string, missing []string) Finding {
	f := finding(CannotTell, t, quantity)
	f.Missing = unique(missing)
	f.Reason = "the description does not say " + list(headed(f.Missing), "and")
	f.Action = "add " + list(headed(f.Missing), "and")
	f.Sure = "nothing is assumed in place of a missing line"
	return f
}

// headed writes a section that is missing as a whole as its head stands in the
// file: [panel], [[load]].
func headed(keys []string) []string {
	out := slices.Clone(keys)
	t := reflect.TypeFor[Description]()
	for i, k := range out {
		for j := range t.NumField() {
			sf := t.Field(j)
			switch {
			case sf.Tag.Get("toml") != k:
			case isTable(sf.Type):
				out[i] = "[" + k + "]"
			case isTables(sf.Type):
				out[i] = "[[" + k + "]]"
			}
		}
	}
	return out
}

func list(items []string, last string) string {
	switch len(items) {
	case 0:
		return ""
	case 1:
		return items[0]
	}
	s := items[0]
	for _, x := range items[1 : len(items)-1] {
		s += ", " + x
	}
	return s + " " + last + " " + items[len(items)-1]
}

// order gives the indexes of findings by word, then by weight, keeping the order of
// topics among equals.
func order(fs []Finding) []int {
	out := make([]int, len(fs))
	for i := range out {
		out[i] = i
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := &fs[out[i]], &fs[out[j]]
		if a.Word != b.Word {
			return a.Word > b.Word
		}
		return a.weight > b.weight
	})
	return out
}

// rank returns findings in that order.
func rank(fs []Finding) []Finding {
	out := make([]Finding, len(fs))
	for k, i := range order(fs) {
		out[k] = fs[i]
	}
	return out
}
