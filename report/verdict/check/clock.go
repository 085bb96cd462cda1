package check

import (
	"math"
	"slices"
	"strconv"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

// The clocks of a file and of a dwell record seem apart when what the file shows
// matches too few visits as its times stand, and one offset makes it match most of
// them (ours, no standard gives a figure).
const (
	clockFits      = 0.6              // part of the visits that is enough for no finding
	clockBetter    = 0.8              // part of the visits that an offset must match
	clockRival     = 0.9              // part of the best match at which another offset fits as well
	clockVisits    = 8                // fewer visits say nothing
	clockSteps     = 5                // fewer visits say nothing where the file writes frequencies
	clockElsewhere = 3                // fewer visits without any row say nothing
	clockSampled   = 120              // visits looked at, evenly spread
	clockLeast     = time.Second      // a smaller offset is no finding
	clockMost      = 14 * time.Hour   // as far as a forgotten time zone goes; what is further apart is another sweep
	clockFar       = 2 * time.Minute  // clocks seldom run further apart by themselves
	zoneGrain      = 30 * time.Minute // time zones differ by a multiple of this, as a rule
	clockRounding  = 100 * time.Millisecond
	clockRoundFine = 10 * time.Millisecond
)

// findClock compares the clock of every file with times with the dwell records of
// the runs that name it: one finding a file, whatever number of visits it spoils.
func findClock(s *Subject) []Finding {
	var all []*apart
	matching := map[string]bool{} // dwell records that a file matches as its times stand
	for _, file := range s.timedFiles() {
		for _, u := range file.uses {
			u.matches = file.matches(u)
			matching[u.dwell] = matching[u.dwell] || u.matches && len(u.visits) >= file.fewestVisits()
		}
		all = append(all, s.apart(file)...)
	}
	var findings []Finding
	for _, a := range all {
		a.alone = !matching[a.uses[0].dwell] && slices.ContainsFunc(all, a.isApartLike)
		findings = append(findings, s.clockFinding(a))
	}
	return findings
}

// isApartLike reports whether another file is apart from the same dwell record by the
// same: then that record may be the one whose clock is wrong.
func (a *apart) isApartLike(b *apart) bool {
	return a != b && len(a.dwellRecords()) == 1 && slices.Equal(a.dwellRecords(), b.dwellRecords()) &&
		!a.without && !b.without && len(a.rivals)+len(b.rivals) == 0 && a.low <= b.high && b.low <= a.high
}

// apart is a file whose clock seems apart from that of dwell records, and the visits
// that tell it.
type apart struct {
	file   *timedFile
	uses   []*fileUse
	visits int // looked at
	now    int // of them match as the times stand
	fit
	steps   bool // the frequencies of the file tell it
	without bool // the file has no row in any of the visits, and nothing else tells by how much it is apart
	content []period
	others  bool // the file matches other runs as its times stand
	alone   bool // other files are apart from the dwell record by the same, and none matches it

	mended map[*evaluate.Visit]bool // see explains
}

// apart returns how the clock of a file is apart from those of the dwell records of
// its runs; nothing where it is not. Where it matches some of the runs as it stands,
// the others are looked at by themselves.
func (s *Subject) apart(file *timedFile) []*apart {
	var off []*fileUse
	for _, u := range file.uses {
		if !u.matches {
			off = append(off, u)
		}
	}
	if len(off) == 0 {
		return nil
	}
	groups := [][]*fileUse{off}
	if len(off) < len(file.uses) {
		groups = byDwellRecord(off)
	}
	var list []*apart
	for _, uses := range groups {
		a := s.search(file, uses)
		if a == nil {
			a = file.elsewhere(uses)
		}
		if a != nil {
			a.others = len(off) < len(file.uses)
			list = append(list, a)
		}
	}
	return list
}

// elsewhere tells a file that has no row at all in any of the visits.
func (f *timedFile) elsewhere(uses []*fileUse) *apart {
	a := &apart{file: f, uses: uses, without: true}
	for _, u := range uses {
		for _, v := range u.visits {
			a.visits++
			if from, to := within(f.times, v.start, v.end); from < to {
				return nil
			}
		}
	}
	if a.visits < clockElsewhere || len(f.times) == 0 {
		return nil
	}
	return a
}

// span is from the beginning of the first visit of a group to the end of the last.
func (a *apart) span() (first, last quantity.Instant) {
	first, last = a.uses[0].visits[0].start, a.uses[0].visits[0].end
	for _, u := range a.uses {
		for _, v := range u.visits {
			first, last = min(first, v.start), max(last, v.end)
		}
	}
	return first, last
}

// byDwellRecord parts uses by the dwell record with which they are compared.
func byDwellRecord(uses []*fileUse) [][]*fileUse {
	var files []string
	groups := map[string][]*fileUse{}
	for _, u := range uses {
		name := u.dwell
		if !slices.Contains(files, name) {
			files = append(files, name)
		}
		groups[name] = append(groups[name], u)
	}
	var list [][]*fileUse
	for _, name := range files {
		list = append(list, groups[name])
	}
	return list
}

// search looks for the offset with which the file matches the visits of the uses:
// by level, frequency and gaps together, else by frequency and gaps alone: levels of
// several decades in one file leave no idle level to tell them from.
func (s *Subject) search(file *timedFile, uses []*fileUse) *apart {
	var visits []*moment
	for _, u := range uses {
		visits = append(visits, u.visits...)
	}
	if visits = spread(visits); len(visits) < file.fewestVisits() {
		return nil
	}
	for _, byLevel := range []bool{true, false} {
		content := file.content(byLevel)
		if len(content) < len(visits)/2 { // without an edge for every other visit it says nothing
			continue
		}
		now := 0
		for _, v := range visits {
			if v.agrees || v.here || v.within(content, 0) {
				now++
			}
		}
		if now >= part(visits, clockFits) {
			return nil
		}
		found := bestFit(visits, s.without(content, uses))
		if found.agree < part(visits, clockBetter) {
			continue
		}
		if slices.ContainsFunc(append(found.rivals, found.shift), func(d time.Duration) bool { return d.Abs() < clockLeast }) {
			return nil // it may be right
		}
		a := &apart{file: file, uses: uses, visits: len(visits), now: now, fit: found, steps: file.writesFrequencies(), content: content}
		a.refine(visits)
		return a
	}
	return nil
}

// part is how many visits a part of them is.
func part(visits []*moment, part float64) int { return int(math.Ceil(part * float64(len(visits)))) }

// without leaves out what other runs of the day account for as the times stand: a
// file that belongs to another run is not to be moved to this one.
func (s *Subject) without(content []period, uses []*fileUse) []period {
	own := map[int]bool{}
	for _, u := range uses {
		own[u.run] = true
	}
	taken := map[int]bool{}
	for i := range s.Evaluated.Runs {
		if own[i] {
			continue
		}
		visits := s.moments(i, uses[0].resolution)
		var matched []int
		for _, v := range visits {
			if k := v.find(content, 0); k >= 0 {
				matched = append(matched, k)
			}
		}
		if len(matched) > 0 && len(matched) >= part(visits, clockFits) {
			for _, k := range matched {
				taken[k] = true
			}
		}
	}
	if len(taken) == 0 {
		return content
	}
	var left []period
	for i, p := range content {
		if !taken[i] {
			left = append(left, p)
		}
	}
	return left
}

// spread returns at most clockSampled of the visits, evenly spread.
func spread(visits []*moment) []*moment {
	if len(visits) <= clockSampled {
		return visits
	}
	chosen := make([]*moment, clockSampled)
	for i := range chosen {
		chosen[i] = visits[i*len(visits)/clockSampled]
	}
	return chosen
}

// clockFinding says how the clock of a file is apart. Where several offsets match
// as well it gives none.
func (s *Subject) clockFinding(a *apart) Finding {
	f := dayFinding()
	runs := a.runs()
	if len(runs) == 1 {
		f = runFinding(&s.Evaluated.Runs[runs[0]])
	}
	f.ActsOn, f.apart = runs, a
	entry := &a.file.entry
	f.Evidence = []Evidence{{File: entry.File, Sheet: entry.Sheet}}
	if a.without {
		begun, ended := a.span()
		zone, times := s.Day.Sheet.Report.Zone, a.file.times
		f.Text = wording.Say("clock.elsewhere", wording.Values{"file": entry.File, "visits": a.visits, "dwell": a.dwellRecords(),
			"first": timeText(times[0], zone), "last": timeText(times[len(times)-1], zone), "begun": timeText(begun, zone), "ended": timeText(ended, zone)})
		return f
	}
	if len(a.rivals) > 0 {
		var offsets []string
		for _, shift := range slices.Insert(slices.Clone(a.rivals), 0, a.shift) {
			offsets = append(offsets, offsetText(shift+entry.ClockOffset))
		}
		f.Text = wording.Say("clock.several", wording.Values{"file": entry.File, "dwell": a.dwellRecords(), "what": a.what(), "now": a.now, "visits": a.visits,
			"agree": a.agree, "offsets": offsets[:min(len(offsets), 3)]})
		return f
	}
	offset := offsetText(a.shift + entry.ClockOffset)
	stated := ""
	if entry.ClockOffset != 0 {
		stated = offsetText(entry.ClockOffset)
	}
	f.Cause = offset
	f.Text = wording.Say("clock", wording.Values{"file": entry.File, "dwell": a.dwellRecords(), "what": a.what(), "now": a.now, "visits": a.visits,
		"apart": spanText(a.shift.Abs()), "behind": a.shift > 0, "agree": a.agree, "spread": offsetText(a.spread), "offset": offset, "stated": stated,
		"zone": a.isZone(), "far": a.shift.Abs() > clockFar && !a.isZone(), "record": a.others || a.alone})
	return f
}

// runs are the indices of the runs concerned, each once.
func (a *apart) runs() []int {
	var runs []int
	for _, u := range a.uses {
		if !slices.Contains(runs, u.run) {
			runs = append(runs, u.run)
		}
	}
	return runs
}

// dwellRecords names the records with which the file is compared.
func (a *apart) dwellRecords() []string {
	var names []string
	for _, u := range a.uses {
		if !slices.Contains(names, u.dwell) {
			names = append(names, u.dwell)
		}
	}
	return names
}

// isZone reports whether the clocks are apart as two time zones are.
func (a *apart) isZone() bool { return a.shift%zoneGrain == 0 }

// what names what of the file tells it.
func (a *apart) what() wording.Text {
	switch {
	case a.steps:
		return wording.Say("clock.frequency", nil)
	case a.file.isPower:
		return wording.Say("clock.power", nil)
	}
	return wording.Say("clock.field", nil)
}

// timeText writes a time to the second, with its zone.
func timeText(at quantity.Instant, zone *time.Location) string {
	return at.In(zone).Format("2006-01-02 15:04:05 MST")
}

// offsetText writes an offset as the job sheet does: "7.2 s", "-3600 s".
func offsetText(d time.Duration) string {
	return strconv.FormatFloat(d.Round(time.Millisecond).Seconds(), 'f', -1, 64) + " s"
}

// spanText writes how far clocks are apart for people: "2 h", "1 min 1 s", "7.2 s".
func spanText(d time.Duration) string {
	hours, minutes := d/time.Hour, d%time.Hour/time.Minute
	text := ""
	if hours > 0 {
		text = strconv.Itoa(int(hours)) + " h "
	}
	if minutes > 0 {
		text += strconv.Itoa(int(minutes)) + " min "
	}
	if rest := d % time.Minute; rest > 0 {
		return text + offsetText(rest)
	}
	return text[:max(0, len(text)-1)]
}

// explains reports whether a finding of a visit is a consequence of the clock: the
// visit does not match as the times stand, and does with the offset that is proposed.
func (a *apart) explains(v *evaluate.Visit) bool {
	if a.mended == nil {
		a.mended = map[*evaluate.Visit]bool{}
		for _, u := range a.uses {
			for _, m := range u.visits {
				a.mended[m.visit] = a.mends(m)
			}
		}
	}
	return a.mended[v]
}
