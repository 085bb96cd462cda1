package evaluate

import (
	"cmp"
	"slices"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
)

// probePlace is a place of a run at which probes followed one another: one source.
// At every moment at most one of them was in use.
type probePlace struct {
	entries []*probeLog // in the order of their times

	visit  []*probeLog // those with readings in the visit at hand
	joined series      // of the visit at hand, where there are several
}

// newPlace prepares a place of a run, given by the indices of its entries.
func newPlace(run *ingest.Run, entries []int, windows []window) source {
	p := &probePlace{}
	for _, i := range entries {
		p.entries = append(p.entries, newProbeLog(i, &run.Probes[i], windows))
	}
	if len(entries) == 1 && !p.entries[0].probe.Sheet.IsBounded() {
		return p.entries[0] // one probe from beginning to end
	}
	return p
}

// figures computes what the probes of the place say of one visit.
func (p *probePlace) figures(v *Visit, w window) (SourceFigures, error) {
	p.visit = p.visit[:0]
	for _, entry := range p.entries {
		if s := entry.spans[v.Index]; s.from < s.to {
			p.visit = append(p.visit, entry)
		}
	}
	if len(p.visit) == 0 { // one that was in use, and read nothing
		for _, entry := range p.entries {
			if part := w.cut(entry.valid); part.start < part.end && len(p.visit) == 0 {
				p.visit = append(p.visit, entry)
			}
		}
	}
	switch len(p.visit) {
	case 0:
		p.joined.reset(0, 0, 0)
		return nothingRead(), nil
	case 1:
		return p.visit[0].figures(v, w)
	}
	return p.join(v, w)
}

// nothingRead are the figures of a source that had no probe in use.
func nothingRead() SourceFigures {
	undefined := quantity.Undefined[quantity.FieldStrength]()
	return SourceFigures{Probe: -1, Factor: 1, Minimum: undefined, Median: undefined, Maximum: undefined, LowestRaw: undefined,
		OtherFrequency: quantity.Undefined[quantity.Frequency]()}
}

// join puts the figures of a visit together within which the probe was changed. What
// one part lacks the whole lacks.
func (p *probePlace) join(v *Visit, w window) (SourceFigures, error) {
	p.joined.reset(0, float64(w.end.Sub(w.start)), 0)
	joint := nothingRead()
	joint.Probe = 0
	for _, entry := range p.visit {
		part, err := entry.figures(v, w)
		if err != nil {
			return joint, err
		}
		joint.add(&part, len(p.joined.at))
		p.joined.join(&entry.samples)
	}
	joint.speakAs(slices.MaxFunc(joint.Each(), func(a, b *SourceFigures) int { return cmp.Compare(a.Samples+a.Invalid, b.Samples+b.Invalid) }))
	factor := quantity.Ratio(1)
	for i := range joint.Parts {
		factor *= joint.Parts[i].Factor
	}
	if !quantity.Defined(factor) {
		joint.Factor = factor
	}
	if joint.Samples > 0 && quantity.Defined(factor) && !joint.NoField {
		joint.summarise(&p.joined, nil)
	}
	if m := joint.Parts[0].modulated(); !joint.Levelled && quantity.Defined(factor) && v.Limit > 0 && v.Modulation.Kind != quantity.CW && !p.visit[0].probe.Sheet.Unmodulated {
		joint.SecondPart, joint.Levelled = p.joined.falls(float64(m), func(i int) float64 { return p.joined.field[i] })
	}
	return joint, nil
}

// add counts a part of the visit whose samples stand behind so many others.
func (figures *SourceFigures) add(part *SourceFigures, behind int) {
	figures.Parts = append(figures.Parts, *part)
	figures.Samples += part.Samples
	figures.Invalid += part.Invalid
	figures.Faulty += part.Faulty
	figures.Disagreeing += part.Disagreeing
	figures.Shared += part.Shared
	figures.NoField = figures.NoField || part.NoField
	for _, why := range part.Faults {
		figures.addFault(why)
	}
	if !quantity.Defined(figures.OtherFrequency) {
		figures.OtherFrequency = part.OtherFrequency
	}
	if part.Levelled && !figures.Levelled {
		figures.Levelled, figures.SecondPart = true, behind+part.SecondPart
	}
}

// speakAs lets the figures name the probe, the log and the factors of a part.
func (figures *SourceFigures) speakAs(part *SourceFigures) {
	figures.Probe, figures.Asset, figures.File, figures.Window = part.Probe, part.Asset, part.File, part.Window
	figures.Ledger, figures.Factor = part.Ledger, part.Factor
}

// series is the samples of the visit at hand.
func (p *probePlace) series() *series {
	if len(p.visit) == 1 {
		return p.visit[0].series()
	}
	return &p.joined
}

// reading is a sample of the visit at hand.
func (p *probePlace) reading(v *Visit, sample int) (part, row int, raw quantity.FieldStrength) {
	for part = range p.visit {
		if n := len(p.visit[part].samples.at); sample >= n {
			sample -= n
			continue
		}
		break
	}
	_, row, raw = p.visit[part].reading(v, sample)
	return part, row, raw
}
