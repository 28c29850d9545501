package session

import (
	"slices"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/holding"
)

func (s *stage) timeOut() TimeOut {
	s.t.Helper()
	return s.state.View(replicaOf(lead), s.ms, nil).TimeOut
}

// Whatever is not counted today leaves the times unknown, and asks nothing.
func TestTimeOutNeedsBothEnds(t *testing.T) {
	for name, counting := range map[string][]event.Station{
		"placing is not counted":    {event.Extraction, event.Sorting},
		"extraction is not counted": {event.Sorting, event.Placing},
	} {
		t.Run(name, func(t *testing.T) {
			s := newStage(t, event.Each, counting...)
			s.taps(event.Intact, 9)
			s.minutes(500)
			if got := s.timeOut(); got.Known || got.Came != 0 || got.Oldest != holding.Within || got.AmberMin != 240 {
				t.Errorf("got %+v", got)
			}
		})
	}
}

// A dated clock moves times out, whichever came first; so does what is undone,
// moved to another dish, or there before counting began.
func TestTimeOutFollowsClockNotes(t *testing.T) {
	const off = 2 * 3_600_000
	s := newStage(t, event.ByException)
	wrong := func(fact event.Fact) {
		e := s.event(puncher, fact)
		e.Start, e.SinceMs, e.WallMs, e.Body = event.StartID{7}, uint64(s.ms-startMs), s.ms-off, nil
		e.Stamp = event.StampAt(s.ms - off) // a clock two hours behind
		if err := e.Seal(); err != nil {
			t.Fatal(err)
		}
		s.heads[puncher] = e.Hash
		if err := s.state.Apply(e); err != nil {
			t.Fatal(err)
		}
	}
	wrong(&event.Fired{Pass: s.pass, N: 5})
	out := s.ms
	wrong(&event.Attempt{Pass: s.pass, Outcome: event.Empty, N: 2})
	s.minutes(3)
	if got := s.timeOut(); got.OldestMs != out-off || got.Came != 3 {
		t.Fatalf("before the note: got %+v", got)
	}
	s.says(lead, &event.ClockNote{Replica: replicaOf(puncher), Start: event.StartID{7}, SinceMs: uint64(out - startMs), RoomMs: uint64(out), AheadMs: -off})
	if got := s.timeOut(); got.OldestMs != out || got.OldestMin != 3 || got.Came != 3 {
		t.Errorf("after the note: got %+v, want out since %d", got, out)
	}
	wrong(&event.Fired{Pass: s.pass, N: 4})
	if got := s.timeOut(); got.OldestMs != out || got.Came != 7 {
		t.Errorf("a shot after the note: got %+v", got)
	}
}

func TestTimeOutOfOpeningCounts(t *testing.T) {
	s := newStage(t, event.Each)
	slip := s.says(puncher, &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Outcome: event.Intact, N: 60})
	out := s.ms
	s.says(puncher, &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Outcome: event.Empty, N: 9})
	s.minutes(7)
	if got := s.timeOut(); got.Opening != 60 || got.Came != 60 || got.OldestMs != out || got.OldestMin != 7 {
		t.Errorf("got %+v", got)
	}
	s.says(puncher, &event.Void{Target: slip})
	if got := s.timeOut(); got.Opening != 0 || got.Came != 0 || got.OldestMs != 0 {
		t.Errorf("undone: got %+v", got)
	}
}

// By exception, what was no graft before counting began was not out then.
func TestOpeningShotsByException(t *testing.T) {
	s := newStage(t, event.ByException)
	s.says(puncher, &event.OpeningCount{Of: event.KindFired, Pass: s.pass, N: 60})
	less := s.says(puncher, &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Outcome: event.Empty, N: 9})
	s.fires(5)
	s.taps(event.Empty, 2)
	if got := s.timeOut(); got.Opening != 51 || got.Came != 54 {
		t.Errorf("got %+v", got)
	}
	s.says(puncher, &event.Void{Target: less})
	if got := s.timeOut(); got.Opening != 60 || got.Came != 63 {
		t.Errorf("undone: got %+v", got)
	}
}

// A dish knows since when its oldest lies in it; a graft that is moved there is
// taken to have lain there since it was sorted.
func TestTimeInADish(t *testing.T) {
	s := newStage(t, event.Each)
	one, two := s.says(sorter, &event.Dish{Label: "1"}), s.says(sorter, &event.Dish{Label: "2"})
	first := s.says(sorter, &event.Sorted{Size: 1, N: 3, Dish: one})
	sorted := s.ms
	s.minutes(250)
	s.says(sorter, &event.Sorted{Size: 1, N: 3, Dish: one})
	held := func(label string) Dish {
		for _, d := range s.state.View(replicaOf(lead), s.ms, nil).Dishes {
			if d.Label == label {
				return d
			}
		}
		return Dish{}
	}
	if got := held("1"); got.SinceMs != sorted || got.HeldMin != 250 || got.Held != holding.Amber {
		t.Errorf("got %+v, want since %d", got, sorted)
	}
	s.says(sorter, &event.Refiled{Targets: []event.Ref{first}, Sets: event.FiledDish, Dish: two})
	if got := held("2"); got.SinceMs != sorted || held("1").HeldMin != 0 {
		t.Errorf("moved: got %+v and %+v", got, held("1"))
	}
	s.says(placer, &event.DishDone{Dish: two, Zone: s.zone, Placed: [4]uint32{2}, Returned: [4]uint32{1}})
	want := holding.Dish{LeftKnown: true, Left: 3, MeanMs: s.ms - sorted}
	if got := s.state.DishTimes()[1]; got.Label != "2" || got.Dish != want || held("2").SinceMs != 0 {
		t.Errorf("done: got %+v, want %+v", got, want)
	}
}

func TestAskToPauseExtraction(t *testing.T) {
	planned := &event.Keeping{AmberMin: 100, RedMin: 200, PlacingMs: startMs + 90*60_000, PerHour10: 600}
	tests := []struct {
		name string
		does func(s *stage)
		want []Ask
	}{
		{"just before the first limit", func(s *stage) { s.minutes(239) }, nil},
		{"at the first limit", func(s *stage) { s.minutes(240) }, []Ask{{What: AskPauseOld, Have: 240, Want: 240}}},
		{"at the second", func(s *stage) { s.minutes(360) }, []Ask{{What: AskPauseOld, Limit: true, Have: 360, Want: 360}}},
		{"a forecast past the first", func(s *stage) { s.says(lead, planned) }, []Ask{{What: AskPauseAhead, Have: 130, Want: 100}}},
		{"a forecast past the second", func(s *stage) {
			s.taps(event.Intact, 100)
			s.says(lead, planned)
		}, []Ask{{What: AskPauseAhead, Limit: true, Have: 230, Want: 200}}},
		{"both past the first: what is out already", func(s *stage) {
			s.says(lead, planned)
			s.minutes(100)
			s.taps(event.Intact, 80)
		}, []Ask{{What: AskPauseOld, Have: 100, Want: 100}}},
		{"extraction is paused", func(s *stage) {
			s.minutes(240)
			s.says(puncher, &event.Paused{})
		}, []Ask{{What: AskOld, Have: 240, Want: 240}}},
		{"extraction is paused, a forecast", func(s *stage) {
			s.says(lead, planned)
			s.says(puncher, &event.Paused{})
		}, nil},
		{"nothing left to take", func(s *stage) {
			s.says(lead, &event.Budget{Grafts: 10})
			s.says(lead, planned)
			s.minutes(201)
		}, []Ask{{What: AskOld, Limit: true, Have: 201, Want: 200}}},
		{"every pass has ended", func(s *stage) {
			s.says(puncher, &event.PassEnded{Pass: s.pass})
			s.minutes(240)
		}, []Ask{{What: AskOld, Have: 240, Want: 240}}},
		{"one pass of two has ended", func(s *stage) {
			s.says(puncher, &event.PassEnded{Pass: s.pass})
			s.says(puncher, &event.PassBegun{Mode: event.Each})
			s.minutes(240)
		}, []Ask{{What: AskPauseOld, Have: 240, Want: 240}}},
		{"the session has ended", func(s *stage) {
			s.minutes(400)
			s.says(lead, &event.Ended{})
		}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each)
			s.taps(event.Intact, 40)
			s.ms -= 1000 // what follows is in the same second
			tt.does(s)
			got := slices.DeleteFunc(s.state.View(replicaOf(lead), s.ms+1000, nil).Asks, func(a Ask) bool { return a.What == AskRecount })
			if !slices.Equal(got, tt.want) && (len(got) > 0 || len(tt.want) > 0) {
				t.Errorf("got %+v, want %+v", got, tt.want)
			}
		})
	}
}

// One dish done says nothing of half an hour of placing: no pace yet, nothing to pause for.
func TestTheFirstDishDoneIsNoPace(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 400)
	s.minutes(40)
	dish := s.says(sorter, &event.Dish{Label: "1"})
	s.says(sorter, &event.Sorted{Size: 2, N: 20, Dish: dish})
	s.says(placer, &event.DishDone{Dish: dish, Zone: s.zone, Placed: [4]uint32{0, 20}})
	for _, c := range []struct {
		minutes int64
		basis   holding.Basis
	}{{0, holding.NoPace}, {29, holding.NoPace}, {1, holding.Measured}} {
		if s.minutes(c.minutes); c.basis == holding.Measured {
			s.places(2, 20)
		}
		if got := s.timeOut(); got.Basis != c.basis {
			t.Errorf("%d minutes later: got %+v, want by %v", c.minutes, got, c.basis)
		}
	}
}

// A planned start that is days from the session is a slip.
func TestKeepingOfAnotherDay(t *testing.T) {
	s := newStage(t, event.Each)
	for _, tt := range []struct {
		days int64
		code fault.Code
	}{{0, ""}, {2, ""}, {-3, "keeping-start"}, {3, "keeping-start"}} {
		err := s.state.Check(replicaOf(lead), &event.Keeping{AmberMin: 1, RedMin: 2, PlacingMs: startMs + tt.days*86_400_000})
		if f := fault.Of(err); (f == nil) != (tt.code == "") || f != nil && f.Code != tt.code {
			t.Errorf("%d days: got %v, want %q", tt.days, err, tt.code)
		}
	}
	if err := s.state.Check(replicaOf(lead), &event.Keeping{AmberMin: 1, RedMin: 2}); err != nil {
		t.Errorf("no start: got %v", err)
	}
}

// Limits made apart both stand until somebody chooses.
func TestKeepingsApart(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(second, &event.Joined{Person: "Bo", Station: event.Lead})
	a := s.says(lead, &event.Keeping{AmberMin: 200, RedMin: 250, Solution: "saline", Temperature10: 40, TemperatureKnown: true})
	b := s.says(second, &event.Keeping{AmberMin: 100, RedMin: 300})
	v := s.state.View(replicaOf(lead), s.ms, nil)
	if len(v.Conflicts) != 1 || v.Conflicts[0].Kind != event.KindKeeping || v.Conflicts[0].Values[0].Ref != b ||
		v.Conflicts[0].Values[1].Solution != "saline" || v.TimeOut.AmberMin != 100 || v.TimeOut.RedMin != 250 {
		t.Fatalf("got %+v and %+v", v.Conflicts, v.TimeOut)
	}
	choice := &event.Keeping{AmberMin: 200, RedMin: 250, Solution: "saline", Temperature10: 40, TemperatureKnown: true}
	choice.Supersedes = s.state.Supersedes(choice)
	if heads := []event.Ref{a, b}; !slices.Equal(choice.Supersedes, heads) {
		t.Fatalf("supersedes: got %v, want %v", choice.Supersedes, heads)
	}
	s.says(lead, choice)
	v = s.state.View(replicaOf(lead), s.ms, nil)
	if o := v.TimeOut; len(v.Conflicts) != 0 || o.AmberMin != 200 || o.Solution != "saline" || o.Temperature10 != 40 || !o.TemperatureKnown || o.Standing != 1 {
		t.Errorf("chosen: got %+v and %+v", v.Conflicts, o)
	}
}

// The entries behind a time out add up to what is out; those behind the wait of
// the next one to what lies before it, settled grafts too.
func TestEntriesBehindTimesOutAddUp(t *testing.T) {
	for mode := event.Each; mode <= event.ByException; mode++ {
		s, _, _ := busyStage(t, mode)
		v := s.state.View(replicaOf(lead), s.ms, nil)
		for of, want := range map[Figure]int64{FigureTimeOut: v.TimeOut.Came - v.TimeOut.Left, FigureAhead: v.Ledger.Bench + v.Ledger.HoldingTotal} {
			var sum int64
			for _, p := range s.state.Behind(Question{Of: of}, s.ms).People {
				sum += p.Plus - p.Minus
			}
			if sum != want {
				t.Errorf("%v, %v: the entries add up to %d, want %d", mode, of, sum, want)
			}
		}
	}
}
