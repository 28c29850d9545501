package session

import (
	"testing"

	"rootledger/shared/event"
)

// A stock below zero stays a difference while others are counted: only counts of
// its own size ask again whether every phone was heard since.
func TestADifferenceStaysWhileOthersAreCounted(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 50)
	s.makes(1, 40)
	s.makes(2, 40)
	s.sorts(1, 30)
	s.sorts(2, 5)
	s.places(2, 7)
	since := s.ms
	heard := phones(s.ms, nil)
	for range 5 {
		s.places(1, 1)
	}
	for _, d := range s.state.View(replicaOf(lead), s.ms, heard).Differences {
		if d.What == event.Held && d.Size == 2 {
			if !d.Open || d.SinceMs != since || d.Amount != -2 {
				t.Errorf("got %+v, want it open since %d", d, since)
			}
			return
		}
	}
	t.Error("no difference of doubles")
}
