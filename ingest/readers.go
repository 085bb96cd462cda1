package ingest

import (
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// The readers of package record, as jobs: what was read, and its file.

func readProbe(source table.Source, entry table.Entry, settings record.Settings) (any, *record.File, error) {
	log, err := record.ReadProbeLog(source, entry, settings)
	if err != nil {
		return nil, nil, err
	}
	return log, &log.File, nil
}

func readPower(source table.Source, entry table.Entry, settings record.Settings) (any, *record.File, error) {
	power, err := record.ReadPowerFile(source, entry, settings)
	if err != nil {
		return nil, nil, err
	}
	return power, &power.File, nil
}

func readDwell(source table.Source, entry table.Entry, settings record.Settings) (any, *record.File, error) {
	dwell, err := record.ReadDwellRecord(source, entry, settings)
	if err != nil {
		return nil, nil, err
	}
	return dwell, &dwell.File, nil
}

func readMotion(source table.Source, entry table.Entry, settings record.Settings) (any, *record.File, error) {
	motion, err := record.ReadMotionRecord(source, entry, settings)
	if err != nil {
		return nil, nil, err
	}
	return motion, &motion.File, nil
}

func readFieldCorrection(source table.Source, entry table.Entry, settings record.Settings) (any, *record.File, error) {
	return readCorrection(source, entry, settings, record.OfField)
}

func readPowerCorrection(source table.Source, entry table.Entry, settings record.Settings) (any, *record.File, error) {
	return readCorrection(source, entry, settings, record.OfPower)
}

func readCorrection(source table.Source, entry table.Entry, settings record.Settings, use record.Use) (any, *record.File, error) {
	correction, err := record.ReadCorrection(source, entry, settings, use)
	if err != nil {
		return nil, nil, err
	}
	return correction, &correction.File, nil
}

func readRegister(source table.Source, entry table.Entry, settings record.Settings) (any, *record.File, error) {
	register, err := record.ReadRegister(source, entry, settings)
	if err != nil {
		return nil, nil, err
	}
	return register, &register.File, nil
}

func readLowLevel(source table.Source, entry table.Entry, settings record.Settings) (any, *record.File, error) {
	low, err := record.ReadLowLevel(source, entry, settings)
	if err != nil {
		return nil, nil, err
	}
	return low, &low.File, nil
}
