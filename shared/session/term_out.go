package session

import (
	"rootledger/shared/event"
	"rootledger/shared/holding"
)

// outEffect is what an entry does to the grafts that are out: those that came
// less those that left; of what lies before a graft that is taken now, what was
// settled too.
func (s *State) outEffect(of Figure, e *event.Event) (n int64, ok bool) {
	switch f := e.Fact.(type) {
	case *event.Fired, *event.Reading:
		pass := event.PassOf(f)
		return s.attempts.Adds(e, pass), s.attempts.Mode(pass) == event.ByException
	case *event.Settled:
		if f.What == event.OnBench || f.What == event.Held || f.What == event.InDish {
			return f.Amount, of == FigureAhead
		}
	}
	var moves outMoves
	s.movesOut(&moves, e)
	for _, one := range moves.list[:moves.n] {
		switch one.Move {
		case holding.Came, holding.Derived, holding.CameBack:
			n += one.N
		case holding.Placed, holding.Rejected, holding.Less:
			n -= one.N
		}
	}
	return n, n != 0
}

// out are the terms of the times out of the body.
func (w *terms) out() {
	o, l := &w.v.TimeOut, &w.v.Ledger
	switch w.q.Of {
	case FigureAhead:
		w.add("bench", l.Bench, FigureBench)
		w.add("holding", l.HoldingTotal, FigureHolding)
		if o.Basis == holding.Measured {
			w.placingPace()
		}
		if o.Basis == holding.Planned {
			w.addOf("planned rate", o.PerHour10, 10, 0, event.Ref{}, 0)
		}
	case FigureTimeOut:
		w.add("came out", o.Came, 0)
		w.add("pieces gained", l.Gained, 0)
		w.add("place taps", o.Placed, FigurePlaced)
		w.add("rejects", o.Rejected, 0)
		w.add("came back", o.CameBack, 0)
	}
	if w.q.Of != FigureAhead {
		if o.Opening != 0 {
			w.add("out before counting", o.Opening, 0)
		}
		w.add("still out", o.Waiting, 0)
		w.hours("hours out so far", o.WaitedMin)
	}
	w.hours("asks from", o.AmberMin)
	w.hours("limit", o.RedMin)
}

// placingPace appends what the forecast takes of the pace.
func (w *terms) placingPace() {
	for i := range w.v.Pace.Stations {
		if p := &w.v.Pace.Stations[i]; p.Station == event.Placing {
			w.add("events", p.Events, FigurePacePlacing)
			w.addOf("active minutes", p.ActiveMs, 60_000, 0, event.Ref{}, 0)
		}
	}
}

// hours appends minutes as hours.
func (w *terms) hours(name string, minutes int64) {
	w.addOf(name, minutes, 60, 0, event.Ref{}, 0)
}
