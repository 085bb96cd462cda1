package check

import (
	"fmt"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

func findEnvironment(s *Subject) []Finding {
	var findings []Finding
	limits := s.Day.Sheet.Limits
	for _, e := range s.Day.Sheet.Environment {
		var faults []wording.Text
		faults = outside(faults, "temperature", e.Temperature, limits.Temperature)
		faults = outside(faults, "humidity", percent(e.Humidity), jobsheet.Range[percent]{Low: percent(limits.Humidity.Low), High: percent(limits.Humidity.High)})
		faults = outside(faults, "pressure", e.Pressure, limits.Pressure)
		if len(faults) == 0 {
			continue
		}
		f := dayFinding()
		f.Evidence = s.sheetOf(e.Place)
		at := ""
		if !e.At.IsZero() {
			at = e.At.In(s.Day.Sheet.Report.Zone).Format(clockLayout)
		}
		f.Text = wording.Say("environment", wording.Values{"at": at, "faults": faults})
		findings = append(findings, f)
	}
	return findings
}

// percent is a ratio that is written in percent.
type percent float64

// String writes the percentage without superfluous digits.
func (p percent) String() string { return fmt.Sprintf("%.3g %%", 100*float64(p)) }

// outside appends what is said of a value that lies outside its limits. Undefined
// values and limits say nothing.
func outside[T interface {
	quantity.Number
	fmt.Stringer
}](faults []wording.Text, name string, value T, limits jobsheet.Range[T]) []wording.Text {
	switch {
	case value < limits.Low:
		return append(faults, wording.Say("environment.low", wording.Values{"quantity": name, "value": value, "limit": limits.Low}))
	case value > limits.High:
		return append(faults, wording.Say("environment.high", wording.Values{"quantity": name, "value": value, "limit": limits.High}))
	}
	return faults
}
