package session

import (
	"rootledger/shared/budget"
	"rootledger/shared/event"
)

// terms are the numbers that a figure is computed from.
func (s *State) terms(q Question, nowMs int64) []Term {
	f := s.fold()
	v := s.View(event.ReplicaID{}, nowMs, nil)
	w := terms{q: q, v: &v}
	switch q.Of {
	case FigureToTake, FigureUsable, FigureOnTheWay, FigureAttempts, FigureStopAt, FigureKept, FigureYield, FigureBudget:
		w.headline(f)
	case FigureNeed, FigureSites, FigurePlaced:
		w.zone()
	case FigureCapacity, FigureShare, FigureResidual, FigureDonorLeft, FigureAttempted:
		w.region()
	case FigureOut, FigurePending, FigureCounter, FigureBuried, FigureBench:
		w.extraction(f)
	case FigureSorted, FigureHolding, FigureDish, FigureMix, FigureHairs:
		w.grafts(f)
	case FigureSetup, FigureNotWhole, FigureTrial, FigureTurn:
		w.setup(s)
	case FigureTotal, FigurePartial, FigureTopped, FigureEmpty, FigureFollicles, FigureWatch:
		w.quality()
	case FigureTimeOut, FigureLongestOut, FigureOldestOut, FigureAhead:
		w.out()
	case FigureDose, FigureDoseShare, FigureDoseLimit, FigureVasoconstrictor:
		w.doses(s.formAsked(q))
	default:
		w.pace()
	}
	return w.list
}

type terms struct {
	q    Question
	v    *View
	list []Term
}

// add appends a whole number, and what may be asked about it.
func (w *terms) add(name string, n int64, of Figure) { w.addOf(name, n, 1, of, event.Ref{}, 0) }

func (w *terms) addOf(name string, n, per int64, of Figure, at event.Ref, size event.Size) {
	w.list = append(w.list, Term{name, n, per, of, at, size})
}

// share appends a fraction, in hundredths of a per cent.
func (w *terms) share(name string, f budget.Fraction, of Figure) {
	w.addOf(name, (f.Num*20_000+f.Den)/(2*f.Den), 10_000, of, event.Ref{}, 0)
}

func (w *terms) headline(f *fold) {
	h, l := &w.v.Headline, &w.v.Ledger
	switch w.q.Of {
	case FigureToTake:
		w.add("budget", h.Budget, FigureBudget)
		w.add("usable", h.Usable, FigureUsable)
		w.add("on the way", h.OnTheWay, FigureOnTheWay)
	case FigureUsable:
		w.add("placed", l.PlacedTotal, FigurePlaced)
		w.add("holding", l.HoldingTotal, FigureHolding)
		w.add("bench", l.Bench, FigureBench)
		w.share("kept share", l.KeptShare, FigureKept)
	case FigureOnTheWay:
		w.add("pending", l.Attempts.Pending, FigurePending)
		w.share("yield", l.Yield, FigureYield)
	case FigureAttempts:
		w.add("to take", h.ToTake, FigureToTake)
		w.share("yield", l.Yield, FigureYield)
		if h.RangeKnown {
			w.add("low", h.Low, 0)
			if !h.HighOpen {
				w.add("high", h.High, 0)
			}
		}
	case FigureStopAt:
		w.add("attempts left", h.Attempts, FigureAttempts)
		if h.DonorKnown {
			w.add("donor left", h.DonorLeft, FigureDonorLeft)
		}
	case FigureKept:
		w.add("kept", l.Kept, 0)
		w.add("judged", l.Judged, 0)
		w.add("prior", budget.Prior, 0)
	case FigureYield:
		w.add("usable", h.Usable, FigureUsable)
		w.add("gained", l.Gained, 0)
		w.add("outcomes", l.OutcomesTotal, 0)
		w.addOf("planned yield", l.PlannedPerMille, 1000, 0, event.Ref{}, 0)
		w.add("prior", budget.Prior, 0)
	case FigureBudget:
		if len(f.zones) > 0 {
			w.add("need", l.NeedTotal, FigureNeed)
		}
		if len(f.regions) > 0 {
			w.add("donor grafts", l.CapacityGrafts, FigureCapacity)
		}
	}
}

func (w *terms) zone() {
	for i := range w.v.Zones {
		z := &w.v.Zones[i]
		switch {
		case w.q.At.IsZero() && w.q.Of == FigureNeed:
			w.addOf("zone", z.NeedTotal, 1, FigureNeed, z.Ref, 0)
		case w.q.At.IsZero() && w.q.Of == FigureSites:
			w.addOf("zone", of(z.Open, w.q.Size), 1, FigureSites, z.Ref, w.q.Size)
		case w.q.At.IsZero():
			w.addOf("zone", of(z.Placed, w.q.Size), 1, FigurePlaced, z.Ref, w.q.Size)
		case z.Ref != w.q.At:
		case w.q.Of == FigureNeed:
			w.addOf("area", z.AreaMM2, 100, 0, event.Ref{}, 0)
			w.addOf("density", z.Density10, 10, 0, event.Ref{}, 0)
			w.sizes(z.Need, 0, z.Ref)
		case w.q.Of == FigureSites:
			w.add("made", of(z.Sites, w.q.Size), 0)
			w.addOf("placed", of(z.Placed, w.q.Size), 1, FigurePlaced, z.Ref, w.q.Size)
			w.add("open", of(z.Open, w.q.Size), 0)
		case w.q.Size == 0:
			w.sizes(z.Placed, FigurePlaced, z.Ref)
		}
	}
}

// of is one size of a stock, or all.
func of(b event.BySize, size event.Size) int64 { return ofSize(b, 0, size) }

func (w *terms) sizes(b event.BySize, figure Figure, at event.Ref) {
	for i, n := range b {
		w.addOf("size", n, 1, figure, at, event.Size(i+1))
	}
}

func (w *terms) region() {
	for i := range w.v.Regions {
		r := &w.v.Regions[i]
		switch {
		case w.q.At.IsZero() && w.q.Of == FigureDonorLeft:
			w.addOf("region", max(0, r.Left), 1, FigureDonorLeft, r.Ref, 0)
		case w.q.At.IsZero() && w.q.Of == FigureAttempted:
			w.addOf("region", r.Punched, 1, FigureAttempted, r.Ref, 0)
		case w.q.At.IsZero():
			w.addOf("region", r.Capacity, 1, FigureCapacity, r.Ref, 0)
		case r.Ref != w.q.At:
		case w.q.Of == FigureDonorLeft:
			w.addOf("capacity", r.Capacity, 1, FigureCapacity, r.Ref, 0)
			w.addOf("attempted", r.Punched, 1, FigureAttempted, r.Ref, 0)
		case w.q.Of != FigureAttempted:
			w.addOf("area", r.AreaMM2, 100, 0, event.Ref{}, 0)
			w.addOf("density", r.Density10, 10, 0, event.Ref{}, 0)
			w.add("harvested", r.Harvested, 0)
			if w.q.Of != FigureCapacity {
				w.addOf("attempted", r.Punched, 1, FigureAttempted, r.Ref, 0)
			}
			if w.q.Of == FigureResidual {
				w.addOf("hairs per unit", r.HairsPerUnit100, 100, 0, event.Ref{}, 0)
			} else {
				w.addOf("share allowed", r.SharePerMille, 1000, 0, event.Ref{}, 0)
			}
		}
	}
	if l := &w.v.Ledger; w.q.At.IsZero() && (w.q.Of == FigureDonorLeft || w.q.Of == FigureAttempted) && l.PunchedNowhere != 0 {
		w.add("no region", l.PunchedNowhere, 0)
	}
	for i := range w.v.Taken {
		if t := &w.v.Taken[i]; w.q.Of == FigureAttempted && (t.Region == w.q.At || t.Pass == w.q.At) && !w.q.At.IsZero() {
			if t.Region == w.q.At {
				w.addOf("pass", t.Punched, 1, FigureAttempted, t.Pass, 0)
			} else {
				w.addOf("region", t.Punched, 1, FigureAttempted, t.Region, 0)
			}
		}
	}
}

func (w *terms) extraction(f *fold) {
	l := &w.v.Ledger
	c := l.Attempts
	for i := range w.v.Passes {
		if p := &w.v.Passes[i]; p.Ref == w.q.At {
			c = p.Counts
			if w.q.Of == FigureCounter {
				w.add("outcomes", c.OutcomeTotal(), 0)
				w.add("outside", p.Outside, 0)
				w.add("counter", p.Counter, 0)
				return
			}
		}
	}
	switch w.q.Of {
	case FigureOut:
		w.add("intact", c.Outcomes[event.Intact-1], 0)
		w.add("partial", c.Outcomes[event.Partial-1], 0)
		w.add("retrieved", c.RetrievedTopped+c.RetrievedBuried, 0)
	case FigurePending:
		w.addOf("attempted", c.Punched, 1, FigureAttempted, w.q.At, 0)
		w.add("outcomes", c.OutcomeTotal(), 0)
	case FigureBuried:
		w.add("buried", c.Outcomes[event.Buried-1], 0)
		w.add("retrieved", c.RetrievedBuried, 0)
		if left := l.BuriedOpen - l.Attempts.BuriedOpen(); left != 0 {
			w.add("settled", left, 0)
		}
	case FigureBench:
		w.add("out", l.Out, FigureOut)
		w.add("kept", l.Kept, FigureKept)
		w.add("rejected", l.RejectedBench, 0)
		if f.stocks.SettledBench != 0 {
			w.add("settled", f.stocks.SettledBench, 0)
		}
	}
}

func (w *terms) grafts(f *fold) {
	c, size := &f.stocks, w.q.Size
	switch w.q.Of {
	case FigureSorted:
		w.add("sorted taps", of(c.Sorted, size), 0)
		w.add("pieces", of(c.Pieces, size), 0)
		w.add("split held", of(c.SplitHolding, size), 0)
	case FigureHolding:
		w.addOf("sorted taps", of(c.Sorted, size), 1, FigureSorted, event.Ref{}, size)
		w.add("pieces", of(c.Pieces, size), 0)
		w.add("split held", of(c.SplitHolding, size), 0)
		w.addOf("placed", of(c.Placed(), size), 1, FigurePlaced, event.Ref{}, size)
		rejected, settled := of(c.RejectedPlacing, size), of(c.SettledHolding, size)
		if size == 0 {
			rejected, settled = rejected+c.RejectedUnsized, settled+c.SettledUnsized
		}
		w.add("rejected", rejected, 0)
		if settled != 0 {
			w.add("settled", settled, 0)
		}
	case FigureDish:
		for i := range w.v.Dishes {
			if d := &w.v.Dishes[i]; d.Ref == w.q.At && size == 0 {
				w.sizes(d.In, FigureDish, d.Ref)
				w.hours("hours in dish", d.HeldMin)
			}
		}
	case FigureMix:
		w.mix()
	case FigureHairs:
		w.hairs()
	}
}

func (w *terms) mix() {
	m, i := &w.v.Mix, w.q.Size-1
	if w.q.Size == 0 {
		w.add("remaining", m.Remaining, 0)
		w.sizes(m.Expected, FigureMix, event.Ref{})
		return
	}
	w.addOf("sorted so far", m.Sorted[i], 1, FigureSorted, event.Ref{}, w.q.Size)
	w.add("sorted in all", m.Sorted.Total(), FigureSorted)
	w.add("remaining", m.Remaining, 0)
	w.add("need", m.Need[i], 0)
}

func (w *terms) hairs() {
	for i := range w.v.Zones {
		if z := &w.v.Zones[i]; z.Ref == w.q.At {
			w.sizes(z.Placed, FigurePlaced, z.Ref)
			return
		}
	}
	w.sizes(w.v.Mix.Sorted, FigureSorted, event.Ref{})
}

func (w *terms) pace() {
	stations := [...]event.Station{FigurePaceTaking: event.Extraction, FigurePaceSorting: event.Sorting,
		FigurePaceSites: event.SiteMaking, FigurePacePlacing: event.Placing}
	left := [...]Figure{event.Extraction: FigureAttempts, event.Placing: 0} // what other stations have left is no figure of its own
	for i := range w.v.Pace.Stations {
		p := &w.v.Pace.Stations[i]
		if int(w.q.Of) >= len(stations) || p.Station != stations[w.q.Of] {
			continue
		}
		w.add("events", p.Events, 0)
		w.addOf("active minutes", p.ActiveMs, 60_000, 0, event.Ref{}, 0)
		if p.LeftKnown {
			w.add("left", p.Left, left[p.Station])
		}
		if p.Compared {
			w.add("events before", p.Before, 0)
			w.addOf("p", p.PParts, 10_000, 0, event.Ref{}, 0)
		}
	}
}
