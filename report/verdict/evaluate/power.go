package evaluate

import (
	"math"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
)

// undefinedPower is the figures of a visit of which no power is known.
func undefinedPower() PowerFigures {
	power := quantity.Undefined[quantity.Power]()
	return PowerFigures{Forward: power, Reflected: power, Net: power, ForLimit: power,
		VSWR: quantity.Undefined[quantity.Ratio](), ReturnLoss: quantity.Undefined[quantity.Decibel](),
		PerRootWatt: math.NaN(), OtherFrequency: quantity.Undefined[quantity.Frequency]()}
}

// powerOf computes the power figures of a visit.
func powerOf(run *ingest.Run, v *Visit, w window) PowerFigures {
	figures := undefinedPower()
	if run.Power == nil {
		return figures
	}
	rows := figures.agreeing(run, v, powerRows(run, v.Frequency(), w, v.Resolution))
	figures.Count = len(rows)
	if len(rows) == 0 {
		return figures
	}
	figures.readMedians(run, rows)
	figures.correct(run, v.Frequency())
	figures.derive(v)
	return figures
}

// powerRows returns the indices of the power rows that speak for a visit: those
// in its window where the file has times, else those of the nearest written
// frequency, if it is near enough.
func powerRows(run *ingest.Run, f quantity.Frequency, w window, resolution quantity.Frequency) []int {
	power := run.Power
	if power.Times != nil {
		from, to := w.span(power.Times)
		rows := make([]int, 0, to-from)
		for i := from; i < to; i++ {
			rows = append(rows, i)
		}
		return rows
	}
	nearest, distance := quantity.Undefined[quantity.Frequency](), math.Inf(1)
	for _, written := range power.Frequencies {
		if d := math.Abs(float64(written - f)); d < distance {
			nearest, distance = written, d
		}
	}
	if limit := math.Max(float64(resolution), 1e-4*float64(f)); distance > limit+quantity.Slack*float64(f) {
		return nil
	}
	var rows []int
	for i, written := range power.Frequencies {
		if written == nearest {
			rows = append(rows, i)
		}
	}
	return rows
}

// agreeing returns the rows whose frequency is the visit's, as samples of a probe
// have to be; the others count in no figure.
func (figures *PowerFigures) agreeing(run *ingest.Run, v *Visit, rows []int) []int {
	power := run.Power
	if power.Times == nil || power.Frequencies == nil {
		return rows
	}
	near := v.Near(power.Resolution)
	var others []int32
	agreeing := rows[:0]
	for _, i := range rows {
		f := power.Frequencies[i]
		if f > v.Frequency()+near || f < v.Frequency()-near {
			if others = append(others, power.Rows[i]); len(others) == 1 {
				figures.OtherFrequency = f
			}
			continue
		}
		agreeing = append(agreeing, i)
	}
	figures.Disagreeing, figures.OtherRows = len(others), rowRange(others)
	return agreeing
}

func (figures *PowerFigures) readMedians(run *ingest.Run, rows []int) {
	power := run.Power
	var forward, reflected []float64
	var where []int32
	for _, i := range rows {
		where = append(where, power.Rows[i])
		forward = append(forward, float64(power.Forward[i]))
		if power.Reflected != nil && quantity.Defined(power.Reflected[i]) {
			reflected = append(reflected, float64(power.Reflected[i]))
		}
	}
	figures.Rows = rowRange(where)
	figures.Forward = quantity.Power(quantity.Median(forward))
	figures.Reflected = quantity.Power(quantity.Median(reflected))
}

// correct applies the coupler and cable corrections. Where one of them does not
// reach the frequency the power figures are absent.
func (figures *PowerFigures) correct(run *ingest.Run, f quantity.Frequency) {
	undefined := quantity.Undefined[quantity.Power]()
	if table := run.ForwardCorrection; table != nil {
		figures.Forward = figures.Forward.Plus(interpolate(table, f))
		if !quantity.Defined(figures.Forward) {
			figures.OutOfTable = append(figures.OutOfTable, table.File.Path)
		}
	}
	if table := run.ReflectedCorrection; table != nil && quantity.Defined(figures.Reflected) {
		figures.Reflected = figures.Reflected.Plus(interpolate(table, f))
		if !quantity.Defined(figures.Reflected) {
			figures.OutOfTable = append(figures.OutOfTable, table.File.Path)
		}
	}
	if len(figures.OutOfTable) > 0 {
		figures.Forward, figures.Reflected = undefined, undefined
	}
}

// derive computes what follows from forward and reflected power.
func (figures *PowerFigures) derive(v *Visit) {
	forward, reflected := figures.Forward, figures.Reflected
	figures.Net = forward - reflected
	figures.VSWR, figures.ReturnLoss = quantity.Mismatch(forward, reflected)
	if forward > 0 {
		figures.PerRootWatt = float64(v.Median) / math.Sqrt(float64(forward))
		ratio := float64(v.Limit / v.Sustained)
		figures.ForLimit = forward * quantity.Power(ratio*ratio)
	}
}
