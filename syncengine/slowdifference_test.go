package syncengine

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// stockKey is one stock that can be counted again; size 0 is all sizes.
type stockKey struct {
	what event.Identity
	at   event.Ref
	size event.Size
}

// stations are the two whose tallies make a stock.
func (k stockKey) stations() [2]event.Station {
	switch k.what {
	case event.OnBench:
		return [2]event.Station{event.Extraction, event.Sorting}
	case event.SitesOpen:
		return [2]event.Station{event.SiteMaking, event.Placing}
	}
	return [2]event.Station{event.Sorting, event.Placing}
}

// sized says that a stock is of a single size, or of one that has none.
func (k stockKey) sized() bool { return k.size != 0 || k.what == event.OnBench }

// stock is what there is of a key.
func (s *slowLedger) stock(k stockKey) (n int64) {
	of := func(size event.Size) int64 {
		switch k.what {
		case event.Held:
			return s.held(size)
		case event.InDish:
			return s.inDish(k.at, size)
		}
		return s.openSites(k.at, size)
	}
	switch {
	case k.what == event.OnBench:
		var l session.Ledger
		s.extraction(&l)
		s.grafts(&l)
		return l.Bench
	case k.size != 0:
		return of(k.size)
	}
	for size := range event.Size(event.Sizes + 1) {
		n += of(size)
	}
	return n
}

// stocks lists every stock of a day.
func (s *slowLedger) stocks() []stockKey {
	out := []stockKey{{event.OnBench, event.Ref{}, 0}}
	for size := range event.Size(event.Sizes + 1) {
		out = append(out, stockKey{event.Held, event.Ref{}, size})
		for _, e := range s.all {
			switch f := e.Fact.(type) {
			case *event.Dish:
				out = append(out, stockKey{event.InDish, e.Ref(), size})
			case *event.Zone:
				if f.Of.IsZero() {
					out = append(out, stockKey{event.SitesOpen, e.Ref(), size})
				}
			}
		}
	}
	return out
}

// recount is the newest recount of a stock that stands, nil for none.
func (s *slowLedger) recount(k stockKey) (best *event.Event, n int64) {
	for _, it := range s.items {
		f, ok := it.fact.(*event.Recount)
		if !ok || f.Size != k.size || best != nil && event.Before(it.Event, best) {
			continue
		}
		match := false
		switch k.what {
		case event.OnBench:
			match = f.Of == event.Bench
		case event.Held:
			match = f.Of == event.Holding && f.Dish.IsZero()
		case event.InDish:
			match = f.Of == event.Holding && f.Dish == k.at
		case event.SitesOpen:
			match = f.Of == event.OpenSites && f.Zone == k.at
		}
		if match {
			best, n = it.Event, int64(f.N)
		}
	}
	if best == nil || k.size != 0 || k.what == event.OnBench {
		return best, n
	}
	later := 0 // sizes that were counted after all of them
	for size := event.Size(1); size <= event.Sizes; size++ {
		if one, _ := s.recount(stockKey{k.what, k.at, size}); one != nil && event.Before(best, one) {
			later++
		}
	}
	if later == event.Sizes {
		return nil, 0
	}
	return best, n
}

// checkStock holds what a view says of one stock, d or nothing, to the events.
func (s *slowLedger) checkStock(t failer, k stockKey, d *session.Difference, bySize map[stockKey]int64) {
	now := s.stock(k)
	recount, counted := s.recount(k)
	ledger, beside := int64(0), int64(0)
	if recount != nil {
		ledger = s.asOf(recount).stock(k)
		beside = ledger - counted
	}
	if d == nil {
		total := !k.sized()
		shownBySize, anySize := bySize[k] // which may cancel each other out
		switch {
		case beside != 0 && !(total && shownBySize == beside):
			t.Fatalf("%v: the recount found %d, the ledger says %d, and nothing is said", k, counted, ledger)
		case beside == 0 && now < 0 && !(total && anySize):
			t.Fatalf("%v: is at %d, and nothing is said", k, now)
		}
		return
	}
	want := session.Difference{Amount: beside, Recounted: recount != nil, Counted: counted, Ledger: ledger, RecountFirst: beside == 0}
	if beside == 0 {
		want.Amount = now
	}
	if recount != nil && beside == 0 && now > 0 { // it lies there; whether anybody counted since is for a test of its own
		want.RecountFirst = d.RecountFirst
	}
	got := session.Difference{Amount: d.Amount, Recounted: d.Recounted, Counted: d.Counted, Ledger: d.Ledger, RecountFirst: d.RecountFirst}
	if got != want || d.Amount == 0 {
		t.Fatalf("%v: got %+v, want %+v", k, got, want)
	}
}

func TestDifferencesOfStocks(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 80)
		events := d.events()
		slow := newSlowLedger(events)
		v := d.inOrder(wallIdentity(), shuffled(d.pick, events)).View(d.ms, nil)
		shown := map[stockKey]*session.Difference{}
		bySize := map[stockKey]int64{} // by the total that they are a part of
		for i := range v.Differences {
			one := &v.Differences[i]
			k := stockKey{one.What, one.At, one.Size}
			if shown[k] != nil {
				rt.Fatalf("said twice: %+v and %+v", *shown[k], *one)
			}
			shown[k] = one
			if k.size != 0 {
				bySize[stockKey{k.what, k.at, 0}] += one.Amount
			}
		}
		for _, k := range slow.stocks() {
			if both := k.stations(); slices.Contains(v.Session.Stations, both[0]) && slices.Contains(v.Session.Stations, both[1]) {
				slow.checkStock(rt, k, shown[k], bySize)
			}
		}
	})
}

// TestWhatADifferenceAsksForSettlesIt: a lead who settles what a difference says
// closes it; a stock may be below zero again by what happened after its recount.
func TestWhatADifferenceAsksForSettlesIt(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 80)
		lead := d.inOrder(numbered(9), d.events())
		record(rt, lead, &event.Joined{Person: "Lou", Station: event.Lead}, d.ms)
		for _, one := range lead.View(d.ms, nil).Differences {
			if one.Settle == 0 || one.RecountFirst || one.What == event.Pending { // that asks for the region, too
				continue
			}
			record(rt, lead, &event.Settled{What: one.What, At: one.At, Size: one.Size, Amount: one.Settle, Reason: "counted again"}, d.ms)
			for _, left := range lead.View(d.ms, nil).Differences {
				same := left.What == one.What && left.At == one.At && left.Size == one.Size
				if same && !left.RecountFirst && left.Settle != 0 { // what is counted and lies there at the close stays to be told
					rt.Fatalf("settled %+v, left %+v", one, left)
				}
			}
			return
		}
	})
}
