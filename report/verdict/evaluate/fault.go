package evaluate

import "fieldheld/ingest/quantity"

// FaultKind is a kind of reason not to trust a probe at a sample (evaluation.md 3).
type FaultKind uint8

// The kinds of faults of probes.
const (
	NoFault       FaultKind = iota
	MarkedInvalid           // by a status of the log
	NoReading               // missing, no number, or negative
	BelowRange              // of the probe, as the job sheet states it
	AboveRange
	Frozen // one column repeats a value
)

// ProbeFault is why a probe cannot be trusted at a sample.
type ProbeFault struct {
	Kind    FaultKind
	Limit   quantity.FieldStrength // of the range that the reading leaves; 0 for other faults
	Column  string                 // that repeats its value; "" for other faults
	Samples quantity.Samples       // through which it does
}
