package requirement

import "strings"

// Override is one key that the job sheet set otherwise than the requirement.
type Override struct {
	Key        string
	Was, Is    string // of the requirement and of the job sheet, in short words: "4 s", "-30 dB"
	Reason     string // of the job sheet; "" where it gives none
	AgreedBy   string // who agreed to a relaxation; "" for what asks for no less
	Relaxation bool   // the day asks for less than the requirement
}

// Relaxations returns the overrides that ask for less than the requirement.
func (r *Requirement) Relaxations() []Override {
	var list []Override
	for _, o := range r.Overrides {
		if o.Relaxation {
			list = append(list, o)
		}
	}
	return list
}

// overrideNames are the keys in words.
var overrideNames = map[string]string{
	"settle": "settling time", "max_gap": "longest gap", "min_samples": "least number of samples", "positions": "antenna positions",
	"sensors": "combination of probes", "tolerance.low": "lower tolerance", "tolerance.high": "upper tolerance", "decision": "decision rule",
}

// Name is the key in words, such as "lower tolerance".
func (o Override) Name() string {
	if name, known := overrideNames[o.Key]; known {
		return name
	}
	return o.Key
}

// NamesPart reports whether the override says which part of the requirement the
// day shows, and changes nothing of what is asked for in it.
func (o Override) NamesPart() bool { return o.Key == "from" || o.Key == "to" || o.Key == "include" }

// demand says what an override makes of the requirement.
type demand bool

// What an override asks for, beside the requirement's own value.
const (
	asksNoLess demand = false
	asksLess   demand = true
)

// lessWhere is asksLess where the condition holds. A comparison with an undefined
// value, such as an upper tolerance that the requirement does not have, does not hold.
func lessWhere(condition bool) demand { return demand(condition) }

// override notes that the sheet sets a key otherwise than the requirement.
func (a *application) override(key, was, is string, asks demand) {
	if was == is {
		return
	}
	o := Override{Key: key, Was: was, Is: is, Reason: a.sheet.Reasons[key], Relaxation: asks == asksLess}
	if table, _, nested := strings.Cut(key, "."); o.Reason == "" && nested {
		o.Reason = a.sheet.Reasons[table]
	}
	if o.Relaxation {
		o.AgreedBy = a.sheet.AgreedBy
	}
	a.r.Overrides = append(a.r.Overrides, o)
}
