package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ModulationKind is how the carrier is modulated.
type ModulationKind int

// The kinds of modulation that the evaluation knows.
const (
	CW    ModulationKind = iota // unmodulated carrier
	Pulse                       // on and off at a rate, with a duty
	AM                          // sine amplitude modulation at a rate, with a depth
)

// Modulation is the modulation of the test signal. Rate and Amount are zero for CW.
type Modulation struct {
	Kind   ModulationKind
	Rate   Frequency
	Amount Ratio // duty of a pulse, depth of an AM, both 0 to 1
}

// ParseModulation reads "CW", "pulse 1 kHz 50 %" or "AM 1 kHz 80 %", whatever
// the case and spacing.
func ParseModulation(text string) (Modulation, error) {
	words := strings.Fields(spaceUnits(text))
	if len(words) == 0 {
		return Modulation{}, fmt.Errorf("no modulation is written")
	}
	var m Modulation
	switch strings.ToLower(words[0]) {
	case "cw", "none", "unmodulated":
		if len(words) > 1 {
			return Modulation{}, fmt.Errorf("an unmodulated carrier has neither rate nor depth")
		}
		return m, nil
	case "pulse", "pm":
		m.Kind = Pulse
	case "am":
		m.Kind = AM
	default:
		return Modulation{}, fmt.Errorf("%q is no modulation that is known", text)
	}
	if len(words) != 5 || words[4] != "%" {
		return Modulation{}, fmt.Errorf("%q does not give a rate and a percentage", text)
	}
	rate, err := ParseFrequency(words[1] + " " + words[2])
	if err != nil {
		return Modulation{}, err
	}
	amount, err := strconv.ParseFloat(strings.Replace(words[3], ",", ".", 1), 64)
	if err != nil || !(amount > 0 && amount <= 100) {
		return Modulation{}, fmt.Errorf("%q is no percentage above 0 and up to 100", words[3])
	}
	m.Rate, m.Amount = rate, Ratio(amount/100)
	return m, nil
}

// spaceUnits puts a blank between a number and the letters or the percent sign
// behind it, so that "1kHz 50%" reads like "1 kHz 50 %".
func spaceUnits(text string) string {
	var b strings.Builder
	var before rune
	for _, r := range text {
		digit := before >= '0' && before <= '9'
		if digit && (r == '%' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z') {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		before = r
	}
	return b.String()
}

// String writes the modulation as ParseModulation reads it.
func (m Modulation) String() string {
	switch m.Kind {
	case Pulse:
		return fmt.Sprintf("pulse %s %s %%", m.Rate, percent(m.Amount))
	case AM:
		return fmt.Sprintf("AM %s %s %%", m.Rate, percent(m.Amount))
	default:
		return "CW"
	}
}

func percent(r Ratio) string { return strconv.FormatFloat(float64(r)*100, 'g', 10, 64) }

// How far a modulation may lie from the required one.
const (
	rateTolerance   = 0.02 // of the required rate
	amountTolerance = 0.05 // of duty or depth, as a difference: five percentage points
)

// Satisfies reports whether a modulation is of the required kind, its rate within
// 2 %, its duty or depth within 5 percentage points of what is required.
func (m Modulation) Satisfies(required Modulation) bool {
	return m.Kind == required.Kind &&
		math.Abs(float64(m.Rate-required.Rate)) <= (rateTolerance+Slack)*float64(required.Rate) &&
		math.Abs(float64(m.Amount-required.Amount)) <= amountTolerance+Slack
}

// The detectors of field probes: what a reading of a modulated field says of it.
const (
	DetectorRMS  = "rms"  // its true RMS value
	DetectorPeak = "peak" // its peak, as the RMS value of a sine wave
	DetectorMean = "mean" // the mean of its envelope
)

// ReadingFactor returns M, the factor that brings a reading taken with the
// modulation on back to the level of the unmodulated carrier; for a pulse, to
// the level while it is on. With duty d and depth m:
//
//	detector   CW   pulse   AM
//	rms        1    1/√d    1/√(1 + m²/2)
//	peak       1    1       1/(1 + m)
//	mean       1    1/d     1
//
// The error names a detector that is not known; an unmodulated carrier needs none.
func (m Modulation) ReadingFactor(detector string) (Ratio, error) {
	if m.Kind == CW {
		return 1, nil
	}
	amount := float64(m.Amount)
	if !(amount > 0 && amount <= 1) {
		return 0, fmt.Errorf("%s has no duty or depth above 0 and up to 100 %%", m)
	}
	pulse := m.Kind == Pulse
	switch detector {
	case DetectorRMS:
		if pulse {
			return Ratio(1 / math.Sqrt(amount)), nil
		}
		return Ratio(1 / math.Sqrt(1+amount*amount/2)), nil
	case DetectorPeak:
		if pulse {
			return 1, nil
		}
		return Ratio(1 / (1 + amount)), nil
	case DetectorMean:
		if pulse {
			return Ratio(1 / amount), nil
		}
		return 1, nil
	}
	return 0, fmt.Errorf("%q is no detector; known are %s, %s and %s", detector, DetectorRMS, DetectorPeak, DetectorMean)
}

// LevelFactor is ReadingFactor where the limit speaks of the unmodulated carrier.
// Where it speaks of a sine wave with the same peak as the modulated field, an AM
// of depth m lies higher by 1 + m; a pulse has its peak while it is on.
func (m Modulation) LevelFactor(detector string, ofPeak bool) (Ratio, error) {
	factor, err := m.ReadingFactor(detector)
	if ofPeak && m.Kind == AM {
		factor *= 1 + m.Amount
	}
	return factor, err
}
