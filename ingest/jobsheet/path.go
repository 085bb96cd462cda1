package jobsheet

import "strings"

// devices are names that Windows keeps for devices, whatever stands behind a point.
var devices = map[string]bool{"con": true, "prn": true, "aux": true, "nul": true, "conin$": true, "conout$": true}

// notEverywhere says why a path is no name of a file on some system: a day is
// opened on the machines of the laboratory, its customer and an assessor, and must
// name the same file on all of them. It says "" for one that is.
func notEverywhere(slashed string) string {
	for _, part := range strings.Split(slashed, "/") {
		if part == "" || part == "." {
			continue
		}
		name, _, _ := strings.Cut(strings.ToLower(part), ".")
		name = strings.TrimRight(name, " ")
		numbered := len(name) == 4 && (strings.HasPrefix(name, "com") || strings.HasPrefix(name, "lpt")) && name[3] >= '0' && name[3] <= '9'
		switch {
		case devices[name] || numbered:
			return "“" + part + "” is a device"
		case strings.ContainsAny(part, `:*?"<>|`):
			return "“" + part + "” has a sign that names of files cannot have"
		case strings.HasSuffix(part, ".") || strings.HasSuffix(part, " "):
			return "“" + part + "” ends in a point or a blank"
		}
	}
	return ""
}
