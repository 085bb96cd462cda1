package report

import (
	"errors"

	"fieldheld/ingest"
	"fieldheld/ingest/place"
)

// BuildSoFar evaluates what can be read of a day that is still being tested.
// Pending lists what could not be read and is left out: where there is any, the
// report is no verdict on the day, and whoever shows it has to say so. The error
// is about what the whole day rests on, such as the job sheet or the requirement.
func BuildSoFar(folder *ingest.Folder, program Program) (r *Report, pending place.Messages, err error) {
	if absent := folder.Absent(); folder.SetAside(absent) {
		pending = absent
	}
	for {
		r, err := Build(folder, program)
		var unreadable *place.Error
		if err == nil || !errors.As(err, &unreadable) || !folder.SetAside(unreadable.Messages) {
			return r, pending, err
		}
		pending = append(pending, unreadable.Messages...)
	}
}
