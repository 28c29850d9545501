package sheet

import (
	"rootledger/shared/holding"
	"rootledger/shared/session"
)

// timeOut states how long grafts were out of the body, against which limits, and
// in what they were kept. Times are in ms and minutes, by when things were entered.
func (b *builder) timeOut(s *session.State, v session.View) {
	const section = "time out"
	o := v.TimeOut
	if o.Known {
		b.number(section, "", "came out, pieces of splits too", o.Came, "grafts")
		if o.Opening != 0 {
			b.number(section, "", "of those, out before counting began", o.Opening, "grafts")
		}
		b.number(section, "", "left: placed and rejected less came back", o.Left, "grafts")
		if o.MeanKnown {
			b.number(section, "", "mean of those that left, by entries", o.MeanMs, "ms")
			b.number(section, "", "longest, first in first out", o.LongestMs, "ms")
		}
		b.number(section, "", "still out", o.Waiting, "grafts")
		if o.Waiting > 0 {
			b.number(section, "", "still out, mean so far", o.WaitedMin, "min")
			b.time(section, "", "oldest out since, first in first out", o.OldestMs)
			b.number(section, "", "oldest out for", o.OldestMin, "min")
			b.code(section, "", "oldest stands to the limits", o.Oldest.String())
		}
		b.code(section, "", "wait of a graft taken now, by", o.Basis.String())
		if o.Basis >= holding.Planned {
			b.number(section, "", "wait of a graft taken now", o.ForecastMin, "min")
		}
	}
	b.number(section, "", "asks from", o.AmberMin, "min")
	b.number(section, "", "limit", o.RedMin, "min")
	b.time(section, "", "planned start of placing", o.PlacingMs)
	if o.PerHour10 != 0 {
		b.number(section, "", "planned rate of placing x 10", o.PerHour10, "grafts/h x 10")
	}
	if o.Solution != "" {
		b.text(section, "", "grafts lie in", o.Solution)
	}
	if o.TemperatureKnown {
		b.number(section, "", "temperature x 10", o.Temperature10, "degrees Celsius x 10")
	}
	for _, d := range s.DishTimes() {
		about := "dish " + d.Label
		if d.LeftKnown {
			b.number("time in dish", about, "left it", d.Left, "grafts")
			b.number("time in dish", about, "mean of those, by entries", d.MeanMs, "ms")
		}
		b.time("time in dish", about, "oldest in it since", d.OldestAtMs)
	}
}
