package simulation

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// checkCounts: the figures are the sum of the distinct events that are not void
// (O2), counted here by hand, without anything of the figures' own code.
func (w *World) checkCounts(final []*event.Event, v session.View) {
	void := undone(final)
	known := make(map[event.Ref]*event.Event, len(final))
	for _, e := range final {
		known[e.Ref()] = e
	}
	names := func(ref event.Ref, kind event.Kind) bool {
		at := known[ref]
		return ref.IsZero() || at != nil && at.Fact.Kind() == kind && at.Makes()
	}
	var sorted, placed, tapped, rejected, split, pieces int64
	for _, e := range final {
		if void[e.Ref()] {
			continue
		}
		switch f := e.Fact.(type) {
		case *event.Sorted:
			sorted += int64(f.N)
		case *event.Rejected:
			rejected += int64(f.N)
		case *event.Split:
			split += int64(f.N)
			pieces += int64(f.N) * int64(len(f.Pieces))
		case *event.Placed:
			if names(f.Zone, event.KindZone) {
				placed += int64(f.N)
			}
		case *event.CameBack:
			if names(f.Zone, event.KindZone) {
				placed -= int64(f.N)
			}
		case *event.Attempt:
			pass := known[f.Pass]
			if pass == nil || !names(f.Region, event.KindRegion) {
				continue
			}
			if mode := pass.Fact.(*event.PassBegun).Mode; mode != event.ByException || f.Outcome != event.Intact {
				tapped += int64(f.N)
			}
		}
	}
	w.sum("sorted", v.Ledger.Sorted.Total(), sorted)
	w.sum("placed", v.Ledger.PlacedTotal, placed)
	w.sum("rejected", v.Ledger.RejectedBench, rejected)
	w.sum("kept at the bench", v.Ledger.Kept, sorted+split)
	w.sum("outcomes tapped", outcomesTapped(v), tapped)
	w.sum("in holding", v.Ledger.HoldingTotal, sorted+pieces-placed)
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

// undone is every event against which a void stands. The author's own station
// decides whether it may undo what is another's.
func undone(final []*event.Event) map[event.Ref]bool {
	leads := make(map[event.Ref]bool) // events of an author who had joined as lead by then
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
	out := make(map[event.Ref]bool)
	for target, by := range voids {
		for v := range by {
			out[target] = out[target] || !cancelled[v]
		}
	}
	return out
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
