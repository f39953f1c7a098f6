package report

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"github.com/stationphysics/stationphysics/power/chain"
	"github.com/stationphysics/stationphysics/station"
)

//go:embed page.html
var pageText string

//go:embed page.css
var pageStyle string

var page = template.Must(template.New("page").Parse(pageText))

// HTML writes a review as one page that stands for itself: the first things to
// do, every verdict in a table and at length by topic, pictures, and the year
// month by month. The page loads nothing and runs nothing; it follows the
// reader's choice of light or dark and can be printed. A picture for which the
// description does not suffice is replaced by a line that names what to add.
//
// The error is ErrNoBasis for a review that station.NewReview did not make, or that of
// the writer.
func HTML(w io.Writer, r *station.Review) error {
	m, weather, sun := r.Basis()
	if m == nil {
		return ErrNoBasis
	}
	var b bytes.Buffer
	if err := page.Execute(&b, compose(m, r, weather, sun)); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// ErrNoBasis is returned by HTML for a review without a model to draw.
var ErrNoBasis = errors.New("a page needs a review made by station.NewReview")

// A picture is drawn, or it says why it is not.
type picture struct {
	Title   string
	Caption string
	SVG     template.HTML
	Matrix  *matrix
	Absent  string
}

func (p picture) drawn(alt string, charts ...*chart) picture {
	// Made by svg, which escapes every word put into it.
	p.SVG = template.HTML(svg(alt, charts...))
	return p
}

func (p picture) without(why string) picture {
	p.Absent = "No picture here: " + why + "."
	return p
}

// absent says which lines a picture wants.
func (p picture) absent(err error) picture {
	var miss *station.MissingError
	if errors.As(err, &miss) {
		return p.unsaid(miss.Keys)
	}
	return p.without(strings.TrimSuffix(err.Error(), "."))
}

// unsaid is absent for lines that the description lacks.
func (p picture) unsaid(keys []string) picture {
	return p.without("the description does not say " + strings.Join(keys, ", "))
}

// A matrix is the table of single faults by what they may harm.
type matrix struct {
	Items []string
	Rows  []matrixRow
	Label string
}

type matrixRow struct {
	Fault string
	Cells []matrixCell
	Lost  int
}

type matrixCell struct{ Word, Number, Class string }

type pageData struct {
	Name         string
	Style        template.CSS
	First        []pageFinding
	NothingFirst string // in place of First where it is empty
	Counts       []pageCount
	Ranked       []pageFinding
	Topics       []pageTopic
	Months       []pageMonth
	HasYear      bool
	Source       string
	WordHelp     []wordHelp
}

type pageCount struct {
	Number int
	Word   string
	Class  string
}

type wordHelp struct{ Word, Class, Means string }

type pageTopic struct {
	ID, Title string
	Findings  []pageFinding
	Pictures  []picture
}

type pageFinding struct {
	ID, Word, Class, Quantity, Value, Limit, Margin string
	Reason, Action, Caution, Sure, Topic            string
	Why                                             []string
}

type pageMonth struct {
	Name                                        string
	Possible, Offered, Taken, Served, Lost, Low string
}

func compose(m *station.Model, r *station.Review, weather *station.Weather, sun *station.Sunlight) *pageData {
	p := &pageData{Name: r.Name, Style: template.CSS(pageStyle), HasYear: r.Year != nil}
	if p.Name == "" {
		p.Name = "station without a name"
	}
	ids := map[string]string{}
	for i, f := range r.Findings {
		ids[string(f.Topic)+"\x00"+f.Quantity] = fmt.Sprintf("finding-%d", i+1)
	}
	entry := func(f station.Finding) pageFinding {
		v := pageFinding{
			ID: ids[string(f.Topic)+"\x00"+f.Quantity], Word: f.Word.String(), Class: class(f.Word), Quantity: f.Quantity,
			Reason: sentence(f.Reason), Action: sentence(f.Action), Caution: f.Caution, Sure: sentence(f.Sure), Why: f.Why, Topic: string(f.Topic),
		}
		if !math.IsNaN(f.Value) {
			v.Value = number(f.Value, f.Unit)
			if !math.IsNaN(f.Limit) {
				v.Limit, v.Margin = number(f.Limit, f.Unit), signed(f.Margin, f.Unit)
			}
		}
		return v
	}
	p.NothingFirst = nothingFirst(r)
	for _, f := range r.First() {
		p.First = append(p.First, entry(f))
	}
	count := map[station.Word]int{}
	for _, f := range r.Ranked() {
		count[f.Word]++
		p.Ranked = append(p.Ranked, entry(f))
	}
	for w := int(station.Stop); w >= int(station.Fine); w-- {
		if n := count[station.Word(w)]; n > 0 {
			p.Counts = append(p.Counts, pageCount{n, station.Word(w).String(), class(station.Word(w))})
		}
	}
	p.WordHelp = []wordHelp{
		{"STOP", "stop", "do not connect: outside a limit that protects cells, parts or people"},
		{"CHANGE", "change", "does not do its job, or outside a limit without danger"},
		{"WATCH", "watch", "little margin, or not serving well"},
		{"CANNOT TELL", "cannot-tell", "a line is missing, or nothing published decides it"},
		{"FINE", "fine", "inside every limit with its margin"},
	}
	for i, topic := range station.Topics() {
		t := pageTopic{ID: fmt.Sprintf("topic-%d", i+1), Title: sentence(string(topic))}
		for _, f := range r.Findings {
			if f.Topic == topic {
				t.Findings = append(t.Findings, entry(f))
			}
		}
		t.Pictures = pictures(topic, m, r.Year, weather, sun)
		if len(t.Findings)+len(t.Pictures) > 0 {
			p.Topics = append(p.Topics, t)
		}
	}
	if y := r.Year; y != nil {
		p.Source = y.Source
		for i := range y.Months {
			x := &y.Months[i]
			if x.SpanH == 0 {
				continue
			}
			d := x.SpanH / 24
			p.Months = append(p.Months, pageMonth{
				monthWords[i], fmt.Sprintf("%.1f", x.PossibleWh/d), fmt.Sprintf("%.1f", x.OfferedWh/d), fmt.Sprintf("%.1f", x.TakenWh/d),
				fmt.Sprintf("%.1f", x.ServedWh/d), fmt.Sprintf("%.0f", x.LostH), number(100*x.LowestSoC, "%"),
			})
		}
	}
	return p
}

func class(w station.Word) string {
	return strings.ReplaceAll(strings.ToLower(w.String()), " ", "-")
}

// pictures draws what belongs to a topic.
func pictures(topic station.Topic, m *station.Model, y *station.Year, weather *station.Weather, sun *station.Sunlight) []picture {
	year := func(title string, draw func() picture) picture {
		if y == nil {
			keys := m.Missing()
			if weather == nil {
				keys = append(keys, m.ClimateMissing()...)
			}
			if len(keys) == 0 {
				return picture{Title: title}.without("no year could be run, see the verdict on it")
			}
			return picture{Title: title}.unsaid(once(keys))
		}
		return draw()
	}
	switch topic {
	case station.TopicSet:
		return []picture{cellPicture(m), curvePicture(m)}
	case station.TopicKills:
		return []picture{faultMatrix(m)}
	case station.TopicHeat:
		return []picture{year("The hottest day", func() picture { return hotDayPicture(m, sun, y) })}
	case station.TopicYear:
		return []picture{
			year("Charge through the year", func() picture { return chargePicture(weather, y) }),
			year("Need against harvest, month by month", func() picture { return harvestPicture(y) }),
			year("What is lost along the chain", func() picture { return lossPicture(y) }),
		}
	case station.TopicSite:
		return []picture{sunPicture(m, y)}
	}
	return nil
}

func once(keys []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, k := range keys {
		if !seen[k] {
			seen[k] = true
			out = append(out, k)
		}
	}
	return out
}

// faultMatrix sets every single fault against everything that has a limit.
func faultMatrix(m *station.Model) picture {
	pic := picture{Title: "Each fault alone, and what it takes with it"}
	survey, left, err := m.Survey()
	if err != nil {
		return pic.absent(err)
	}
	t := &matrix{}
	for _, h := range survey.Rows[0].Harms {
		if h.Item != "" {
			t.Items = append(t.Items, h.Item)
		}
	}
	if len(t.Items) == 0 {
		return pic.without("no part has a stated limit (pack.chemistry, load.damage_v, sensor.damage_v, regulator.input_max_v, charger.input_max_v)")
	}
	losing, lostCells := 0, 0
	for i := range survey.Rows {
		row := &survey.Rows[i]
		out := matrixRow{Fault: row.Fault.String()}
		if row.Fault.Mode == chain.NoFault {
			out.Fault = "as built, no fault"
		}
		for _, h := range row.Harms {
			if h.Item == "" {
				continue
			}
			c := matrixCell{Word: "holds", Class: "holds"}
			if h.VoltageV > 0 {
				c.Number = fmt.Sprintf("%.2f V", h.VoltageV)
			}
			switch h.Verdict {
			case chain.Lost:
				c.Word, c.Class = "LOST", "lost"
				out.Lost++
				switch {
				case h.PowerRatio > h.VoltageRatio:
					c.Number = fmt.Sprintf("%.2f W, %.1f ×", h.PowerW, h.PowerRatio)
				case h.VoltageRatio > 0:
					c.Number += fmt.Sprintf(", %.2f ×", h.VoltageRatio)
				}
			case chain.CannotTell:
				c.Word, c.Class = "cannot tell", "untold"
			}
			out.Cells = append(out.Cells, c)
		}
		if out.Lost > 0 {
			losing++
			lostCells += out.Lost
		}
		t.Rows = append(t.Rows, out)
	}
	t.Label = fmt.Sprintf("Single faults: %d of %d rows lose something, %d times in all", losing, len(t.Rows), lostCells)
	pic.Caption = t.Label + ". LOST: over the limit, with the voltage or power and how many times the limit it is. The panel is cold and in full sun."
	if len(left) > 0 {
		pic.Caption += " Not in it for want of " + strings.Join(left, ", ") + "."
	}
	pic.Matrix = t
	return pic
}
