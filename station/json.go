package station

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"strings"
	"time"
)

// Schema names the form of WriteJSON's output. Fields may be added under the
// same number; it changes when one is renamed, removed or given another
// meaning.
const Schema = "stationphysics-review/1"

// The JSON form of a review. A number that a finding does not have is absent,
// never NaN.
type jsonReview struct {
	Schema   string        `json:"schema" doc:"the form, named by station.Schema"`
	Name     string        `json:"name" doc:"of the station"`
	First    []int         `json:"first" doc:"indexes into findings of the one or two things to do first"`
	Findings []jsonFinding `json:"findings" doc:"one element a verdict, in the order of the topics"`
	Year     *jsonYear     `json:"year,omitempty" doc:"the run through a year; absent if the description does not suffice"`
}

type jsonFinding struct {
	Word     string   `json:"word" doc:"STOP, CHANGE, WATCH, CANNOT TELL or FINE"`
	Topic    string   `json:"topic" doc:"group of the verdict"`
	Quantity string   `json:"quantity" doc:"what was judged"`
	Value    *float64 `json:"value,omitempty" doc:"in unit"`
	Limit    *float64 `json:"limit,omitempty" doc:"in unit"`
	Margin   *float64 `json:"margin,omitempty" doc:"in unit, positive inside the limit"`
	Unit     string   `json:"unit,omitempty" doc:"of value, limit and margin"`
	Reason   string   `json:"reason,omitempty" doc:"why this word"`
	Action   string   `json:"action,omitempty" doc:"what to do"`
	Caution  string   `json:"caution,omitempty" doc:"what to mind where it can hurt"`
	Sure     string   `json:"sure,omitempty" doc:"how sure, and what rests on assumption"`
	Missing  []string `json:"missing,omitempty" doc:"for CANNOT TELL, the keys to add to the description"`
	Why      []string `json:"why,omitempty" doc:"equations with their sources, numbers put in"`
}

type jsonYear struct {
	Weather      string      `json:"weather" doc:"where the weather comes from"`
	SpanH        float64     `json:"hours" doc:"h of weather"`
	LostH        float64     `json:"lost_h" doc:"h without service"`
	LongestLostH float64     `json:"longest_lost_h" doc:"h, longest run of them"`
	LongestFrom  string      `json:"longest_from,omitempty" doc:"its beginning, RFC 3339"`
	Restarts     int         `json:"restarts" doc:"number of starts after an outage"`
	LowestSoC    float64     `json:"lowest_charge_share" doc:"lowest state of charge, 0 to 1"`
	MeanSoC      float64     `json:"mean_charge_share" doc:"mean state of charge, 0 to 1"`
	FrostChargeH float64     `json:"frost_charge_h" doc:"h of charging below the charge window of the cells"`
	ColdBlockedH float64     `json:"cold_blocked_h" doc:"h in which the cold stop kept sun from the pack"`
	KeptFrac     float64     `json:"kept_share" doc:"share of the possible energy that the held voltage offers"`
	HottestBoxC  float64     `json:"hottest_box_c" doc:"°C of the air in the box"`
	HottestCellC float64     `json:"hottest_cell_c" doc:"°C of the battery cells"`
	ColdestCellC float64     `json:"coldest_cell_c" doc:"°C of the battery cells"`
	WallWetH     *float64    `json:"wall_wet_h,omitempty" doc:"h in which the wall of the box can be wet, at most"`
	HiddenBeamH  float64     `json:"sun_lost_to_skyline_h" doc:"h of direct sun hidden by the skyline"`
	BeamH        float64     `json:"sun_h" doc:"h of direct sun"`
	Energy       jsonEnergy  `json:"energy_wh" doc:"balance in Wh"`
	Months       []jsonMonth `json:"months" doc:"one element a month with weather"`
}

type jsonMonth struct {
	Month     int        `json:"month" doc:"1 for January"`
	SpanH     float64    `json:"hours" doc:"h of weather"`
	LostH     float64    `json:"lost_h" doc:"h without service"`
	LowestSoC float64    `json:"lowest_charge_share" doc:"lowest state of charge, 0 to 1"`
	Energy    jsonEnergy `json:"energy_wh" doc:"balance in Wh"`
}

type jsonEnergy struct {
	Possible  float64 `json:"possible" doc:"at the panel's maximum power point"`
	Offered   float64 `json:"offered" doc:"at the held voltage"`
	Refused   float64 `json:"refused" doc:"of it, not taken"`
	Taken     float64 `json:"taken" doc:"of it, taken from the panel"`
	Diode     float64 `json:"diode" doc:"lost in the blocking diode"`
	Charger   float64 `json:"charger" doc:"lost in the charger"`
	Pack      float64 `json:"pack" doc:"lost in the pack"`
	Regulator float64 `json:"regulators" doc:"lost in the regulators"`
	Boot      float64 `json:"starts" doc:"spent on starting"`
	Idle      float64 `json:"charger_idle" doc:"drawn by the charger in the dark"`
	Served    float64 `json:"served" doc:"at the loads"`
	Stored    float64 `json:"stored" doc:"gain of the pack"`
	Unserved  float64 `json:"unserved" doc:"wanted and not there"`
}

func jsonOfEnergy(e *Energy) jsonEnergy {
	return jsonEnergy{e.PossibleWh, e.OfferedWh, e.RefusedWh, e.TakenWh, e.DiodeWh, e.ChargerWh, e.PackWh, e.RegulatorWh, e.BootWh, e.IdleWh, e.ServedWh, e.StoredWh, e.UnservedWh}
}

func present(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// WriteJSON writes the whole review for other programs, in the form named by
// Schema and described in docs/review-json.md. The error is that of the writer.
func (r *Review) WriteJSON(w io.Writer) error {
	out := jsonReview{Schema: Schema, Name: r.Name, First: []int{}, Findings: []jsonFinding{}}
	for _, f := range r.Findings {
		out.Findings = append(out.Findings, jsonFinding{
			Word: f.Word.String(), Topic: string(f.Topic), Quantity: f.Quantity, Value: present(f.Value), Limit: present(f.Limit), Margin: present(f.Margin),
			Unit: f.Unit, Reason: f.Reason, Action: f.Action, Caution: f.Caution, Sure: f.Sure, Missing: f.Missing, Why: f.Why,
		})
	}
	for _, f := range r.First() {
		for i, g := range r.Findings {
			if g.Topic == f.Topic && g.Quantity == f.Quantity {
				out.First = append(out.First, i)
				break
			}
		}
	}
	if y := r.Year; y != nil {
		j := &jsonYear{
			Weather: y.Source, SpanH: y.SpanH, LostH: y.LostH, LongestLostH: y.LongestLostH, Restarts: y.RestartCount,
			LowestSoC: y.LowestSoC, MeanSoC: y.MeanSoC, FrostChargeH: y.FrostChargeH, ColdBlockedH: y.ColdBlockedH, KeptFrac: y.KeptFrac(),
			HottestBoxC: y.HottestBoxC, HottestCellC: y.HottestCellC, ColdestCellC: y.ColdestCellC, WallWetH: present(y.WallWetH), HiddenBeamH: y.HiddenBeamH, BeamH: y.BeamH,
			Energy: jsonOfEnergy(&y.Energy), Months: []jsonMonth{},
		}
		if y.LongestLostH > 0 {
			j.LongestFrom = y.LongestFrom.Format(time.RFC3339)
		}
		for m := range y.Months {
			if x := &y.Months[m]; x.SpanH > 0 {
				j.Months = append(j.Months, jsonMonth{Month: m + 1, SpanH: x.SpanH, LostH: x.LostH, LowestSoC: x.LowestSoC, Energy: jsonOfEnergy(&x.Energy)})
			}
		}
		out.Year = j
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(out)
}

// SchemaReference writes the form of WriteJSON as a Markdown document, from the
// types that it is written by. The error is that of the writer.
func SchemaReference(w io.Writer) error {
	e := &encoder{w: bufio.NewWriter(w)}
	e.line("# The JSON form of a review")
	e.line("")
	e.line("One object, `" + Schema + "`. A number that a verdict does not have is absent.")
	e.line("Fields may be added under the same number; it changes when one is renamed,")
	e.line("removed or given another meaning. This page is generated from the types that")
	e.line("write it; `go test ./station` fails if it is out of date.")
	e.schema(reflect.TypeOf(jsonReview{}), "")
	return e.finish()
}

func (e *encoder) schema(t reflect.Type, path string) {
	e.line("")
	if path != "" {
		e.line("## `" + path + "`")
		e.line("")
	}
	e.line("| field | type | meaning |")
	e.line("|---|---|---|")
	var below []func()
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, optional := strings.Cut(f.Tag.Get("json"), ",")
		kind, inner := jsonType(f.Type)
		if optional {
			kind += ", may be absent"
		}
		e.line(fmt.Sprintf("| `%s` | %s | %s |", name, kind, f.Tag.Get("doc")))
		if inner != nil {
			below = append(below, func() { e.schema(inner, strings.TrimPrefix(path+"."+name, ".")) })
		}
	}
	for _, f := range below {
		f()
	}
}

func jsonType(t reflect.Type) (kind string, inner reflect.Type) {
	switch t.Kind() {
	case reflect.Pointer:
		return jsonType(t.Elem())
	case reflect.Slice:
		k, inner := jsonType(t.Elem())
		return "list of " + k + "s", inner
	case reflect.Struct:
		return "object", t
	case reflect.Int:
		return "whole number", nil
	case reflect.Float64:
		return "number", nil
	}
	return "text", nil
}
