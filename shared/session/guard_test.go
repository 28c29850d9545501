package session

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// What was there before counts in whichever way its pass is counted, and no
// reading swallows it.
func TestOpeningCountsOfEveryMode(t *testing.T) {
	for mode := event.Each; mode <= event.ByException; mode++ {
		t.Run(mode.String(), func(t *testing.T) {
			s := newStage(t, mode)
			opening := &event.OpeningCount{Of: event.KindFired, Pass: s.pass, N: 250}
			if mode == event.Each {
				opening.Of, opening.Outcome = event.KindAttempt, event.Intact
			}
			s.reads(1000)
			s.says(puncher, opening)
			s.reads(1000)
			a := s.ledger().Attempts
			if a.Punched != 250 || mode == event.ByException && a.Outcomes[event.Intact-1] != 250 {
				t.Errorf("got %+v, want 250 punched", a)
			}
			err := s.state.Check(replicaOf(puncher), &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Outcome: event.Intact, N: 9})
			if fault.Is(err, "opening-intact") != (mode == event.ByException) {
				t.Errorf("intact ones: got %v", err)
			}
		})
	}
}

// Taps do not count alike in passes that are counted another way.
func TestRefilesKeepTheWayOfCounting(t *testing.T) {
	s := newStage(t, event.Each)
	tap := s.says(puncher, &event.Attempt{Pass: s.pass, Outcome: event.Intact, N: 9})
	other, alike := s.says(puncher, &event.PassBegun{Mode: event.ByException}), s.says(puncher, &event.PassBegun{Mode: event.Each})
	to := func(pass event.Ref) error {
		return s.state.Check(replicaOf(puncher), &event.Refiled{Targets: []event.Ref{tap}, Sets: event.FiledPass, Pass: pass})
	}
	if err := to(other); !fault.Is(err, "refile-mode") {
		t.Errorf("another mode: got %v", err)
	}
	if err := to(alike); err != nil {
		t.Errorf("the same mode: got %v", err)
	}
}

// A recount of all is told by its sizes once each was counted after it.
func TestSizesReplaceARecountOfAll(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 30)
	s.makes(1, 9)
	s.sorts(1, 20)
	s.recounts(event.Holding, 0, 17)
	s.checkFound("three are missing", found{event.Held, 0, 3})
	s.places(1, 3) // forgotten, and not marked late
	for size := event.Size(1); size <= event.Sizes; size++ {
		n := uint32(0)
		if size == 1 {
			n = 17
		}
		s.recounts(event.Holding, size, n)
	}
	s.checkFound("each size agrees")
	if err := s.state.Check(replicaOf(lead), &event.Settled{What: event.Held, Amount: -3, Reason: "a"}); !fault.Is(err, "recount-first") {
		t.Errorf("settling the old one: got %v", err)
	}
}

// What was counted at the close and lies there is no slip of a tally: it asks for
// what became of it, not for a settlement or another recount.
func TestLeftOverAtTheClose(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 5)
	s.recounts(event.Bench, 0, 5)
	s.says(lead, &event.Ended{})
	d := s.difference(event.OnBench, 0)
	if d.Amount != 5 || d.Settle != 0 || d.RecountFirst || !d.Recounted {
		t.Errorf("got %+v", d)
	}
	s.says(sorter, &event.Rejected{From: event.Bench, Reason: event.ReasonSurplus, N: 5})
	s.checkFound("rejected as surplus")
}

// A dish ends once.
func TestADishEndsOnce(t *testing.T) {
	s := newStage(t, event.Each)
	dish := s.says(sorter, &event.Dish{Label: "1"})
	s.taps(event.Intact, 20)
	s.says(sorter, &event.Sorted{Size: 1, N: 20, Dish: dish})
	done := &event.DishDone{Dish: dish, Zone: s.zone, Placed: [4]uint32{20}}
	ended := s.says(placer, done)
	for _, fact := range []event.Fact{done, &event.DishClosed{Dish: dish}} {
		if err := s.state.Check(replicaOf(sorter), fact); !fault.Is(err, "dish-closed") {
			t.Errorf("%v: got %v", fact.Kind(), err)
		}
	}
	s.says(placer, &event.Void{Target: ended})
	if err := s.state.Check(replicaOf(sorter), done); err != nil {
		t.Errorf("undone: got %v", err)
	}
}

// A counter knows nothing of what was tapped before its first reading, or was
// there before counting began.
func TestACounterKnowsOnlyItsStretch(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(puncher, &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Outcome: event.Intact, N: 11})
	early := s.says(puncher, &event.Attempt{Pass: s.pass, Outcome: event.Total, N: 70})
	s.reads(500)
	s.taps(event.Total, 10)
	s.reads(512)
	s.says(puncher, &event.PassEnded{Pass: s.pass})
	s.checkFound("two forgotten", found{event.Counter, 0, -2})
	s.says(puncher, &event.Void{Target: early})
	s.checkFound("an early one undone", found{event.Counter, 0, -2})
}

// Whatever arrives, the figure on the wall stays a number.
func TestAbsurdReadings(t *testing.T) {
	s := newStage(t, event.Pulled)
	s.says(lead, &event.Budget{Grafts: 2000})
	for range 600 {
		s.reads(0)
		s.reads(9_999_999)
		s.says(puncher, &event.Reading{Pass: s.pass, Counter: "b", Direction: event.Up, Value: 0})
		s.says(puncher, &event.Reading{Pass: s.pass, Counter: "b", Direction: event.Up, Value: 9_999_999})
	}
	if h := s.state.View(replicaOf(lead), s.ms, nil).Headline; h.OnTheWay < 0 || h.ToTake < 0 || h.Attempts < 0 || h.Usable < 0 {
		t.Errorf("got %+v", h)
	}
}
