package licences_test

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/templates/licences"
)

// linkedModules asks the go command, on behalf of every system that a release is
// built for.
func linkedModules(t *testing.T) []string {
	t.Helper()
	lookAtSources(t)
	found := map[string]bool{}
	for _, system := range []string{"linux", "windows", "darwin"} {
		list := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}{{end}}{{end}}", "fieldheld/cmd/fieldheld")
		list.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		list.Stderr = os.Stderr
		out, err := list.Output()
		require.NoError(t, err)
		for _, module := range strings.Fields(string(out)) {
			found[module] = true
		}
	}
	var modules []string
	for module := range found {
		modules = append(modules, module)
	}
	sort.Strings(modules)
	return modules
}

// lookAtSources touches what the answer of the go command depends on, so that a
// result kept from an earlier run does not stand for sources that have changed.
func lookAtSources(t *testing.T) {
	t.Helper()
	err := filepath.WalkDir("../..", func(path string, entry os.DirEntry, err error) error {
		if err == nil && entry.IsDir() && entry.Name() == ".git" {
			return fs.SkipDir
		}
		if err != nil {
			return err
		}
		if name := entry.Name(); strings.HasSuffix(name, ".go") || name == "go.mod" || name == "go.sum" {
			_, err = os.Stat(path)
		}
		return err
	})
	require.NoError(t, err)
}

func TestEveryLinkedModuleHasItsLicence(t *testing.T) {
	var listed []string
	for _, licence := range licences.List() {
		if !strings.HasPrefix(licence.Part, "typeface ") && licence.Part != licences.Standard {
			listed = append(listed, licence.Part)
		}
	}
	assert.Equal(t, linkedModules(t), listed, "run go generate ./templates/licences")
}

func TestEveryPartHasATextThatGrantsSomething(t *testing.T) {
	parts := map[string]bool{}
	for _, licence := range licences.List() {
		parts[licence.Part] = true
		var all string
		for _, text := range licence.Texts {
			all += text.Text
		}
		words := strings.Join(strings.Fields(strings.ToLower(all)), " ")
		granted := false
		for _, grant := range []string{"permission is hereby granted", "permitted provided that", "grants to you", "hereby grants",
			"permission is granted", "use of the freetype-go software is subject to", "attribution"} {
			granted = granted || strings.Contains(words, grant)
		}
		assert.True(t, granted, "%s: no sentence of a licence in %q", licence.Part, all)
	}
	for _, part := range []string{"typeface IBM Plex Sans", "typeface DejaVu Sans Condensed", licences.Standard, "github.com/spf13/cobra"} {
		assert.True(t, parts[part], part)
	}
}
