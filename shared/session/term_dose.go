package session

import (
	"rootledger/shared/dose"
	"rootledger/shared/event"
)

// millionths is by how many a term of mg, kg or µg is told: per mille are shares.
const millionths = 1_000_000

// mg appends a number of thousandths: µg as mg, g as kg, ng as µg.
func (w *terms) mg(name string, n int64, of Figure, at event.Ref, size event.Size) {
	w.addOf(name, 1000*n, millionths, of, at, size)
}

// doses are the terms of a figure of doses, in mg, kg and shares.
func (w *terms) doses(asked dose.Form) {
	d, substance := &w.v.Doses, asked.Substance
	for i := range d.Groups {
		g := &d.Groups[i]
		at, size := g.Ref, g.Asked
		switch {
		case w.q.Of == FigureDoseShare && substance == "":
			w.addOf("dose share of", g.Parts, 10_000, FigureDoseShare, at, size)
		case w.q.Of == FigureDose && substance == "":
			w.mg("dose of", g.UG, FigureDose, at, size)
		case g.Substance != substance || g.Tumescent != (w.q.Size >= askDilute) || asked.Epinephrine && !g.Epinephrine || !asked.Epinephrine && !g.Plain:
		case w.q.Of == FigureDose:
			w.mg("dose given", g.UG, 0, event.Ref{}, 0)
			w.add("doses", g.Doses, 0)
		case w.q.Of == FigureDoseShare:
			w.mg("dose given", g.UG, FigureDose, at, size)
			w.mg("dose limit", g.LimitUG, FigureDoseLimit, at, size)
			if g.DailyUG > 0 {
				w.addOf("dose of day", g.DayParts, 10_000, 0, event.Ref{}, 0)
				w.addOf("dose largest", g.TopParts, 10_000, 0, event.Ref{}, 0)
			}
			w.addOf("dose next", g.NextParts, 10_000, 0, event.Ref{}, 0)
		}
	}
	switch w.q.Of {
	case FigureDoseLimit:
		w.doseLimit(substance)
	case FigureDoseShare:
		if substance == "" && d.Count > 0 {
			w.addOf("dose next", d.NextParts, 10_000, 0, event.Ref{}, 0)
		}
	case FigureVasoconstrictor:
		w.mg("vasoconstrictor", d.VasoconstrictorNG, 0, event.Ref{}, 0)
	}
}

// doseLimit tells how the limits of a substance's agents come about.
func (w *terms) doseLimit(substance string) {
	d := &w.v.Doses
	if d.WeightKnown {
		w.mg("weight", d.Grams, 0, event.Ref{}, 0)
	}
	for _, a := range d.Agents {
		if substance != "" && a.Substance != substance {
			continue
		}
		at, size := a.Ref, event.Size(a.Label)
		if a.PerKgUG > 0 {
			w.mg("dose per kg", a.PerKgUG, 0, at, size)
		}
		if a.CapUG > 0 {
			w.mg("dose cap", a.CapUG, 0, at, size)
		}
		if a.DailyUG > 0 {
			w.mg("dose daily", a.DailyUG, 0, at, size)
		}
		if a.By != dose.Side(0) {
			w.mg("dose limit of", a.LimitUG, 0, at, size)
		}
	}
	for _, r := range d.Rules {
		if r.Substance == substance && r.PerKgUG > 0 {
			w.mg("dose dilute", r.PerKgUG, 0, event.Ref{}, 0)
		}
	}
}
