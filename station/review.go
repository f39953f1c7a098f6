package station

import (
	"fmt"
	"regexp"
	"strconv"
)

// Options say how a review is made.
type Options struct {
	Weather *Weather // hourly weather; nil makes a synthetic year from the climate
	Seed    uint64   // of the synthetic year and of the days with snow
}

// A Review is the judgement of a description.
type Review struct {
	Name     string
	Findings []Finding // in the order of the topics
	Year     *Year     // nil if the description does not suffice for it

	model *Model
	sun   *Sunlight
}

// Basis gives what the review was made from, for pictures of it: the model, and the
// sunlight of the year, which is nil without a year. All are nil for a Review that
// NewReview did not make.
func (r *Review) Basis() (*Model, *Weather, *Sunlight) {
	if r.sun == nil {
		return r.model, nil, nil
	}
	return r.model, r.sun.weather, r.sun
}

// Ranked returns the findings in the order of urgency.
func (r *Review) Ranked() []Finding { return rank(r.Findings) }

// First returns the one or two most urgent findings that ask for something to
// be done; none if nothing does.
func (r *Review) First() []Finding {
	var out []Finding
	for _, f := range r.Ranked() {
		if f.Word < Change || len(out) == 2 {
			break
		}
		out = append(out, f)
	}
	return out
}

// NewReview judges a description: what to set, what kills what, heat, the year,
// the sensor bus, the site and the readings. The description must pass
// Validate. Parts that are not described are answered with CANNOT TELL. The
// error is that of Validate or of a weather that the sun of the place does not
// allow.
func NewReview(d *Description, o Options) (*Review, error) {
	p, err := Compile(d)
	if err != nil {
		return nil, err
	}
	r := &reviewer{p: p, d: p.d, o: o, out: &Review{Name: d.Name, model: p}}
	if err := r.prepareYear(); err != nil {
		return nil, err
	}
	r.set()
	r.kills()
	r.heat()
	r.judgeYear()
	r.bus()
	r.site()
	r.readings()
	return r.out, nil
}

// A reviewer collects findings.
type reviewer struct {
	p      *Model
	d      *Description
	o      Options
	out    *Review
	sun    *Sunlight
	noYear []string // why there is no year
}

func (r *reviewer) say(f Finding) {
	f.Reason, f.Action = r.named(f.Reason), r.named(f.Action)
	r.out.Findings = append(r.out.Findings, f)
}

var indexed = regexp.MustCompile(`\b(regulator|load|link|sensor)\[(\d+)\](?:\.([a-z_]+))?`)

// named writes "regulator[0].out_v" for a reader who counts otherwise: out_v of
// regulator "logic".
func (r *reviewer) named(s string) string {
	return indexed.ReplaceAllStringFunc(s, func(key string) string {
		m := indexed.FindStringSubmatch(key)
		i, err := strconv.Atoi(m[2])
		if err != nil {
			return key // a name that only looks like one
		}
		out := fmt.Sprintf("%s %d", m[1], i+1)
		if name := r.nameOf(m[1], i); name != "" {
			out = m[1] + " " + strconv.Quote(name)
		}
		if m[3] != "" {
			out = m[3] + " of " + out
		}
		return out
	})
}

func (r *reviewer) nameOf(kind string, i int) string {
	switch {
	case kind == "regulator" && i < len(r.d.Regulators):
		return r.d.Regulators[i].Name
	case kind == "load" && i < len(r.d.Loads):
		return r.d.Loads[i].Name
	case kind == "link" && i < len(r.d.Links):
		return r.d.Links[i].Name
	case kind == "sensor" && i < len(r.d.Sensors):
		return r.d.Sensors[i].Name
	}
	return ""
}

// have says CANNOT TELL and returns false if a key is missing.
func (r *reviewer) have(t Topic, quantity string, keys ...string) bool {
	miss := r.d.Missing(keys...)
	return r.complete(t, quantity, miss)
}

func (r *reviewer) complete(t Topic, quantity string, missing []string) bool {
	if len(missing) == 0 {
		return true
	}
	r.say(cannotTell(t, quantity, missing))
	return false
}

// prepareYear runs the year if the description suffices. Heat needs its
// hottest hour, so it comes first.
func (r *reviewer) prepareYear() error {
	r.noYear = r.p.Missing()
	if r.o.Weather == nil {
		r.noYear = append(r.noYear, r.p.ClimateMissing()...)
	}
	if len(r.noYear) > 0 {
		return nil
	}
	w := r.o.Weather
	if w == nil {
		var err error
		if w, err = r.p.Synthetic(r.o.Seed); err != nil {
			return err
		}
	}
	sun, err := r.p.Sunlight(w)
	if err != nil {
		return err
	}
	r.sun = sun
	r.out.sun = sun
	r.out.Year, err = r.p.Run(sun, r.o.Seed)
	if err != nil {
		r.out.sun = nil
		// The trims are so far off that a year has no meaning; what to set
		// says so in its own words.
		f := finding(CannotTell, TopicYear, "service through the year")
		f.Reason = err.Error()
		f.Action = "correct the setting first, then run the year"
		r.say(f)
	}
	return nil
}

func (r *reviewer) set() {
	for _, f := range r.p.supply.errs {
		r.say(f)
	}
	r.setOutput()
	r.setHold()
	r.setInputMax()
	r.setHeadroom()
}

func pct(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// sureOf turns a list of assumed things into the sentence of Finding.Sure.
func sureOf(assumed ...string) string {
	if len(assumed) == 0 {
		return "follows from the numbers stated"
	}
	return "rests on assumed " + list(assumed, "and")
}
