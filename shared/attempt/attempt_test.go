package attempt

import (
	"crypto/sha256"
	"reflect"
	"testing"

	"rootledger/shared/event"
)

// made is an event of one replica, as a tally needs it.
func made(replica byte, seq uint64, stamp event.Stamp, fact event.Fact) *event.Event {
	e := &event.Event{Replica: event.ReplicaID{replica}, Seq: seq, Stamp: stamp, Fact: fact}
	e.Hash = sha256.Sum256(event.Encode(e))
	return e
}

// begun is a tally with one pass, and the pass.
func begun(mode event.Mode) (*Tally, event.Ref) {
	t := new(Tally)
	e := made(1, 1, 1, &event.PassBegun{Mode: mode})
	t.Add(e, 1)
	return t, e.Ref()
}

var (
	left  = event.Ref{Replica: event.ReplicaID{7}, Seq: 1}
	right = event.Ref{Replica: event.ReplicaID{7}, Seq: 2}
)

// taps is what happens in every pass of the test of modes: 40 shots, a counter
// that moves by 60 and takes 10 of them over, and five outcomes.
func taps(pass event.Ref) []event.Fact {
	tap := func(o event.Outcome, n uint32) event.Fact { return &event.Attempt{Pass: pass, Outcome: o, N: n} }
	return []event.Fact{
		&event.Fired{Pass: pass, N: 30},
		&event.Reading{Pass: pass, Counter: "a", Direction: event.Up, Value: 100},
		&event.Fired{Pass: pass, N: 10},
		&event.Reading{Pass: pass, Counter: "a", Direction: event.Up, Value: 160},
		tap(event.Intact, 50), tap(event.Partial, 4), tap(event.Total, 3), tap(event.Topped, 2), tap(event.Buried, 2), tap(event.Empty, 1),
		&event.Retrieved{From: event.Topped, Pass: pass, N: 1}, &event.Retrieved{From: event.Buried, Pass: pass, N: 2},
	}
}

// Wanted numbers: computed from the definitions.
func TestModes(t *testing.T) {
	tests := []struct {
		mode    event.Mode
		punched int64
		intact  int64
		pending int64
		out     int64
	}{
		{event.Each, 62, 50, 0, 57},
		{event.Pulled, 90, 50, 28, 57},
		{event.ByException, 90, 78, 0, 85},
	}
	for _, tt := range tests {
		t.Run(tt.mode.String(), func(t *testing.T) {
			tally, pass := begun(tt.mode)
			for i, fact := range taps(pass) {
				tally.Add(made(2, uint64(i+1), event.Stamp(i+1), fact), 1)
			}
			c := tally.Passes()[0].Total
			if c.Punched != tt.punched || c.Outcomes[0] != tt.intact || c.Pending != tt.pending || c.Out() != tt.out {
				t.Errorf("got punched %d, intact %d, pending %d, out %d, want %d, %d, %d, %d",
					c.Punched, c.Outcomes[0], c.Pending, c.Out(), tt.punched, tt.intact, tt.pending, tt.out)
			}
			if c.Punched != c.OutcomeTotal()+c.Pending {
				t.Errorf("punched %d, outcomes %d, pending %d do not add up", c.Punched, c.OutcomeTotal(), c.Pending)
			}
			if c.BuriedOpen() != 0 || c.RetrievedTopped != 1 || c.RetrievedBuried != 2 {
				t.Errorf("got buried open %d, retrieved %d and %d, want 0, 1, 2", c.BuriedOpen(), c.RetrievedTopped, c.RetrievedBuried)
			}
			for i, fact := range taps(pass) {
				tally.Add(made(2, uint64(i+1), event.Stamp(i+1), fact), -1)
			}
			if c := tally.Passes()[0].Total; c != (Counts{}) {
				t.Errorf("all undone: got %+v, want nothing", c)
			}
		})
	}
}

func TestDerivedIntactMayFallBelowZero(t *testing.T) {
	tally, pass := begun(event.ByException)
	tally.Add(made(2, 1, 1, &event.Fired{Pass: pass, N: 3}), 1)
	tally.Add(made(2, 2, 2, &event.Attempt{Pass: pass, Outcome: event.Total, N: 5}), 1)
	c := tally.Passes()[0].Total
	if c.Outcomes[0] != -2 || c.OutcomeTotal() != 3 || c.Out() != -2 || c.Pending != 0 {
		t.Errorf("got %+v, want intact -2 of 3", c)
	}
}

func TestPendingMayFallBelowZero(t *testing.T) {
	tally, pass := begun(event.Pulled)
	tally.Add(made(2, 1, 1, &event.Fired{Pass: pass, N: 3}), 1)
	tally.Add(made(2, 2, 2, &event.Attempt{Pass: pass, Outcome: event.Intact, N: 5}), 1)
	if c := tally.Passes()[0].Total; c.Pending != -2 || c.Punched != 3 {
		t.Errorf("got %+v, want pending -2 of 3 punched", c)
	}
}

func TestRegionsAreKeptApart(t *testing.T) {
	for _, mode := range []event.Mode{event.Each, event.Pulled, event.ByException} {
		t.Run(mode.String(), func(t *testing.T) {
			tally, pass := begun(mode)
			facts := []event.Fact{
				&event.Fired{Pass: pass, Region: left, N: 9},
				&event.Fired{Pass: pass, N: 4},
				&event.Attempt{Pass: pass, Region: right, Outcome: event.Partial, N: 2},
				&event.Attempt{Pass: pass, Region: left, Outcome: event.Empty, N: 3},
			}
			for i, fact := range facts {
				tally.Add(made(2, uint64(i+1), event.Stamp(i+1), fact), 1)
			}
			want := map[event.Mode][3]int64{ // punched in no region, left, right
				event.Each: {0, 3, 2}, event.Pulled: {4, 9, 0}, event.ByException: {4, 9, 0},
			}[mode]
			var got [3]int64
			var last event.Ref
			sum := Counts{}
			for i, r := range tally.Passes()[0].ByRegion {
				if i > 0 && event.CompareRef(last, r.Region) >= 0 {
					t.Errorf("rows are not in order")
				}
				last, sum = r.Region, sum.Plus(r.Counts)
				got[r.Region.Seq] = r.Counts.Punched
				if r.Counts.Punched != r.Counts.OutcomeTotal()+r.Counts.Pending {
					t.Errorf("row %v does not add up: %+v", r.Region, r.Counts)
				}
			}
			if got != want || sum != tally.Passes()[0].Total {
				t.Errorf("got %v, total %+v, want %v", got, tally.Passes()[0].Total, want)
			}
		})
	}
}

func TestPassesAreListedByTheirStart(t *testing.T) {
	a, b, c := made(3, 1, 5, &event.PassBegun{Mode: event.Each}), made(2, 4, 5, &event.PassBegun{Mode: event.Pulled}), made(1, 9, 4, &event.PassBegun{Mode: event.ByException})
	want := []event.Ref{c.Ref(), b.Ref(), a.Ref()}
	for _, order := range [][]*event.Event{{a, b, c}, {c, b, a}, {b, a, c}, {b, c, a}} {
		var tally Tally
		for _, e := range order {
			tally.Add(e, 1)
		}
		tally.Add(made(4, 1, 9, &event.PassEnded{Pass: b.Ref()}), 1)
		var got []event.Ref
		for _, p := range tally.Passes() {
			got = append(got, p.Ref)
			if p.Ended != (p.Ref == b.Ref()) || p.By != p.Ref.Replica {
				t.Errorf("pass %v: got ended %v, by %v", p.Ref, p.Ended, p.By)
			}
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("got %v, want %v", got, want)
		}
	}
}

func TestNewestIsOfUndoneEntriesToo(t *testing.T) {
	tally, pass := begun(event.Each)
	late := made(2, 1, 70, &event.Attempt{Pass: pass, Outcome: event.Intact, N: 1})
	tally.Add(late, 1)
	tally.Add(late, -1)
	tally.Add(made(2, 2, 30, &event.Attempt{Pass: pass, Outcome: event.Intact, N: 1}), 1)
	tally.Add(made(2, 3, 99, &event.Sorted{Size: 1, N: 1}), 1) // not an entry of extraction
	if got := tally.Newest(); got != 70 {
		t.Errorf("got %d, want 70", got)
	}
}
