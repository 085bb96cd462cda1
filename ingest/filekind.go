package ingest

import (
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// fileKind is how the files of one role are read, and what they are called in the
// list of evidence and by `look`.
type fileKind struct {
	role string
	kind record.Kind // "" for what is no table
	use  record.Use  // of a correction table
	read func(table.Source, table.Entry, record.Settings) (any, *record.File, error)
}

// kindOf is the one list of what can be read for a day.
func kindOf(role jobsheet.FileRole) fileKind {
	switch role {
	case jobsheet.DwellFile:
		return fileKind{role: roleDwell, kind: record.KindDwellRecord, read: readDwell}
	case jobsheet.ProbeFile:
		return fileKind{role: roleProbe, kind: record.KindProbeLog, read: readProbe}
	case jobsheet.ProbeCorrectionFile:
		return fileKind{role: roleCorrection, kind: record.KindCorrection, use: record.OfField, read: readFieldCorrection}
	case jobsheet.PowerFile:
		return fileKind{role: rolePower, kind: record.KindPowerFile, read: readPower}
	case jobsheet.ForecastFieldFile:
		return fileKind{role: roleCorrection, kind: record.KindCorrection, use: record.OfField, read: readFieldCorrection}
	case jobsheet.ForwardCorrectionFile, jobsheet.ReflectedCorrectionFile, jobsheet.ForecastForwardFile:
		return fileKind{role: roleCorrection, kind: record.KindCorrection, use: record.OfPower, read: readPowerCorrection}
	case jobsheet.MotionFile:
		return fileKind{role: roleMotion, kind: record.KindMotion, read: readMotion}
	case jobsheet.RegisterFile:
		return fileKind{role: roleRegister, kind: record.KindRegister, read: readRegister}
	case jobsheet.ForecastFile:
		return fileKind{role: roleLowLevel, kind: record.KindLowLevel, read: readLowLevel}
	case jobsheet.PhotoFile:
		return fileKind{role: rolePhoto, read: readPicture}
	case jobsheet.LogoFile:
		return fileKind{role: roleLogo, read: readPicture}
	case jobsheet.AnnexFile:
		return fileKind{role: RoleAnnex, read: readAnnex}
	case jobsheet.ReplacedReportFile:
		return fileKind{role: roleReplaced, read: readWhole}
	}
	panic("a role of a file that nobody reads")
}
