package jobsheet

import (
	"strings"

	"fieldheld/templates/wording"
)

// devices are names that Windows keeps for devices, whatever stands behind a point.
var devices = map[string]bool{"con": true, "prn": true, "aux": true, "nul": true, "conin$": true, "conout$": true}

// notEverywhere says why a path is no name of a file on some system: a day is
// opened on the machines of the laboratory, its customer and an assessor, and must
// name the same file on all of them. It says "" for one that is.
func notEverywhere(slashed string) wording.Text {
	for _, part := range strings.Split(slashed, "/") {
		if part == "" || part == "." {
			continue
		}
		name, _, _ := strings.Cut(strings.ToLower(part), ".")
		name = strings.TrimRight(name, " ")
		numbered := len(name) == 4 && (strings.HasPrefix(name, "com") || strings.HasPrefix(name, "lpt")) && name[3] >= '0' && name[3] <= '9'
		switch {
		case devices[name] || numbered:
			return wording.Say("path.device", wording.Values{"part": part})
		case strings.ContainsAny(part, `:*?"<>|`):
			return wording.Say("path.sign", wording.Values{"part": part})
		case strings.HasSuffix(part, ".") || strings.HasSuffix(part, " "):
			return wording.Say("path.end", wording.Values{"part": part})
		}
	}
	return wording.Text{}
}
