package wording

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
)

func TestTextWritesItsSentenceAndParts(t *testing.T) {
	inner := Say("position.no-run", Values{"position": 2, "polarization": "vertical"})
	outer := Say("event", Values{"faults": []Text{inner, Say("event.no-frequency", nil)}})
	assert.Equal(t, "No run stands at antenna position 2 with vertical polarization here. The event has no frequency.", outer.String())
	assert.Empty(t, outer.Part("meaning"), "a part that the language does not have")
	assert.Contains(t, Say("overlevel", Values{"field": 1, "off": 2, "highest": 3}).Part("meaning"), "reaction")
	assert.Empty(t, Text{}.String())
	assert.True(t, Text{}.IsZero())
}

// TestFaultOfWordingHidesNoFact writes what no template knows, or what one cannot write.
func TestFaultOfWordingHidesNoFact(t *testing.T) {
	assert.Equal(t, "no.such-code map[asset:FP-03]", Say("no.such-code", Values{"asset": "FP-03"}).String())
	assert.Equal(t, "position.unknown map[other:1]", Say("position.unknown", Values{"other": 1}).String())
	assert.Equal(t, "event map[faults:7]", Say("event", Values{"faults": 7}).String(), "a number is no list")
}

// TestAnotherLanguageIsOneFolder writes a text in words of another order.
func TestAnotherLanguageIsOneFolder(t *testing.T) {
	other := mustRead(fstest.MapFS{"x/findings.tmpl": {Data: []byte(
		`{{define "position.no-run"}}Position {{.position}}: kein Lauf {{.polarization}}.{{end}}`)}}, "x")
	text := Say("position.no-run", Values{"position": 2, "polarization": "vertikal"})
	assert.Equal(t, "Position 2: kein Lauf vertikal.", other.render(text.Code, text))
}
