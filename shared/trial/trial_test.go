package trial

import (
	"testing"

	"rootledger/shared/event"
)

// day is a tally and the events that it was given.
type day struct {
	Tally
	seq uint64
}

func (d *day) add(fact event.Fact) *event.Event {
	d.seq++
	e := &event.Event{Replica: event.ReplicaID{1}, Seq: d.seq, Stamp: event.Stamp(d.seq << 20), Fact: fact, Hash: event.Hash{byte(d.seq)}}
	d.Add(e, 1)
	return e
}

var (
	pass    = event.Ref{Seq: 90}
	setups  = []event.Ref{{Seq: 91}, {Seq: 92}}
	outcome = event.Partial
)

func (d *day) begin() (*event.Event, *Trial) {
	e := d.add(&event.Trial{Pass: pass, Setups: setups, Block: 10, Seed: 7})
	return e, d.Find(e.Ref())
}

func (d *day) taps(trial *event.Event, arm int64, n uint32) *event.Event {
	return d.add(&event.Attempt{Pass: pass, Outcome: outcome, N: n, Setup: setups[arm], Trial: trial.Ref()})
}

func TestTurns(t *testing.T) {
	var d day
	e, one := d.begin()
	if one.Next() != 1 || one.Arms() != 2 || !one.Standing {
		t.Errorf("begun: got %+v", one)
	}
	arm := one.Drawn(1)
	turn := d.add(&event.SetupChosen{Pass: pass, Setup: setups[arm], Trial: e.Ref(), Turn: 1})
	fourth := d.add(&event.SetupChosen{Pass: pass, Setup: setups[one.Drawn(4)], Trial: e.Ref(), Turn: 4})
	if got := one.Next(); got != 5 {
		t.Errorf("after turns 1 and 4: got %d, want 5", got)
	}
	d.Add(fourth, -1)
	if got := one.Next(); got != 2 {
		t.Errorf("after turn 4 was undone: got %d, want 2", got)
	}
	d.Add(turn, -1)
	if got := one.Next(); got != 1 {
		t.Errorf("after all were undone: got %d, want 1", got)
	}
}

func TestLeft(t *testing.T) {
	var d day
	e, one := d.begin()
	arm := one.Drawn(1)
	left := func(turn, want int64) {
		t.Helper()
		if got := one.Left(arm, turn); got != want {
			t.Errorf("turn %d: got %d, want %d", turn, got, want)
		}
	}
	left(1, 10)
	seven := d.taps(e, arm, 7)
	left(1, 3)
	d.taps(e, arm, 6)
	left(1, 0)                  // 13 in a block of 10: all count
	left(one.turnAfter(arm), 7) // and the next one is the shorter
	d.Add(seven, -1)
	left(1, 4)
	if got := one.Attempts(arm); got != 6 {
		t.Errorf("attempts: got %d, want 6", got)
	}
}

// turnAfter is the arm's second turn.
func (t *Trial) turnAfter(arm int64) int64 {
	for turn := int64(2); ; turn++ {
		if t.Drawn(turn) == arm {
			return turn
		}
	}
}

func TestCounts(t *testing.T) {
	var d day
	e, one := d.begin()
	d.taps(e, 1, 3)
	d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 4, Setup: setups[1], Trial: e.Ref()})
	d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 40, Setup: setups[1]})                         // of no trial
	d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 50, Setup: event.Ref{Seq: 3}, Trial: e.Ref()}) // with no arm
	d.add(&event.Note{})
	if got, want := one.Outcomes(1), ([event.Outcomes]int64{4, 3}); got != want || one.Attempts(0) != 0 {
		t.Errorf("got %v and %d, want %v and 0", got, one.Attempts(0), want)
	}
}

func TestConcluded(t *testing.T) {
	var d day
	e, one := d.begin()
	first := d.add(&event.TrialConcluded{Trial: e.Ref(), Note: "a"})
	second := d.add(&event.TrialConcluded{Trial: e.Ref(), Note: "b"})
	if got := one.Concluded(); got != second {
		t.Errorf("got %+v, want the newest", got)
	}
	d.Add(second, -1)
	if got := one.Concluded(); got != first {
		t.Errorf("got %+v, want the first", got)
	}
	d.Add(first, -1)
	if one.Concluded() != nil {
		t.Error("concluded after both were undone")
	}
	d.Add(e, -1)
	if one.Standing || len(d.Trials()) != 1 {
		t.Error("it stands after it was undone")
	}
}

func TestBlocks(t *testing.T) {
	var d day
	_, one := d.begin()
	for n, want := range map[int64]int64{-5: 0, 0: 0, 1: 10, 10: 10, 11: 20, 474: 480} {
		if got := one.Blocks(n); got != want {
			t.Errorf("%d: got %d, want %d", n, got, want)
		}
	}
}
