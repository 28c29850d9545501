package simulation

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// checkCounts: the figures are the sum of the distinct events that are not void
// (O2), counted here by hand, without anything of the figures' own code.
func (w *World) checkCounts(final []*event.Event, v session.View) {
	all := lines(final)
	h := make(piles)
	for _, l := range all {
		h.add(l)
	}
	for i := range event.Sizes {
		size := event.Size(i + 1)
		w.sum("sorted, of a size", v.Ledger.Sorted[i], h[pile{"sorted", event.Ref{}, size}])
		w.sum("placed, of a size", v.Ledger.Placed[i], h[pile{"placed", event.Ref{}, size}])
		w.sum("in holding, of a size", v.Ledger.Holding[i], h[pile{"held", event.Ref{}, size}])
	}
	w.sum("in holding", v.Ledger.HoldingTotal, h.all("held", event.Ref{}))
	w.sum("rejected", v.Ledger.RejectedBench, h.all("rejected", event.Ref{}))
	w.sum("kept at the bench", v.Ledger.Kept, h.all("sorted", event.Ref{})+h.all("split", event.Ref{}))
	w.sum("settled on the bench", v.Ledger.Bench-v.Ledger.Out+v.Ledger.Judged, h.all("settled on the bench", event.Ref{}))
	w.sum("buried and open", v.Ledger.BuriedOpen, h.all("buried", event.Ref{}))
	w.sum("outcomes tapped", outcomesTapped(v), tapped(all))
	w.checkRecounts(all, v)
	w.checkTrials(all, v)
	w.checkQuality(all, v)
	w.checkTimeOut(final, all, v)
	w.checkDoses(all, final, v)
	if budget, known := smallestBudget(final); known {
		w.sum("the budget", v.Headline.Budget, budget)
	}
	w.sum("events", v.Session.Events, int64(len(final)))
	for _, e := range final {
		if w.fates[e.Hash] == nil && !e.Fact.Kind().ByServer() {
			w.violate("O2", "nobody wrote %v", e.Ref())
		}
	}
}

// tapped is every outcome that was tapped, but for intact ones that are derived.
func tapped(all []line) (n int64) {
	modes := make(map[event.Ref]event.Mode)
	for _, l := range all {
		if f, ok := l.fact.(*event.PassBegun); ok {
			modes[l.Ref()] = f.Mode
		}
	}
	for _, l := range all {
		if f, ok := l.fact.(*event.Attempt); ok && (modes[l.pass] != event.ByException || f.Outcome != event.Intact) {
			n += int64(f.N)
		}
	}
	return n
}

// checkRecounts holds what the newest recount of the holding, of a dish and of
// their sizes shows to the events: those before it, those told late, and what
// was settled.
func (w *World) checkRecounts(all []line, v session.View) {
	newest := make(map[pile]line)
	for _, l := range all {
		if f, ok := l.fact.(*event.Recount); ok && f.Of == event.Holding {
			at := pile{"held", l.dish, l.size}
			if !l.dish.IsZero() {
				at.what = "dish"
			}
			if best, found := newest[at]; !found || event.Before(best.Event, l.Event) {
				newest[at] = l
			}
		}
	}
	for at, recount := range newest {
		then := make(piles)
		for _, l := range all {
			if !l.Fact.Kind().Counts() || l.Late || !event.Before(recount.Event, l.Event) {
				then.add(l)
			}
		}
		ledger, counted := then[at], int64(recount.fact.(*event.Recount).N)
		if at.size == 0 {
			ledger = then.all(at.what, at.at)
		}
		what := map[string]event.Identity{"held": event.Held, "dish": event.InDish}[at.what]
		shown := false
		for _, d := range v.Differences {
			if d.What == what && d.At == at.at && d.Size == at.size {
				shown = true
				w.sum("the ledger at a recount", d.Ledger, ledger)
				w.sum("what a recount counted", d.Counted, counted)
			}
		}
		if at.size != 0 && ledger != counted && !shown {
			w.violate("O2", "a recount counted %d of size %d where the events say %d, and nothing is shown", counted, at.size, ledger)
		}
	}
}

func (w *World) sum(what string, got, want int64) {
	if got != want {
		w.violate("O2", "%s: the figures say %d, the events %d", what, got, want)
	}
}

// outcomesTapped leaves out the intact ones that are derived.
func outcomesTapped(v session.View) (n int64) {
	for _, p := range v.Passes {
		for i, outcome := range p.Counts.Outcomes {
			if p.Mode != event.ByException || event.Outcome(i+1) != event.Intact {
				n += outcome
			}
		}
	}
	return n
}

// undone is every event against which a void stands, and which events a lead
// wrote. The author's own station decides whether it may undo what is another's.
func undone(final []*event.Event) (void, leads map[event.Ref]bool) {
	leads = make(map[event.Ref]bool) // events of an author who had joined as lead by then
	voids := make(map[event.Ref]map[event.Ref]bool)
	cancelled := make(map[event.Ref]bool)
	for _, e := range final { // each after what it follows
		before := event.Ref{Replica: e.Replica, Seq: e.Seq - 1, Check: [8]byte(e.Prev[:8])}
		leads[e.Ref()] = leads[before]
		switch f := e.Fact.(type) {
		case *event.Joined:
			leads[e.Ref()] = f.Station == event.Lead || f.Station == event.Office
		case *event.Void:
			if f.Target.Replica == e.Replica || leads[e.Ref()] {
				if voids[f.Target] == nil {
					voids[f.Target] = make(map[event.Ref]bool)
				}
				voids[f.Target][e.Ref()] = true
			}
		case *event.Restore:
			if f.Target.Replica == e.Replica || leads[e.Ref()] {
				for _, v := range f.Voids {
					cancelled[v] = true
				}
			}
		}
	}
	void = make(map[event.Ref]bool)
	for target, by := range voids {
		for v := range by {
			void[target] = void[target] || !cancelled[v]
		}
	}
	return void, leads
}

// smallestBudget is the smallest of the budgets that no other one replaces.
func smallestBudget(final []*event.Event) (grafts int64, known bool) {
	replaced := make(map[event.Ref]bool)
	for _, e := range final {
		if f, ok := e.Fact.(*event.Budget); ok {
			for _, ref := range f.Supersedes {
				replaced[ref] = true
			}
		}
	}
	for _, e := range final {
		if f, ok := e.Fact.(*event.Budget); ok && !replaced[e.Ref()] && (!known || int64(f.Grafts) < grafts) {
			grafts, known = int64(f.Grafts), true
		}
	}
	return grafts, known
}
