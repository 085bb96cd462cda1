package evidence

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDigestAgreesWithThePublishedValue(t *testing.T) {
	// FIPS 180-4, the example "abc".
	assert.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", Digest([]byte("abc")))
}

func TestManifestIsSortedAndReadsBack(t *testing.T) {
	a, b := Digest([]byte("a")), Digest([]byte("b"))
	entries := []Entry{{"probe/h1.csv", b}, {"job.toml", a}, {"odd\\name\n.csv", b}}
	manifest := Manifest(entries)
	assert.Equal(t, a+"  job.toml\n\\"+b+"  odd\\\\name\\n.csv\n"+b+"  probe/h1.csv\n", string(manifest))
	read, err := ParseManifest(manifest)
	require.NoError(t, err)
	assert.Equal(t, []Entry{{"job.toml", a}, {"odd\\name\n.csv", b}, {"probe/h1.csv", b}}, read)
}

func TestManifestDigestDoesNotDependOnTheOrder(t *testing.T) {
	a, b := Entry{"a", Digest([]byte("1"))}, Entry{"b", Digest([]byte("2"))}
	assert.Equal(t, ManifestDigest([]Entry{a, b}), ManifestDigest([]Entry{b, a}))
	assert.NotEqual(t, ManifestDigest([]Entry{a, b}), ManifestDigest([]Entry{a}))
}

func TestParseManifestRefusesWhatIsNone(t *testing.T) {
	good := Digest([]byte("a"))
	for name, manifest := range map[string]string{
		"one blank":    good + " file\n",
		"no path":      good + "  \n",
		"short digest": good[1:] + "  file\n",
		"upper case":   strings.ToUpper(good) + "  file\n",
		"empty line":   good + "  file\n\n",
	} {
		_, err := ParseManifest([]byte(manifest))
		assert.ErrorContains(t, err, "manifest, line", name)
	}
}
