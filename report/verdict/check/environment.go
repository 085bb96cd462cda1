package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

func findEnvironment(s *Subject) []Finding {
	var findings []Finding
	limits := s.Day.Sheet.Limits
	for _, e := range s.Day.Sheet.Environment {
		var faults []string
		faults = outside(faults, "temperature", e.Temperature, limits.Temperature)
		faults = outside(faults, "relative humidity", percent(e.Humidity), jobsheet.Range[percent]{Low: percent(limits.Humidity.Low), High: percent(limits.Humidity.High)})
		faults = outside(faults, "pressure", e.Pressure, limits.Pressure)
		if len(faults) == 0 {
			continue
		}
		f := dayFinding()
		f.Evidence = s.sheetOf(e.Place)
		f.Message = "The " + strings.Join(faults, ", the ") + "."
		if !e.At.IsZero() {
			f.Message = fmt.Sprintf("At %s the %s.", e.At.In(s.Day.Sheet.Report.Zone).Format(clockLayout), strings.Join(faults, ", the "))
		}
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
}](faults []string, name string, value T, limits jobsheet.Range[T]) []string {
	switch {
	case value < limits.Low:
		return append(faults, fmt.Sprintf("%s of %s is below the lower limit of %s", name, value, limits.Low))
	case value > limits.High:
		return append(faults, fmt.Sprintf("%s of %s is above the upper limit of %s", name, value, limits.High))
	}
	return faults
}
