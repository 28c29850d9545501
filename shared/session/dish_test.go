package session

import (
	"strconv"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// dishDays are what happens to a dish of ten grafts of size 2, with fifty of
// sizes 1 and 2 beside it.
var dishDays = []struct {
	name string
	do   func(s *stage, dish event.Ref)
	want []found
}{
	{"filled", func(*stage, event.Ref) {}, nil},
	{"more placed out of it than lay in it", func(s *stage, dish event.Ref) {
		s.says(placer, &event.Placed{Zone: s.zone, Size: 2, N: 12, Dish: dish})
	}, []found{{event.InDish, 2, -2}}},
	{"a reject without a size, more than all", func(s *stage, dish event.Ref) {
		s.says(placer, &event.Rejected{From: event.Holding, Reason: event.ReasonLost, N: 11, Dish: dish})
	}, []found{{event.InDish, 0, -1}}},
	{"rejected at the bench: never in it", func(s *stage, dish event.Ref) {
		s.says(sorter, &event.Rejected{From: event.Bench, Reason: event.ReasonLost, N: 2, Dish: dish})
	}, nil},
	{"closed with something in it", func(s *stage, dish event.Ref) { s.says(placer, &event.DishClosed{Dish: dish}) },
		[]found{{event.InDish, 0, 10}}},
	{"closed, and that undone", func(s *stage, dish event.Ref) { s.voids(s.says(placer, &event.DishClosed{Dish: dish})) }, nil},
	{"closed with something and something less than nothing", func(s *stage, dish event.Ref) {
		s.says(placer, &event.Placed{Zone: s.zone, Size: 1, N: 3, Dish: dish})
		s.says(placer, &event.DishClosed{Dish: dish})
	}, []found{{event.InDish, 1, -3}, {event.InDish, 0, 7}}},
	{"done, all told", func(s *stage, dish event.Ref) {
		s.says(placer, &event.DishDone{Dish: dish, Zone: s.zone, Placed: [event.Sizes]uint32{0, 7}, Rejected: [event.Sizes]uint32{0, 1},
			Reason: event.ReasonDried, Returned: [event.Sizes]uint32{0, 2}})
	}, nil},
	{"done, one not told", func(s *stage, dish event.Ref) {
		s.says(placer, &event.DishDone{Dish: dish, Zone: s.zone, Placed: [event.Sizes]uint32{0, 9}})
	}, []found{{event.InDish, 0, 1}}},
	{"done twice, apart", func(s *stage, dish event.Ref) {
		done := &event.DishDone{Dish: dish, Zone: s.zone, Placed: [event.Sizes]uint32{0, 10}}
		s.says(placer, done)
		s.says(lead, done)
	}, []found{{event.InDish, 2, -10}}},
	{"sorted into another one in truth", func(s *stage, dish event.Ref) {
		other := s.says(sorter, &event.Dish{Label: "2"})
		s.says(sorter, &event.Refiled{Targets: []event.Ref{s.state.LastEntries(replicaOf(sorter), 1)[0].Ref}, Sets: event.FiledDish, Dish: other})
		s.says(placer, &event.Placed{Zone: s.zone, Size: 2, N: 1, Dish: dish})
	}, []found{{event.InDish, 2, -1}}},
	{"recounted, one short", func(s *stage, dish event.Ref) {
		s.says(placer, &event.Recount{Of: event.Holding, Dish: dish, N: 9})
	}, []found{{event.InDish, 0, 1}}},
	{"recounted, one short, and settled", func(s *stage, dish event.Ref) {
		s.says(placer, &event.Recount{Of: event.Holding, Dish: dish, Size: 2, N: 9})
		s.settles(event.InDish, dish, 2, -1)
	}, nil},
	{"recounted in all, one short, beside a slip by size", func(s *stage, dish event.Ref) {
		s.says(placer, &event.Recount{Of: event.Holding, Dish: dish, N: 9})
		s.says(placer, &event.Placed{Zone: s.zone, Size: 1, N: 3, Dish: dish})
	}, []found{{event.InDish, 1, -3}, {event.InDish, 0, 1}}},
}

func TestDishes(t *testing.T) {
	for _, tt := range dishDays {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each)
			s.taps(event.Intact, 200)
			s.makes(1, 50)
			s.makes(2, 50)
			s.sorts(1, 50)
			s.sorts(2, 50)
			dish := s.says(sorter, &event.Dish{Label: "1", Size: 2})
			s.says(sorter, &event.Sorted{Size: 2, N: 10, Dish: dish})
			tt.do(s, dish)
			s.checkFound("then", tt.want...)
		})
	}
}

// What a dish loses by settling, the holding loses.
func TestSettlingADishSettlesTheHolding(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 20)
	dish := s.says(sorter, &event.Dish{Label: "1"})
	s.says(sorter, &event.Sorted{Size: 2, N: 10, Dish: dish})
	s.says(placer, &event.Recount{Of: event.Holding, Dish: dish, N: 8})
	s.recounts(event.Holding, 0, 8)
	s.checkFound("two short", found{event.InDish, 0, 2}, found{event.Held, 0, 2})
	if held, dish := s.difference(event.Held, 0), s.difference(event.InDish, 0); held.Settle != 0 || dish.Settle != -2 {
		t.Errorf("settled by %d in all and %d in the dish, want it settled once", held.Settle, dish.Settle)
	}
	s.settles(event.InDish, dish, 0, -2)
	s.checkFound("settled once")
	if l := s.ledger(); l.HoldingTotal != 8 || l.HoldingUnsized != -2 || l.Holding[1] != 10 {
		t.Errorf("got %d held, %d of no size, %v, want 8, -2, ten of size 2", l.HoldingTotal, l.HoldingUnsized, l.Holding)
	}
}

func TestOpeningADishIsRefusedInWords(t *testing.T) {
	s := newStage(t, event.Each)
	check := func(when, label string, want fault.Code) {
		t.Helper()
		err := s.state.Check(replicaOf(sorter), &event.Dish{Label: label})
		if want == "" && err != nil || want != "" && !fault.Is(err, want) {
			t.Errorf("%s: got %v, want %q", when, err, want)
		}
	}
	dish := s.says(sorter, &event.Dish{Label: "1"})
	check("open", "1", "dish-taken")
	check("another label", "2", "")
	closed := s.says(placer, &event.DishClosed{Dish: dish})
	check("closed", "1", "")
	s.voids(closed)
	check("closed, and that undone", "1", "dish-taken")
	s.says(placer, &event.DishDone{Dish: dish})
	check("done", "1", "")
	for i := range MaxDishes - 1 {
		check("not yet too many", "2", "")
		s.says(sorter, &event.Dish{Label: "d" + strconv.Itoa(i)})
	}
	check("too many", "2", "too-many")
}
