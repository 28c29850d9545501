package syncengine

import (
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/flow"
)

// The curves of a day say at the end of every step what its entries add up to by
// then, whatever came late, was undone, moved or dated anew, and end at what the
// ledger says.
func TestFlowAgainstEntries(t *testing.T) {
	drawn, points := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 80)
		events := d.events()
		wall := readOnTheWay(t, d, events)
		view := wall.View(d.ms, nil)
		c := view.Flow.Curve
		if c.FromMs == 0 {
			return
		}
		drawn++
		at := func(e *event.Event) int64 {
			ms, _ := wall.State().At(e)
			return ms
		}
		slow := newSlowLedger(events)
		last := len(c.Bench) - 1
		for i := range c.Bench {
			until := c.FromMs + int64(i+1)*c.StepMs
			if i == last {
				until = 1 << 62
			}
			points++
			got := flow.Stocks{Bench: c.Bench[i], Holding: c.Holding[i], Placed: c.Placed[i]}
			if want := slow.stocksBy(until, at); got != want {
				rt.Fatalf("point %d of %d: got %+v, want %+v", i, last, got, want)
			}
		}
		l := view.Ledger
		got := flow.Stocks{Bench: c.Bench[last], Holding: c.Holding[last], Placed: c.Placed[last]}
		if want := (flow.Stocks{Bench: l.Bench, Holding: l.HoldingTotal, Placed: l.PlacedTotal}); got != want {
			rt.Fatalf("the curves end at %+v, the ledger has %+v", got, want)
		}
	})
	if drawn == 0 || points < 2*drawn {
		t.Errorf("%d days drawn with %d points", drawn, points)
	}
}
