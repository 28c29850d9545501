package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/flow"
)

// stocksBy is what lay where by a time, from the entries made before it; at dates
// an event. What is told once at the end of a day is told here of every moment.
func (s *slowLedger) stocksBy(ms int64, at func(*event.Event) int64) (sum flow.Stocks) {
	for _, it := range s.items {
		if at(it.Event) >= ms {
			continue
		}
		n, placed := int64(0), int64(0) // into the holding, and of it placed
		switch f := it.fact.(type) {
		case *event.Attempt:
			whole := f.Outcome == event.Intact || f.Outcome == event.Partial
			switch exception := s.modeOf(it.pass) == event.ByException; {
			case whole && !exception:
				sum.Bench += int64(f.N)
			case !whole && exception:
				sum.Bench -= int64(f.N)
			}
		case *event.Retrieved:
			sum.Bench += int64(f.N)
		case *event.Sorted:
			n = int64(f.N)
			sum.Bench -= n
		case *event.Split:
			n = int64(f.N) * int64(len(f.Pieces))
			if f.From == event.Bench {
				sum.Bench -= int64(f.N)
			} else {
				n -= int64(f.N)
			}
		case *event.Rejected:
			if f.From == event.Bench {
				sum.Bench -= int64(f.N)
			} else {
				n = -int64(f.N)
			}
		case *event.Placed:
			n, placed = -int64(f.N), int64(f.N)
		case *event.CameBack:
			n, placed = int64(f.N), -int64(f.N)
		case *event.DishDone:
			for i := range event.Sizes {
				n -= int64(f.Placed[i]) + int64(f.Rejected[i])
				placed += int64(f.Placed[i])
			}
		case *event.Settled:
			switch {
			case f.What == event.OnBench, f.What == event.Pending && s.modeOf(f.At) == event.ByException:
				sum.Bench += f.Amount
			case f.What == event.Held, f.What == event.InDish:
				n = f.Amount
			}
		}
		sum.Holding, sum.Placed = sum.Holding+n, sum.Placed+placed
	}
	sum.Bench += s.derivedBy(ms, at)
	return sum
}

// derivedBy is what counters of passes by exception had told by then.
func (s *slowLedger) derivedBy(ms int64, at func(*event.Event) int64) (sum int64) {
	s.passes(func(pass event.Ref, begun *event.PassBegun) {
		if begun.Mode != event.ByException {
			return
		}
		s.steps(pass, func(it item, n int64) {
			if at(it.Event) < ms {
				sum += n
			}
		})
	})
	return sum
}
