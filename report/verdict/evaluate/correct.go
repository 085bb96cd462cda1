package evaluate

import (
	"fmt"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
)

// correct returns the ledger of factors from a reading of the probe to the
// corrected field of a visit, and their product. The product is NaN where the
// probe's correction table does not reach the frequency.
func correct(probe *ingest.Probe, f quantity.Frequency, modulation quantity.Modulation, ofPeak bool) ([]Factor, quantity.Ratio, error) {
	var ledger []Factor
	if probe.Correction != nil {
		level := probe.Correction.At(f)
		ledger = append(ledger, Factor{Name: "probe correction at " + f.String(),
			Source: probe.Correction.File.Path, Value: level.FieldFactor()})
	}
	modulated, err := modulationFactor(probe, modulation, ofPeak)
	if err != nil {
		return nil, 0, err
	}
	ledger = append(ledger, modulated)
	product := quantity.Ratio(1)
	for _, factor := range ledger {
		product *= factor.Value
	}
	return ledger, product, nil
}

// modulationFactor returns M, which brings a reading taken with the modulation
// on back to the level that the requirement speaks of: that of the unmodulated
// carrier, or that of a sine wave with the same peak.
func modulationFactor(probe *ingest.Probe, m quantity.Modulation, ofPeak bool) (Factor, error) {
	factor := Factor{Name: "modulation, " + m.String(), Value: 1, Modulation: true}
	switch {
	case probe.Sheet.Unmodulated:
		factor.Source = "readings were taken unmodulated"
	case m.Kind == quantity.CW:
		factor.Source = "unmodulated carrier"
	case quantity.Defined(probe.Sheet.ModulationFactor):
		factor.Value = probe.Sheet.ModulationFactor
		factor.Source = "measured, job sheet"
	default:
		value, err := m.LevelFactor(probe.Sheet.Detector, ofPeak)
		if err != nil {
			return Factor{}, fmt.Errorf("modulation factor of %s: %w", probe.Sheet.Log.File, err)
		}
		factor.Value = value
		factor.Source = probe.Sheet.Detector + " detector, computed"
		if ofPeak {
			factor.Source += " for the peak"
		}
	}
	return factor, nil
}
