package syncengine

import (
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// What the session says of times out of the body is what single grafts in a queue
// say, whatever came late, was undone, moved or dated anew, and whenever it was
// read on the way.
func TestTimeOutAgainstSingleGrafts(t *testing.T) {
	known := 0
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 80)
		events := d.events()
		wall := readOnTheWay(t, d, events)
		view := wall.View(d.ms, nil)
		at := func(e *event.Event) int64 {
			ms, _ := wall.State().At(e)
			return ms
		}
		slow := newSlowLedger(events)
		for _, dish := range view.Dishes {
			if want := slow.dishSince(dish.Ref, at); dish.Total > 0 && dish.SinceMs != want {
				rt.Fatalf("dish %s: got %d, want %d", dish.Label, dish.SinceMs, want)
			}
		}
		got := view.TimeOut
		if !got.Known {
			return
		}
		known++
		want := slow.singleGrafts(at).timeOut(d.ms, view.Ledger.Bench+view.Ledger.HoldingTotal)
		if counts := outCounts(got); counts != want {
			rt.Fatalf("got  %+v\nwant %+v", counts, want)
		}
		if out := view.Ledger.Out + view.Ledger.Gained; got.Came < out { // more where a pass has fewer shots than exceptions
			rt.Fatalf("came %d, the ledger has %d out and gained", got.Came, out)
		}
	})
	if known == 0 {
		t.Error("no day told a time")
	}
}

// outCounts is the part of the section that sums of entries make.
func outCounts(v session.TimeOut) session.TimeOut {
	return session.TimeOut{Came: v.Came, Placed: v.Placed, Rejected: v.Rejected, CameBack: v.CameBack, Left: v.Left,
		MeanKnown: v.MeanKnown, MeanMs: v.MeanMs, LongestMs: v.LongestMs,
		Waiting: v.Waiting, WaitedMin: v.WaitedMin, OldestMs: v.OldestMs, OldestMin: v.OldestMin}
}
