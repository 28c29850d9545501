package session

import (
	"reflect"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// refiles has a phone move one entry.
func (s *stage) refiles(who byte, target event.Ref, f event.Refiled) event.Ref {
	f.Targets = []event.Ref{target}
	return s.says(who, &f)
}

func (s *stage) ledger() Ledger { return s.state.View(replicaOf(lead), s.ms, nil).Ledger }

// sizes is what was sorted: three entries of ten, twenty and forty of size 1.
func sizes(t *testing.T) (s *stage, ten, twenty event.Ref) {
	s = newStage(t, event.Each)
	ten = s.says(sorter, &event.Sorted{Size: 1, N: 10})
	twenty = s.says(sorter, &event.Sorted{Size: 1, N: 20})
	s.sorts(1, 40)
	return s, ten, twenty
}

func size(n event.Size) event.Refiled { return event.Refiled{Sets: event.FiledSize, Size: n} }

func TestRefilesOfASize(t *testing.T) {
	tests := []struct {
		name string
		do   func(s *stage, ten, twenty event.Ref)
		want event.BySize
	}{
		{"none", func(*stage, event.Ref, event.Ref) {}, event.BySize{70}},
		{"by its author", func(s *stage, ten, _ event.Ref) { s.refiles(sorter, ten, size(2)) }, event.BySize{60, 10}},
		{"by a lead", func(s *stage, ten, _ event.Ref) { s.refiles(lead, ten, size(2)) }, event.BySize{60, 10}},
		{"by another's phone", func(s *stage, ten, _ event.Ref) { s.refiles(placer, ten, size(2)) }, event.BySize{70}},
		{"of an own and another's", func(s *stage, ten, _ event.Ref) {
			own := s.says(placer, &event.Placed{Zone: s.zone, Size: 1, N: 1})
			s.says(placer, &event.Refiled{Targets: []event.Ref{own, ten}, Sets: event.FiledSize, Size: 2})
		}, event.BySize{70}},
		{"two entries", func(s *stage, ten, twenty event.Ref) {
			s.says(sorter, &event.Refiled{Targets: []event.Ref{ten, twenty, ten}, Sets: event.FiledSize, Size: 3})
		}, event.BySize{40, 0, 30}},
		{"again", func(s *stage, ten, _ event.Ref) { s.refiles(sorter, ten, size(2)); s.refiles(lead, ten, size(4)) }, event.BySize{60, 0, 0, 10}},
		{"and back", func(s *stage, ten, _ event.Ref) { s.refiles(sorter, ten, size(2)); s.refiles(lead, ten, size(1)) }, event.BySize{70}},
		{"of what is undone, brought back later", func(s *stage, ten, _ event.Ref) {
			void := s.voids(ten)
			s.refiles(sorter, ten, size(2))
			s.says(lead, &event.Restore{Target: ten, Voids: []event.Ref{void}})
		}, event.BySize{60, 10}},
		{"and undone", func(s *stage, ten, _ event.Ref) { s.refiles(sorter, ten, size(2)); s.voids(ten) }, event.BySize{60}},
		{"a void of the refile does nothing", func(s *stage, ten, _ event.Ref) { s.voids(s.refiles(sorter, ten, size(2))) }, event.BySize{60, 10}},
		{"of a field that it does not have", func(s *stage, ten, _ event.Ref) {
			s.refiles(sorter, ten, event.Refiled{Sets: event.FiledSize | event.FiledZone, Size: 2, Zone: s.zone})
		}, event.BySize{60, 10}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, ten, twenty := sizes(t)
			tt.do(s, ten, twenty)
			if got := s.ledger(); got.Sorted != tt.want || got.Holding != minus(tt.want, got.Placed) {
				t.Errorf("got sorted %v, holding %v, placed %v, want %v sorted", got.Sorted, got.Holding, got.Placed, tt.want)
			}
		})
	}
}

func minus(a, b event.BySize) event.BySize {
	for i := range a {
		a[i] -= b[i]
	}
	return a
}

// The greatest stamp wins field by field, whichever refile came first, and
// whether the entry was there already.
func TestTheNewestRefileOfEachField(t *testing.T) {
	orders := [][]int{{0, 1, 2, 3}, {3, 0, 1, 2}, {1, 0, 3, 2}, {3, 2, 1, 0}, {2, 3, 0, 1}}
	var want View
	for i, order := range orders {
		s := newStage(t, event.Each)
		left := s.says(lead, &event.Region{Code: "L", Name: "left", AreaMM2: 2000, Density10: 700, SharePerMille: 300})
		other := s.says(lead, &event.PassBegun{Mode: event.Each})
		s.says(second, &event.Joined{Person: "Max", Station: event.Lead})
		entry := s.event(puncher, &event.Attempt{Pass: s.pass, Outcome: event.Total, N: 60})
		one := s.event(lead, &event.Refiled{Targets: []event.Ref{entry.Ref()}, Sets: event.FiledPass | event.FiledRegion, Pass: other})
		two := s.event(second, &event.Refiled{Targets: []event.Ref{entry.Ref()}, Sets: event.FiledRegion, Region: left})
		s.ms -= 5000 // a phone with a slow clock: an older stamp, whenever it comes
		old := s.event(siter, &event.Joined{Person: "Ned", Station: event.Lead})
		older := s.event(siter, &event.Refiled{Targets: []event.Ref{entry.Ref()}, Sets: event.FiledPass, Pass: s.pass})
		if err := s.state.Apply(old); err != nil {
			t.Fatal(err)
		}
		for _, at := range order {
			if err := s.state.Apply([]*event.Event{entry, one, two, older}[at]); err != nil {
				t.Fatal(err)
			}
		}
		v := s.state.View(replicaOf(puncher), s.ms, nil)
		if v.Passes[0].Counts.Punched != 0 || v.Passes[1].Counts.Punched != 60 || v.Regions[0].Punched != 60 {
			t.Errorf("order %v: got %+v, %+v, want all 60 in the other pass, left", order, v.Passes, v.Regions)
		}
		if i == 0 {
			want = v
		}
		if !reflect.DeepEqual(v, want) {
			t.Errorf("order %v: got another view", order)
		}
	}
}

// A reading that is refiled takes its step along, and joins the stretches that
// it parted.
func TestARefiledReading(t *testing.T) {
	s := newStage(t, event.Pulled)
	other := s.says(puncher, &event.PassBegun{Mode: event.Pulled})
	s.reads(100)
	s.fires(5)
	s.reads(130)
	wrong := s.says(puncher, &event.Reading{Pass: s.pass, Counter: "a", Direction: event.Up, Value: 900})
	s.fires(7)
	passes := func(when string, first, second int64) {
		t.Helper()
		v := s.state.View(replicaOf(lead), s.ms, nil)
		if v.Passes[0].Counts.Punched != first || v.Passes[1].Counts.Punched != second {
			t.Errorf("%s: got %d and %d, want %d and %d", when, v.Passes[0].Counts.Punched, v.Passes[1].Counts.Punched, first, second)
		}
	}
	passes("written", 807, 0)
	s.refiles(puncher, wrong, event.Refiled{Sets: event.FiledPass, Pass: other})
	passes("moved", 37, 0) // a baseline there
	s.says(puncher, &event.Reading{Pass: other, Counter: "a", Direction: event.Up, Value: 940})
	passes("read on there", 37, 40)
	s.refiles(puncher, wrong, event.Refiled{Sets: event.FiledPass, Pass: s.pass})
	passes("moved back", 807, 0)
}

// Another program may move what is no count; that changes nothing.
func TestARefileOfWhatIsNoCount(t *testing.T) {
	s := newStage(t, event.Each)
	dish := s.says(sorter, &event.Dish{Label: "1"})
	s.taps(event.Intact, 9)
	s.says(sorter, &event.Sorted{Size: 1, N: 3, Dish: dish})
	joined := s.state.histories[replicaOf(lead)].chain[1].event.Ref()
	opened := s.state.histories[replicaOf(lead)].chain[0].event.Ref()
	ms := s.ms
	before := s.state.View(replicaOf(lead), ms, nil)
	s.says(lead, &event.Refiled{Targets: []event.Ref{s.pass, dish, s.zone, joined, opened}, Sets: event.FiledSize | event.FiledPass, Size: 2, Pass: s.pass})
	after := s.state.View(replicaOf(lead), ms, nil)
	after.Session.Events = before.Session.Events
	if !reflect.DeepEqual(after, before) {
		t.Errorf("got %+v\nwant %+v", after, before)
	}
	if got := len(s.state.stocks.Dishes()); got != 1 {
		t.Errorf("got %d dishes, want 1", got)
	}
}

// What a list shows of an entry is what it counts as.
func TestEntriesAreListedAsFiled(t *testing.T) {
	s := newStage(t, event.Each)
	dish := s.says(placer, &event.Dish{Label: "1"})
	s.says(placer, &event.OpeningCount{Of: event.KindPlaced, Zone: s.zone, Size: 3, N: 640})
	moved := s.says(placer, &event.Placed{Zone: s.zone, Size: 1, N: 4})
	s.refiles(placer, moved, size(2))
	s.says(placer, &event.DishDone{Dish: dish, Zone: s.zone, Placed: [event.Sizes]uint32{3, 5}, Returned: [event.Sizes]uint32{9}})
	got := s.state.LastEntries(replicaOf(placer), 3)
	want := []Entry{
		{Kind: event.KindDishDone, N: 8, Place: s.zone, Dish: dish, Person: "P5"},
		{Kind: event.KindPlaced, N: 4, Size: 2, Place: s.zone, Person: "P5", Moved: true},
		{Kind: event.KindPlaced, N: 640, Size: 3, Place: s.zone, Person: "P5", Opening: true},
	}
	for i := range got {
		got[i].Ref, got[i].AtMs = event.Ref{}, 0
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if own := s.state.View(replicaOf(placer), s.ms, nil).Own.Tally.Placed; own != (event.BySize{3, 9, 640}) {
		t.Errorf("got own tally %v, want 3, 9, 640", own)
	}
}

func TestRefilingIsRefusedInWords(t *testing.T) {
	s, ten, _ := sizes(t)
	split := s.says(sorter, &event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{1, 2}, N: 1})
	opening := s.says(sorter, &event.OpeningCount{Of: event.KindSorted, Size: 1, N: 100})
	nowhere := event.Ref{Replica: replicaOf(sorter), Seq: 99, Check: [8]byte{1}}
	tests := []struct {
		name   string
		by     byte
		target event.Ref
		f      event.Refiled
		want   fault.Code
	}{
		{"own", sorter, ten, size(2), ""},
		{"by a lead", lead, ten, size(2), ""},
		{"an opening count", sorter, opening, size(2), ""},
		{"another's", placer, ten, size(2), "refile-others"},
		{"not here", sorter, nowhere, size(2), "entry-missing"},
		{"the zone of a sort", sorter, ten, event.Refiled{Sets: event.FiledZone, Zone: s.zone}, "refile-unfit"},
		{"the size of a split", sorter, split, size(2), "refile-unfit"},
		{"a pass", lead, s.pass, size(2), "refile-unfit"},
		{"to a dish that is not here", sorter, ten, event.Refiled{Sets: event.FiledDish, Dish: nowhere}, "dish-missing"},
		{"out of its dish", sorter, ten, event.Refiled{Sets: event.FiledDish}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := tt.f
			f.Targets = []event.Ref{tt.target}
			err := s.state.Check(replicaOf(tt.by), &f)
			if tt.want == "" && err != nil || tt.want != "" && !fault.Is(err, tt.want) {
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
}
