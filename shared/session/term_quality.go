package session

import (
	"rootledger/shared/event"
	"rootledger/shared/quality"
)

// quality are the terms of a rate, or of the sum that watches a pass.
func (w *terms) quality() {
	v := &w.v.Quality
	if w.q.Of == FigureWatch {
		w.watch()
		return
	}
	for i := range v.Rows {
		if r := &v.Rows[i]; r.At == w.q.At && r.By != ByOperator && (r.By != ByRegion || !r.At.IsZero()) {
			w.rate(r.Rates)
			if w.q.Of == FigureFollicles {
				w.add("grafts inspected", r.Inspected, 0)
			}
			break // all comes before the attempts that name no region
		}
	}
	if !w.q.At.IsZero() {
		return
	}
	for i := range v.Rows {
		if r := &v.Rows[i]; r.By == ByPass {
			w.addOf("pass", w.of(r.Rates).N, 1, w.q.Of, r.At, 0)
		}
	}
}

// of is the rate that is asked about.
func (w *terms) of(r quality.Rates) quality.Rate {
	switch w.q.Of {
	case FigureTotal:
		return r.Total
	case FigurePartial:
		return r.Partial
	case FigureTopped:
		return r.Topped
	case FigureEmpty:
		return r.Empty
	}
	return r.Follicles
}

func (w *terms) rate(all quality.Rates) {
	r := w.of(all)
	w.add("numerator", r.N, 0)
	w.add("denominator", r.Of, 0)
	if r.Known {
		w.addOf("rate", r.Parts, 10_000, 0, event.Ref{}, 0)
		w.addOf("low", r.Low, 10_000, 0, event.Ref{}, 0)
		w.addOf("high", r.High, 10_000, 0, event.Ref{}, 0)
	}
}

func (w *terms) watch() {
	v := &w.v.Quality
	for i := range v.Watched {
		one := &v.Watched[i]
		if w.q.At.IsZero() {
			w.addOf("pass", one.Sum100, 100, FigureWatch, one.Pass, 0)
		} else if one.Pass == w.q.At {
			w.addOf("sum", one.Sum100, 100, 0, event.Ref{}, 0)
			w.add("cut since", one.Cut, 0)
			w.add("tried since", one.Trials, 0)
		}
	}
	w.addOf("usual share", v.P0Parts, 10_000, 0, event.Ref{}, 0)
	w.addOf("share to notice", v.P1Parts, 10_000, 0, event.Ref{}, 0)
	w.addOf("limit of the sum", v.H100, 100, 0, event.Ref{}, 0)
}
