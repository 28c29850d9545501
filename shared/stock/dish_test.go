package stock

import (
	"reflect"
	"testing"

	"rootledger/shared/event"
)

var (
	one   = event.Ref{Replica: event.ReplicaID{7}, Seq: 11}
	other = event.Ref{Replica: event.ReplicaID{7}, Seq: 12}
)

// opened is the event of a dish; replica, seq and check are those of its reference.
func opened(ref event.Ref, stamp event.Stamp, label string) *event.Event {
	e := &event.Event{Replica: ref.Replica, Seq: ref.Seq, Stamp: stamp, Fact: &event.Dish{Label: label}}
	copy(e.Hash[:], ref.Check[:])
	return e
}

// twoDishes is a tally with two dishes that are open.
func twoDishes() *Tally {
	t := new(Tally)
	t.Add(opened(other, 2, "2"), 1)
	t.Add(opened(one, 1, "1"), 1)
	return t
}

func done(placed, rejected, returned uint32) event.Fact {
	d := &event.DishDone{Dish: one, Zone: front, Placed: [event.Sizes]uint32{0, placed}, Rejected: [event.Sizes]uint32{0, rejected},
		Returned: [event.Sizes]uint32{0, returned}}
	if rejected > 0 {
		d.Reason = event.ReasonDried
	}
	return d
}

// Wanted numbers: computed from the definitions. Twenty of size 2 lie in the
// dish, and ten outside it.
func TestWhatLiesInADish(t *testing.T) {
	tests := []struct {
		name    string
		fact    event.Fact
		in      event.BySize
		unsized int64
		closed  bool
		holding int64 // in all
	}{
		{"nothing happened", &event.Note{Text: "x"}, event.BySize{0, 20}, 0, false, 30},
		{"sorted into it", &event.Sorted{Size: 1, N: 3, Dish: one}, event.BySize{3, 20}, 0, false, 33},
		{"sorted elsewhere", &event.Sorted{Size: 1, N: 3, Dish: other}, event.BySize{0, 20}, 0, false, 33},
		{"placed out of it", &event.Placed{Zone: front, Size: 2, N: 4, Dish: one}, event.BySize{0, 16}, 0, false, 26},
		{"placed beyond it", &event.Placed{Zone: front, Size: 2, N: 24, Dish: one}, event.BySize{0, -4}, 0, false, 6},
		{"placed from outside", &event.Placed{Zone: front, Size: 2, N: 4}, event.BySize{0, 20}, 0, false, 26},
		{"came back into it", &event.CameBack{Zone: front, Size: 3, N: 2, Dish: one}, event.BySize{0, 20, 2}, 0, false, 32},
		{"rejected from it", &event.Rejected{From: event.Holding, Size: 2, Reason: 1, N: 5, Dish: one}, event.BySize{0, 15}, 0, false, 25},
		{"rejected from it, size unknown", &event.Rejected{From: event.Holding, Reason: 1, N: 5, Dish: one}, event.BySize{0, 20}, -5, false, 25},
		{"rejected at the bench", &event.Rejected{From: event.Bench, Size: 2, Reason: 1, N: 5, Dish: one}, event.BySize{0, 20}, 0, false, 30},
		{"split in it", &event.Split{From: event.Holding, Size: 2, Pieces: []event.Size{1, 1}, N: 3, Dish: one}, event.BySize{6, 17}, 0, false, 33},
		{"split at the bench, into it", &event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{1, 2}, N: 3, Dish: one},
			event.BySize{3, 23}, 0, false, 36},
		{"closed", &event.DishClosed{Dish: one}, event.BySize{0, 20}, 0, true, 30},
		{"done: placed, rejected and returned", done(12, 3, 5), event.BySize{}, 0, true, 15},
		{"done, nothing told", done(0, 0, 0), event.BySize{0, 20}, 0, true, 30},
		{"done, too many told", done(25, 0, 0), event.BySize{0, -5}, 0, true, 5},
		{"settled", &event.Settled{What: event.InDish, At: one, Size: 2, Amount: -2, Reason: "a"}, event.BySize{0, 18}, 0, false, 28},
		{"settled in all", &event.Settled{What: event.InDish, At: one, Amount: -2, Reason: "a"}, event.BySize{0, 20}, -2, false, 28},
		{"the holding settled", &event.Settled{What: event.Held, Size: 2, Amount: -2, Reason: "a"}, event.BySize{0, 20}, 0, false, 28},
		{"a dish that is not here", &event.Sorted{Size: 1, N: 3, Dish: crown}, event.BySize{0, 20}, 0, false, 33},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tally := twoDishes()
			add(tally, 1, &event.Sorted{Size: 2, N: 20, Dish: one}, &event.Sorted{Size: 2, N: 10})
			before, beforeDish := tally.Counts(), *tally.Dish(one)
			add(tally, 1, tt.fact)
			d := tally.Dish(one)
			if d.In != tt.in || d.Unsized != tt.unsized || d.Closed() != tt.closed || d.Total() != tt.in.Total()+tt.unsized {
				t.Errorf("got %v, %d of no size, closed %v, want %v, %d, %v", d.In, d.Unsized, d.Closed(), tt.in, tt.unsized, tt.closed)
			}
			if got := tally.Counts().HoldingTotal(); got != tt.holding {
				t.Errorf("got %d held, want %d", got, tt.holding)
			}
			add(tally, -1, tt.fact)
			if tally.Counts() != before || !reflect.DeepEqual(*tally.Dish(one), beforeDish) {
				t.Errorf("taken out again: got %+v, want %+v", *tally.Dish(one), beforeDish)
			}
		})
	}
}

func TestADishThatIsDoneCountsInItsZone(t *testing.T) {
	tally := twoDishes()
	add(tally, 1, &event.Sites{Zone: front, Size: 2, N: 30}, done(12, 3, 5))
	c := tally.Counts()
	if c.Placed() != (event.BySize{0, 12}) || c.RejectedPlacing != (event.BySize{0, 3}) || c.Reasons[event.ReasonDried-1] != 3 {
		t.Errorf("got placed %v, rejected %v, reasons %v, want 12, 3, three dried", c.Placed(), c.RejectedPlacing, c.Reasons)
	}
	if z := tally.Zone(front); z.Placed() != (event.BySize{0, 12}) || z.OpenSites() != (event.BySize{0, 18}) {
		t.Errorf("got %v placed, %v open in the zone, want 12, 18", z.Placed(), z.OpenSites())
	}
}

// Dishes come by the time they were opened, and in a dish closed twice one
// closing that is undone leaves the other.
func TestDishesInOrder(t *testing.T) {
	tally := twoDishes()
	if d := tally.Dishes(); len(d) != 2 || d[0].Ref != one || d[1].Ref != other {
		t.Errorf("got %+v, want one, then the other", d)
	}
	if tally.Dish(event.Ref{}) != nil || tally.Dish(crown) != nil {
		t.Error("got a dish that nobody opened")
	}
	add(tally, 1, &event.DishClosed{Dish: one}, done(0, 0, 0))
	add(tally, -1, &event.DishClosed{Dish: one})
	if !tally.Dish(one).Closed() || tally.Dish(other).Closed() {
		t.Error("got it open, want it closed by being done")
	}
}
