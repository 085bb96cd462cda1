package plan

import (
	"encoding/json"
	"math"
	"time"

	"fieldheld/ingest/quantity"
)

// schema is the version of the JSON document.
const schema = 1

// The JSON document. Figures that are not known are absent, never zero.

type jsonPlan struct {
	Schema      int             `json:"schema"`
	Article     string          `json:"article"`
	Requirement string          `json:"requirement"`
	Source      string          `json:"source"`
	Date        string          `json:"date,omitempty"`
	Modulation  string          `json:"modulation"`
	Dwell       float64         `json:"dwell_s"`
	Settle      float64         `json:"settle_s"`
	Levelling   float64         `json:"levelling_s"`
	StepTime    float64         `json:"step_time_s"`
	Steps       int             `json:"steps"`
	Time        float64         `json:"time_s"`
	Cells       []jsonCell      `json:"cells"`
	Equipment   []jsonEquipment `json:"equipment"`
	Concerns    []string        `json:"concerns"`
	Notes       []string        `json:"notes"`
}

type jsonCell struct {
	Polarization quantity.Polarization `json:"polarization"`
	Position     quantity.Position     `json:"position"`
	Positions    int                   `json:"positions"`
	From         float64               `json:"from_hz"`
	To           float64               `json:"to_hz"`
	Centre       *float64              `json:"centre_m,omitempty"`
	Spacing      *float64              `json:"spacing_m,omitempty"`
	Time         float64               `json:"time_s"`
	Reached      int                   `json:"in_reach"`
	Short        int                   `json:"out_of_reach"`
	NoRating     int                   `json:"no_rating"`
	NoForecast   int                   `json:"no_forecast"`
	Ratings      []jsonRating          `json:"ratings"`
	Steps        []jsonStep            `json:"steps"`
}

type jsonRating struct {
	Part   string   `json:"part"`
	Power  float64  `json:"power_w"`
	Least  *float64 `json:"least_headroom_db,omitempty"`
	At     *float64 `json:"at_hz,omitempty"`
	Beyond int      `json:"steps_beyond"`
}

type jsonStep struct {
	Frequency float64  `json:"frequency_hz"`
	Limit     *float64 `json:"limit_v_per_m,omitempty"`
	Aim       *float64 `json:"aim_v_per_m,omitempty"`
	Forward   *float64 `json:"forward_w,omitempty"`
	Peak      *float64 `json:"peak_w,omitempty"`
	Headroom  *float64 `json:"headroom_db,omitempty"`
	Part      string   `json:"limited_by,omitempty"`
	Reach     string   `json:"reach"`
	Why       string   `json:"why,omitempty"`
}

type jsonEquipment struct {
	Asset      string `json:"asset"`
	Role       string `json:"role"`
	Calibrated string `json:"calibrated,omitempty"`
	Due        string `json:"due,omitempty"`
	State      string `json:"state"`
	Fault      bool   `json:"fault"`
}

// JSON writes the plan as one JSON document.
func (p *Plan) JSON() ([]byte, error) {
	document := jsonPlan{Schema: schema, Article: p.Sheet.Article.Name, Requirement: p.Requirement.Title, Source: p.Requirement.Source,
		Date: day(p.Date), Modulation: p.Requirement.Modulation.String(), Dwell: p.Requirement.Required().Seconds(),
		Settle: p.Settle.Seconds(), Levelling: p.Levelling.Seconds(), StepTime: p.StepTime.Seconds(), Steps: p.Steps,
		Time: p.Time.Seconds(), Cells: []jsonCell{}, Equipment: []jsonEquipment{},
		Concerns: append([]string{}, p.Concerns...), Notes: append([]string{}, p.Notes...)}
	for i := range p.Cells {
		document.Cells = append(document.Cells, cellJSON(&p.Cells[i]))
	}
	for i := range p.Equipment {
		e := &p.Equipment[i]
		document.Equipment = append(document.Equipment, jsonEquipment{e.Asset, e.Role, day(e.Calibrated), day(e.Due), e.State, e.Fault != ""})
	}
	data, err := json.MarshalIndent(document, "", " ")
	return append(data, '\n'), err
}

func cellJSON(c *Cell) jsonCell {
	out := jsonCell{Polarization: c.Polarization, Position: c.Position, Positions: c.Positions, From: float64(c.From), To: float64(c.To),
		Centre: known(c.Centre), Spacing: known(c.Spacing), Time: c.Time.Seconds(), Reached: c.Count.Reached, Short: c.Count.Short,
		NoRating: c.Count.NoRating, NoForecast: c.Count.NoForecast, Ratings: []jsonRating{}, Steps: []jsonStep{}}
	for _, r := range c.Ratings {
		out.Ratings = append(out.Ratings, jsonRating{r.Part, float64(r.Power), known(r.Least), known(r.At), r.Beyond})
	}
	for i := range c.Steps {
		s := &c.Steps[i]
		out.Steps = append(out.Steps, jsonStep{float64(s.Frequency), known(s.Limit), known(s.Aim), known(s.Forward), known(s.Peak),
			known(s.Headroom), s.Part, s.Reach.String(), s.Why})
	}
	return out
}

// known returns the figure, or nil where it is not known.
func known[T quantity.Number](x T) *float64 {
	if value := float64(x); !math.IsNaN(value) && !math.IsInf(value, 0) {
		return &value
	}
	return nil
}

// day writes a date, "" for none.
func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}
