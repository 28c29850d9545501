package stock

import (
	"slices"

	"rootledger/shared/event"
)

// Dish is one container of the holding, and what the tallies say lies in it. It
// may be below zero: a finding, like every stock.
type Dish struct {
	Ref     event.Ref
	Number  int // dishes that were met before it: a name that only this tally knows
	Opened  *event.Dish
	Stamp   event.Stamp  // when it was opened
	In      event.BySize // grafts
	Unsized int64        // what it has of no known size: what was rejected so, below zero, and what was settled
	closed  int64        // acts that close it and stand
}

// Total is everything in the dish.
func (d Dish) Total() int64 { return d.In.Total() + d.Unsized }

// Closed says whether it was closed, or done.
func (d Dish) Closed() bool { return d.closed > 0 }

// Dishes lists every dish by the time it was opened.
func (t *Tally) Dishes() []*Dish { return t.dishes }

// Dish is one dish, nil when it is not there.
func (t *Tally) Dish(ref event.Ref) *Dish {
	if ref.IsZero() {
		return nil
	}
	for i := len(t.dishes) - 1; i >= 0; i-- { // few, and mostly the newest are asked for
		if t.dishes[i].Ref == ref {
			return t.dishes[i]
		}
	}
	return nil
}

func (t *Tally) openDish(e *event.Event, f *event.Dish) {
	d := &Dish{Ref: e.Ref(), Number: len(t.dishes), Opened: f, Stamp: e.Stamp}
	at, _ := slices.BinarySearchFunc(t.dishes, d, func(a, b *Dish) int {
		if a.Stamp != b.Stamp {
			if a.Stamp < b.Stamp {
				return -1
			}
			return 1
		}
		return event.CompareRef(a.Ref, b.Ref)
	})
	t.dishes = event.Inserted(t.dishes, at, d)
}

// fill moves n grafts of a size into a dish, or out of it when n is below zero;
// size 0 is an unknown one.
func (t *Tally) fill(dish event.Ref, size event.Size, n int64) {
	d := t.Dish(dish)
	if d == nil {
		return
	}
	if size == 0 {
		d.Unsized += n
	} else {
		d.In[size-1] += n
	}
}

func (t *Tally) closeDish(dish event.Ref, sign int64) {
	if d := t.Dish(dish); d != nil {
		d.closed += sign
	}
}

// dishDone empties a dish in one act: placed in a zone, rejected, or back in the
// holding outside it.
func (t *Tally) dishDone(e *event.Event, f *event.DishDone, sign int64) {
	for i := range event.Sizes {
		placed, rejected, returned := sign*int64(f.Placed[i]), sign*int64(f.Rejected[i]), sign*int64(f.Returned[i])
		t.fill(f.Dish, event.Size(i+1), -placed-rejected-returned)
		t.total.PlaceTaps[i] += placed
		t.total.RejectedPlacing[i] += rejected
		if placed != 0 {
			t.zone(f.Zone).PlaceTaps[i] += placed
		}
		if f.Reason > 0 {
			t.total.Reasons[f.Reason-1] += rejected
		}
	}
	t.closeDish(f.Dish, sign)
	t.newest.Placing = max(t.newest.Placing, e.Stamp)
}

// settle changes a stock by what the lead settled.
func (t *Tally) settle(f *event.Settled, n int64) {
	switch f.What {
	case event.OnBench:
		t.total.SettledBench += n
	case event.SitesOpen:
		t.zone(f.At).Settled[f.Size-1] += n
	case event.InDish:
		t.fill(f.At, f.Size, n)
		t.settleHolding(f.Size, n)
	case event.Held:
		t.settleHolding(f.Size, n)
	}
}

func (t *Tally) settleHolding(size event.Size, n int64) {
	if size == 0 {
		t.total.SettledUnsized += n
	} else {
		t.total.SettledHolding[size-1] += n
	}
}
