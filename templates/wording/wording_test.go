package wording

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBlocks(t *testing.T) {
	assert.Equal(t, []Block{
		{Paragraph: "First."},
		{Items: []string{"one", "two"}},
		{Paragraph: "Last."},
	}, blocks("First.\r\n\r\n- one\r\n- two\r\n\r\nLast.\r\n"))
}

func TestSafetyNamesTheUsualCautions(t *testing.T) {
	text := ""
	for _, b := range Safety() {
		text += b.Paragraph
		for _, item := range b.Items {
			text += item
		}
	}
	for _, caution := range []string{"in the chamber while", "elements move", "power off", "rated for", "local rules", "authorised"} {
		assert.Contains(t, text, caution)
	}
}

func TestEveryTextHasParagraphs(t *testing.T) {
	for name, text := range map[string][]Block{"limits": Limits(), "statements": Statements()} {
		assert.NotEmpty(t, text[0].Paragraph, name)
	}
	assert.Len(t, Method()[0].Items, 4)
}
