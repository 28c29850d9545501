package session

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/pace"
)

// minutes lets time pass.
func (s *stage) minutes(n int64) { s.ms += n * 60_000 }

func (s *stage) paceOf(station event.Station) StationPace {
	s.t.Helper()
	for _, p := range s.state.View(replicaOf(lead), s.ms, nil).Pace.Stations {
		if p.Station == station {
			return p
		}
	}
	s.t.Fatalf("%v has no pace", station)
	return StationPace{}
}

// Each way of counting a pass gives the pace of its attempts.
func TestPaceOfEveryMode(t *testing.T) {
	for mode := event.Each; mode <= event.ByException; mode++ {
		t.Run(mode.String(), func(t *testing.T) {
			s := newStage(t, mode)
			s.says(lead, &event.Budget{Grafts: 30})
			value := uint32(500)
			s.reads(value)
			for range 12 {
				s.minutes(1)
				if mode == event.Each {
					s.taps(event.Intact, 5)
					continue
				}
				s.fires(3) // which lie in the stretch that the reading closes
				value += 5
				s.reads(value)
				s.taps(event.Partial, 1)
			}
			got := s.paceOf(event.Extraction)
			if got.State != pace.Running || got.Events != 60 || got.PerHour10 < 2500 || got.PerHour10 > 3300 || got.Low10 >= got.PerHour10 || got.High10 <= got.PerHour10 {
				t.Errorf("got %+v", got)
			}
		})
	}
}

// What was there before, and what happened earlier, is no work of now; what is
// undone is none at all.
func TestPaceLeavesOut(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(sorter, &event.OpeningCount{Of: event.KindSorted, Size: 1, N: 300})
	for range 11 {
		s.minutes(1)
		s.sorts(2, 3)
	}
	late := s.event(sorter, &event.Sorted{Size: 1, N: 40})
	late.Late, late.Body = true, nil
	if err := late.Seal(); err != nil {
		t.Fatal(err)
	}
	s.heads[sorter] = late.Hash
	if err := s.state.Apply(late); err != nil {
		t.Fatal(err)
	}
	slip := s.says(sorter, &event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: 9})
	s.says(sorter, &event.Void{Target: slip})
	if got := s.paceOf(event.Sorting); got.Events != 33 || got.Bulk != 0 {
		t.Errorf("got %+v, want 33 events", got)
	}
}

// A pause of the station or of the room takes its time out, a pause of another
// station does not; one that has not ended is said.
func TestPaceWithoutPauses(t *testing.T) {
	s := newStage(t, event.Each)
	for range 10 {
		s.minutes(1)
		s.sorts(2, 3)
	}
	active := s.paceOf(event.Sorting).ActiveMs
	s.says(sorter, &event.Paused{})
	s.minutes(5)
	s.says(sorter, &event.Resumed{})
	s.says(placer, &event.Paused{})
	s.minutes(3)
	s.says(lead, &event.Paused{Room: true})
	s.minutes(4)
	got := s.paceOf(event.Sorting)
	if gained := got.ActiveMs - active; !got.Paused || gained < 3*60_000 || gained > 3*60_000+6_000 {
		t.Errorf("got %+v: active for %d ms more, want three minutes", got, gained)
	}
}

// A clock that was off is put right: its entries move in time, whichever of the
// note and the entries came first.
func TestPaceFollowsClockNotes(t *testing.T) {
	const off = 2 * 3_600_000
	s := newStage(t, event.Each)
	for range 12 {
		s.minutes(1)
		e := s.event(sorter, &event.Sorted{Size: 1, N: 3})
		e.Start, e.SinceMs, e.WallMs, e.Body = event.StartID{7}, uint64(s.ms-startMs), s.ms-off, nil
		e.Stamp = event.StampAt(s.ms - off) // a clock two hours behind
		if err := e.Seal(); err != nil {
			t.Fatal(err)
		}
		s.heads[sorter] = e.Hash
		if err := s.state.Apply(e); err != nil {
			t.Fatal(err)
		}
	}
	if got := s.paceOf(event.Sorting); got.Events != 0 {
		t.Fatalf("before the note: got %+v, want nothing in the window", got)
	}
	s.says(7, &event.ClockNote{Replica: replicaOf(sorter), Start: event.StartID{7}, SinceMs: uint64(s.ms - startMs), RoomMs: uint64(s.ms), AheadMs: -off})
	if got := s.paceOf(event.Sorting); got.Events != 36 || got.State != pace.Running {
		t.Errorf("after the note: got %+v, want 36 events", got)
	}
}
