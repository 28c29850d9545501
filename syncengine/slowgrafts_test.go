package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// grafts fills in the bench, holding, what was placed and the open sites.
func (s *slowLedger) grafts(l *session.Ledger) {
	for _, it := range s.items {
		switch f := it.fact.(type) {
		case *event.Sorted:
			l.Kept += int64(f.N)
			l.Sorted[it.size-1] += int64(f.N)
		case *event.Split:
			if f.From == event.Bench {
				l.Kept += int64(f.N)
			}
			l.Gained += int64(f.N) * int64(len(f.Pieces)-1)
		case *event.Rejected:
			if f.From == event.Bench {
				l.RejectedBench += int64(f.N)
			} else {
				l.RejectedPlacing += int64(f.N)
			}
		case *event.Placed:
			l.Placed[it.size-1] += int64(f.N)
		case *event.CameBack:
			l.Placed[it.size-1] -= int64(f.N)
		case *event.DishDone:
			for i := range event.Sizes {
				l.Placed[i] += int64(f.Placed[i])
				l.RejectedPlacing += int64(f.Rejected[i])
			}
		}
		for size := event.Size(1); size <= event.Sizes; size++ {
			l.OpenSites += sitesOpened(it, it.zone, size)
		}
	}
	for i := range l.Holding {
		l.Holding[i] = s.held(event.Size(i + 1))
	}
	l.HoldingUnsized = s.held(0)
	l.Judged = l.Kept + l.RejectedBench
	l.Bench = l.Out - l.Judged + s.settled(event.OnBench, anything)
	l.HoldingTotal = l.Holding.Total() + l.HoldingUnsized
	l.PlacedTotal = l.Placed.Total()
	l.OpenSites += s.settled(event.SitesOpen, anything)
}

// sitesOpened is how many open sites of a zone and size an entry makes, below
// zero when it fills or gives up some.
func sitesOpened(it item, zone event.Ref, size event.Size) int64 {
	if size == 0 {
		return 0 // every site has a size
	}
	if f, ok := it.fact.(*event.DishDone); ok && it.zone == zone {
		return -int64(f.Placed[size-1])
	}
	if it.zone != zone || it.size != size {
		return 0
	}
	switch f := it.fact.(type) {
	case *event.Sites:
		return int64(f.N)
	case *event.CameBack:
		return int64(f.N)
	case *event.SitesClosed:
		return -int64(f.N)
	case *event.Placed:
		return -int64(f.N)
	}
	return 0
}

// openSites is the open sites of one zone and size.
func (s *slowLedger) openSites(zone event.Ref, size event.Size) int64 {
	return s.sum(func(it item) int64 { return sitesOpened(it, zone, size) }) +
		s.settled(event.SitesOpen, func(f *event.Settled) bool { return f.At == zone && f.Size == size })
}

// held is what the holding has of one size; 0 is what nobody gave a size.
func (s *slowLedger) held(size event.Size) int64 {
	of := func(f *event.Settled) bool { return f.Size == size }
	return s.sum(func(it item) int64 { return intoHolding(it, size) }) + s.settled(event.Held, of) + s.settled(event.InDish, of)
}

// inDish is what one dish has of one size; 0 is what nobody gave a size.
func (s *slowLedger) inDish(dish event.Ref, size event.Size) int64 {
	return s.sum(func(it item) int64 {
		if it.dish != dish {
			return 0
		}
		if f, ok := it.fact.(*event.DishDone); ok {
			if size == 0 {
				return 0
			}
			return -int64(f.Placed[size-1]) - int64(f.Rejected[size-1]) - int64(f.Returned[size-1])
		}
		return intoHolding(it, size)
	}) + s.settled(event.InDish, func(f *event.Settled) bool { return f.At == dish && f.Size == size })
}

// intoHolding is how many grafts of a size an entry brings into the holding, or
// takes out of it, below zero.
func intoHolding(it item, size event.Size) int64 {
	switch f := it.fact.(type) {
	case *event.Split:
		n := int64(0)
		for _, piece := range f.Pieces {
			if piece == size {
				n += int64(f.N)
			}
		}
		if f.From == event.Holding && it.size == size {
			n -= int64(f.N)
		}
		return n
	case *event.DishDone:
		if size == 0 {
			return 0
		}
		return -int64(f.Placed[size-1]) - int64(f.Rejected[size-1])
	}
	if it.size != size {
		return 0
	}
	switch f := it.fact.(type) {
	case *event.Sorted:
		return int64(f.N)
	case *event.CameBack:
		return int64(f.N)
	case *event.Placed:
		return -int64(f.N)
	case *event.Rejected:
		if f.From == event.Holding {
			return -int64(f.N)
		}
	}
	return 0
}
