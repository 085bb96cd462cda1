package report

import (
	"encoding/json"
	"math"
	"time"

	"fieldheld/ingest/quantity"
)

// schema is the version of the JSON document.
const schema = 1

// The JSON document. Figures that are undefined are absent, never zero.

type jsonReport struct {
	Schema      int              `json:"schema"`
	Day         DayState         `json:"day"`
	Report      string           `json:"report"`
	Revision    int              `json:"revision"`
	Draft       bool             `json:"draft"`
	Manifest    string           `json:"manifest_sha256"` // digest of the manifest of the input files
	Answer      string           `json:"answer"`
	InNumbers   string           `json:"answer_in_numbers"`
	Behaviour   string           `json:"behaviour"`
	Uncertainty *jsonUncertainty `json:"uncertainty,omitempty"`
	Cells       []jsonCell       `json:"cells"`
	Runs        []jsonRun        `json:"runs"`
	Findings    []jsonFinding    `json:"findings"`
	Repeat      []jsonRepeat     `json:"repeat"`
	Overrides   []jsonOverride   `json:"overrides"`
	Probes      []jsonProbe      `json:"probes,omitempty"`      // of runs that have several
	ProbeTimes  []jsonProbeTimes `json:"probe_times,omitempty"` // of runs that name probes for a part of their time
	OtherRows   []jsonOtherRow   `json:"other_rows,omitempty"`  // of dwell records, that are no test steps
}

type jsonOverride struct {
	Key         string `json:"key"`
	Requirement string `json:"requirement"`
	Day         string `json:"day"`
	Relaxation  bool   `json:"relaxation"`
	Reason      string `json:"reason,omitempty"`
	AgreedBy    string `json:"agreed_by,omitempty"`
}

type jsonUncertainty struct {
	Standard         float64  `json:"standard_db"`
	CoverageFactor   float64  `json:"coverage_factor"`
	Expanded         float64  `json:"expanded_db"`
	DegreesOfFreedom *float64 `json:"effective_degrees_of_freedom,omitempty"`
}

type jsonCell struct {
	Polarization quantity.Polarization `json:"polarization"`
	Position     quantity.Position     `json:"position"`
	From         float64               `json:"from_hz"`
	To           float64               `json:"to_hz"`
	State        string                `json:"state"`
	Steps        int                   `json:"steps"`
	StepsMet     int                   `json:"steps_met"`
	Holes        []jsonRange           `json:"holes"`
	NoLevel      int                   `json:"steps_without_level,omitempty"`
	Why          string                `json:"why,omitempty"`
	Statistics   *jsonStatistics       `json:"statistics,omitempty"`
}

type jsonRange struct {
	From float64 `json:"from_hz"`
	To   float64 `json:"to_hz"`
}

type jsonExtreme struct {
	Value     float64 `json:"value"`
	Frequency float64 `json:"frequency_hz"`
	Run       string  `json:"run"`
}

type jsonStatistics struct {
	LeastMargin     *jsonExtreme `json:"least_margin_db,omitempty"`
	MedianMargin    *jsonExtreme `json:"median_margin_db,omitempty"`
	GreatestMargin  *jsonExtreme `json:"greatest_margin_db,omitempty"`
	LeastHeld       *jsonExtreme `json:"least_held_s,omitempty"`
	GreatestVSWR    *jsonExtreme `json:"greatest_vswr,omitempty"`
	GreatestForward *jsonExtreme `json:"greatest_forward_w,omitempty"`
	Headroom        *float64     `json:"headroom_db,omitempty"`
	Risk            *float64     `json:"specific_risk,omitempty"`
}

type jsonRun struct {
	ID           string                `json:"id"`
	Polarization quantity.Polarization `json:"polarization"`
	Position     quantity.Position     `json:"position"`
	Visits       []jsonVisit           `json:"visits"`
}

type jsonVisit struct {
	Frequency   float64          `json:"frequency_hz"`
	Start       string           `json:"start"`
	End         string           `json:"end"`
	State       string           `json:"state"`
	Limit       *float64         `json:"limit_v_per_m,omitempty"`
	Required    float64          `json:"required_s"`
	Sustained   *float64         `json:"sustained_v_per_m,omitempty"`
	Available   *float64         `json:"available_v_per_m,omitempty"`
	Minimum     *float64         `json:"minimum_v_per_m,omitempty"`
	Median      *float64         `json:"median_v_per_m,omitempty"`
	Maximum     *float64         `json:"maximum_v_per_m,omitempty"`
	Held        *float64         `json:"held_s,omitempty"`
	Samples     quantity.Samples `json:"samples"`
	Margin      *float64         `json:"margin_db,omitempty"`
	Conformance *float64         `json:"conformance_probability,omitempty"`
	Forward     *float64         `json:"forward_w,omitempty"`
	Reflected   *float64         `json:"reflected_w,omitempty"`
	VSWR        *float64         `json:"vswr,omitempty"`
}

type jsonProbe struct {
	Run       string           `json:"run"`
	Visit     int              `json:"visit"` // from 1, in the order of the run's
	Frequency float64          `json:"frequency_hz"`
	Asset     string           `json:"asset,omitempty"`
	File      string           `json:"file"`
	Samples   quantity.Samples `json:"samples"`
	Invalid   quantity.Samples `json:"invalid_samples,omitempty"`
	Minimum   *float64         `json:"minimum_v_per_m,omitempty"`
	Median    *float64         `json:"median_v_per_m,omitempty"`
	Maximum   *float64         `json:"maximum_v_per_m,omitempty"`
	Deciding  bool             `json:"deciding,omitempty"` // its reading gives the level
}

type jsonProbeTimes struct {
	Run      string           `json:"run"`
	Place    string           `json:"place,omitempty"`
	Asset    string           `json:"asset,omitempty"`
	File     string           `json:"file"`
	From     string           `json:"from,omitempty"` // as the job sheet says
	To       string           `json:"to,omitempty"`
	First    string           `json:"first,omitempty"` // of the time of visits within them
	Last     string           `json:"last,omitempty"`
	Readings quantity.Samples `json:"readings"`      // in visits
	Left     quantity.Samples `json:"left_readings"` // in visits, while the probe was not in use
}

type jsonFinding struct {
	Check        string                `json:"check"`
	State        string                `json:"state"`
	Run          string                `json:"run,omitempty"`
	Polarization quantity.Polarization `json:"polarization,omitempty"`
	Position     quantity.Position     `json:"position,omitempty"`
	From         *float64              `json:"from_hz,omitempty"`
	To           *float64              `json:"to_hz,omitempty"`
	Message      string                `json:"message"`
	Evidence     []jsonEvidence        `json:"evidence"`
	Group        int                   `json:"group,omitempty"`
	Follows      int                   `json:"follows,omitempty"` // number, from 1, of the finding on a clock that it follows from
}

type jsonEvidence struct {
	File string `json:"file"`
	Rows []int  `json:"rows,omitempty"`
}

type jsonRepeat struct {
	Polarization quantity.Polarization `json:"polarization"`
	Position     quantity.Position     `json:"position"`
	Frequency    float64               `json:"frequency_hz"`
	Why          string                `json:"why"`
}

// JSON writes the verdicts, figures and findings as one JSON document.
func (r *Report) JSON() ([]byte, error) {
	document := jsonReport{Schema: schema, Day: r.State, Report: r.Sheet.Report.Number, Revision: r.Sheet.Report.Revision, Draft: r.Draft(), Manifest: r.ManifestDigest, Answer: r.Answer, InNumbers: r.InNumbers, Behaviour: r.Behaviour,
		Cells: []jsonCell{}, Runs: []jsonRun{}, Findings: []jsonFinding{}, Repeat: []jsonRepeat{}, Overrides: []jsonOverride{}}
	if b := r.Budget; b != nil {
		document.Uncertainty = &jsonUncertainty{Standard: float64(b.Standard), CoverageFactor: float64(b.CoverageFactor),
			Expanded: float64(b.Expanded), DegreesOfFreedom: defined(b.DegreesOfFreedom)}
	}
	for i := range r.Cells {
		document.Cells = append(document.Cells, cellJSON(r, &r.Cells[i]))
	}
	for i := range r.Runs {
		run := &r.Runs[i]
		out := jsonRun{ID: run.ID, Polarization: run.Polarization, Position: run.Position, Visits: []jsonVisit{}}
		for _, v := range run.Visits {
			out.Visits = append(out.Visits, visitJSON(v))
		}
		document.Runs = append(document.Runs, out)
		document.Probes = append(document.Probes, probesJSON(run)...)
		document.OtherRows = append(document.OtherRows, otherRowsJSON(run)...)
		document.ProbeTimes = append(document.ProbeTimes, probeTimesJSON(run)...)
	}
	for i := range r.Findings {
		document.Findings = append(document.Findings, findingJSON(&r.Findings[i]))
	}
	for _, repeat := range r.Repeat {
		document.Repeat = append(document.Repeat, jsonRepeat{repeat.Polarization, repeat.Position, float64(repeat.Frequency), repeat.Why})
	}
	for _, o := range r.Requirement.Overrides {
		document.Overrides = append(document.Overrides, jsonOverride{o.Key, o.Was, o.Is, o.Relaxation, o.Reason, o.AgreedBy})
	}
	data, err := json.MarshalIndent(document, "", " ")
	return append(data, '\n'), err
}

// defined returns the figure, or nil where it is not defined or not finite.
func defined[T quantity.Number](x T) *float64 {
	if value := float64(x); !math.IsNaN(value) && !math.IsInf(value, 0) {
		return &value
	}
	return nil
}

func cellJSON(r *Report, c *Cell) jsonCell {
	out := jsonCell{Polarization: c.Polarization, Position: c.Position, From: float64(c.From), To: float64(c.To),
		State: c.State.String(), Steps: len(c.Steps), StepsMet: c.StepsMet, Holes: []jsonRange{},
		NoLevel: c.Statistics.NoLevel, Why: r.Why(c)}
	for _, hole := range c.Holes {
		out.Holes = append(out.Holes, jsonRange{float64(hole.From), float64(hole.To)})
	}
	s := &c.Statistics
	out.Statistics = &jsonStatistics{LeastMargin: extremeJSON(s.LeastMargin), MedianMargin: extremeJSON(s.MedianMargin),
		GreatestMargin: extremeJSON(s.GreatestMargin), LeastHeld: extremeJSON(s.LeastHeld), GreatestVSWR: extremeJSON(s.GreatestVSWR),
		GreatestForward: extremeJSON(s.GreatestForward), Headroom: defined(s.Headroom), Risk: defined(quantity.Ratio(s.Risk))}
	return out
}

func extremeJSON(e Extreme) *jsonExtreme {
	if math.IsNaN(e.Value) {
		return nil
	}
	return &jsonExtreme{Value: e.Value, Frequency: float64(e.Frequency), Run: e.Run}
}

func visitJSON(v *Visit) jsonVisit {
	return jsonVisit{Frequency: float64(v.Frequency()), Start: v.Record.Start.UTC().Format(time.RFC3339Nano),
		End: v.Record.End.UTC().Format(time.RFC3339Nano), State: v.State.String(), Limit: defined(v.Limit),
		Required: v.Required.Seconds(), Sustained: defined(v.Sustained), Available: defined(v.Available), Minimum: defined(v.Minimum), Median: defined(v.Median),
		Maximum: defined(v.Maximum), Held: defined(v.Held), Samples: v.Samples, Margin: defined(v.Margin),
		Conformance: defined(quantity.Ratio(v.Conformance)), Forward: defined(v.Power.Forward),
		Reflected: defined(v.Power.Reflected), VSWR: defined(v.Power.VSWR)}
}

// probesJSON lists what each probe shows of each visit by itself, where the run has
// several.
func probesJSON(run *Run) []jsonProbe {
	var list []jsonProbe
	for k, v := range run.Visits {
		for i := range v.Sources {
			for _, p := range v.Sources[i].Each() {
				if len(run.Sheet.Probes) < 2 && len(v.Sources) < 2 {
					continue
				}
				list = append(list, jsonProbe{Run: run.ID, Visit: k + 1, Frequency: float64(v.Frequency()), Asset: p.Asset, File: p.File, Samples: p.Samples,
					Invalid: p.Invalid, Minimum: defined(p.Minimum), Median: defined(p.Median), Maximum: defined(p.Maximum), Deciding: p.LowestRow > 0})
			}
		}
	}
	return list
}

// probeTimesJSON lists when the probes of a run were in use, where the sheet says it.
func probeTimesJSON(run *Run) []jsonProbeTimes {
	var list []jsonProbeTimes
	at := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return t.UTC().Format(time.RFC3339Nano)
	}
	for _, u := range run.Uses {
		p := &run.Sheet.Probes[u.Probe]
		times := jsonProbeTimes{Run: run.ID, Place: p.Standing, Asset: p.Asset, File: p.Log.File, From: at(p.From), To: at(p.To),
			Readings: u.Readings, Left: u.Left}
		if u.InUse() {
			times.First, times.Last = at(u.First.UTC()), at(u.Last.UTC())
		}
		list = append(list, times)
	}
	return list
}

func findingJSON(f *Finding) jsonFinding {
	out := jsonFinding{Check: f.Check, State: string(f.State), Run: f.Run, Polarization: f.Polarization, Position: f.Position,
		From: defined(f.From), To: defined(f.To), Message: f.Message(), Evidence: []jsonEvidence{}, Group: f.Group, Follows: f.Follows}
	if meaning := f.Meaning(); meaning != "" {
		out.Message += " " + meaning
	}
	for _, e := range f.Evidence {
		evidence := jsonEvidence{File: e.File}
		if e.First > 0 {
			evidence.Rows = []int{e.First, e.Last}
		}
		out.Evidence = append(out.Evidence, evidence)
	}
	return out
}
