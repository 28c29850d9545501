package syncengine

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// stocksOf is the part of a ledger that sums of events make.
func stocksOf(l session.Ledger) session.Ledger {
	return session.Ledger{Attempts: l.Attempts, Out: l.Out, BuriedOpen: l.BuriedOpen, Judged: l.Judged, Kept: l.Kept,
		Bench: l.Bench, Sorted: l.Sorted, Holding: l.Holding, HoldingUnsized: l.HoldingUnsized, HoldingTotal: l.HoldingTotal,
		Placed: l.Placed, PlacedTotal: l.PlacedTotal, RejectedBench: l.RejectedBench, RejectedPlacing: l.RejectedPlacing,
		Gained: l.Gained, OpenSites: l.OpenSites, OutcomesTotal: l.OutcomesTotal, PunchedNowhere: l.PunchedNowhere}
}

func TestLedgerIsTheSumOfWhatStands(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 60)
		events := d.events()
		var want session.Ledger
		slow := newSlowLedger(events)
		slow.extraction(&want)
		slow.grafts(&want)
		wall := d.inOrder(wallIdentity(), shuffled(d.pick, events))
		view := wall.View(d.ms, nil)
		if !slices.Contains(view.Session.Stations, event.SiteMaking) {
			want.OpenSites = 0 // known only where sites are counted
		}
		if got := stocksOf(view.Ledger); got != want {
			rt.Fatalf("got  %+v\nwant %+v", got, want)
		}
		for _, r := range view.Regions {
			if want := slow.punchedAt(r.Ref); r.Punched != want {
				rt.Fatalf("region %s: got %d punched, want %d", r.Code, r.Punched, want)
			}
		}
		if got, want := stinted(wall), (stints{want.Sorted, want.Placed, want.RejectedBench, want.RejectedPlacing}); got != want {
			rt.Fatalf("stints: got %+v, want %+v", got, want)
		}
		waiting := int64(0)
		for _, e := range events {
			if !slow.permits(e) {
				waiting++
			}
		}
		if view.Session.Waiting != waiting || view.Session.Events != int64(len(events)) {
			rt.Fatalf("got %d events, %d waiting, want %d and %d", view.Session.Events, view.Session.Waiting, len(events), waiting)
		}
	})
}

// stints is what all people counted together.
type stints struct {
	sorted, placed             event.BySize
	atTheBench, whileBeingHeld int64 // rejected
}

func stinted(r *Replica) (sum stints) {
	for _, one := range r.State().Stints() {
		for i := range event.Sizes {
			sum.sorted[i] += one.Own.Sorted[i]
			sum.placed[i] += one.Own.Placed[i]
		}
		sum.atTheBench += one.Own.RejectedBench
		sum.whileBeingHeld += one.Own.RejectedPlacing
	}
	return sum
}
