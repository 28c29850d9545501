package session

import (
	"testing"

	"rootledger/shared/event"
)

// The settlements that stand are listed newest first, with who and why; one
// that is undone is not.
func TestSettlesThatStand(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Buried, 3)
	left := s.says(lead, &event.Settled{What: event.LeftIn, Amount: -1, Reason: "left, not found"})
	sites := s.says(lead, &event.Settled{What: event.SitesOpen, At: s.zone, Size: 1, Amount: 2, Reason: "counted again"})
	want := []Settle{
		{Ref: sites, What: event.SitesOpen, At: s.zone, Size: 1, Amount: 2, Reason: "counted again", AtMs: s.ms, Person: "P1"},
		{Ref: left, What: event.LeftIn, Amount: -1, Reason: "left, not found", AtMs: s.ms - 1000, Person: "P1"},
	}
	check := func(when string, want []Settle) {
		t.Helper()
		got := s.state.View(replicaOf(lead), s.ms, nil).Settles
		if len(got) != len(want) {
			t.Fatalf("%s: got %+v, want %+v", when, got, want)
		}
		for i, one := range want {
			if got[i] != one {
				t.Errorf("%s: %d: got %+v, want %+v", when, i, got[i], one)
			}
		}
	}
	check("both", want)
	s.says(lead, &event.Void{Target: sites})
	check("one undone", want[1:])
	for range maxSettles {
		s.says(lead, &event.Settled{What: event.LeftIn, Amount: -1, Reason: "left, not found"})
	}
	if got := len(s.state.View(replicaOf(lead), s.ms, nil).Settles); got != maxSettles {
		t.Errorf("%d stand: listed %d, want %d", maxSettles+1, got, maxSettles)
	}
}
