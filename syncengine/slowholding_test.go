package syncengine

import (
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// slowOut is every single graft that came out of the body, and how often one
// left or came back, with times.
type slowOut struct {
	came    []int64
	leaving []leaving
}

// leaving is one graft placed, rejected or, of kind 2, come back.
type leaving struct {
	ms   int64
	kind int
}

// singleGrafts expands a day to single grafts; at dates an event.
func (s *slowLedger) singleGrafts(at func(*event.Event) int64) (out slowOut) {
	for _, it := range s.items {
		ms := at(it.Event)
		leave := func(kind int, n uint32) {
			for range n {
				out.leaving = append(out.leaving, leaving{ms, kind})
			}
		}
		switch f := it.fact.(type) {
		case *event.Attempt:
			if (f.Outcome == event.Intact || f.Outcome == event.Partial) && s.modeOf(it.pass) != event.ByException {
				out.came = append(out.came, slices.Repeat([]int64{ms}, int(f.N))...)
			}
		case *event.Retrieved:
			out.came = append(out.came, slices.Repeat([]int64{ms}, int(f.N))...)
		case *event.Split:
			out.came = append(out.came, slices.Repeat([]int64{ms}, int(f.N)*(len(f.Pieces)-1))...)
		case *event.Placed:
			leave(0, f.N)
		case *event.Rejected:
			leave(1, f.N)
		case *event.CameBack:
			leave(2, f.N)
		case *event.DishDone:
			for i := range event.Sizes {
				leave(0, f.Placed[i])
				leave(1, f.Rejected[i])
			}
		}
	}
	s.passes(func(pass event.Ref, begun *event.PassBegun) {
		if begun.Mode == event.ByException {
			out.came = append(out.came, s.derived(pass, at)...)
		}
	})
	slices.Sort(out.came)
	slices.SortStableFunc(out.leaving, func(a, b leaving) int {
		if a.ms != b.ms {
			return int(a.ms - b.ms)
		}
		return a.kind - b.kind
	})
	return out
}

func (s *slowLedger) modeOf(pass event.Ref) (mode event.Mode) {
	s.passes(func(ref event.Ref, begun *event.PassBegun) {
		if ref == pass {
			mode = begun.Mode
		}
	})
	return mode
}

// derived is when each graft of a pass by exception came out: as its shots and
// readings say, without the latest for all that was no graft after all.
func (s *slowLedger) derived(pass event.Ref, at func(*event.Event) int64) (came []int64) {
	less := -s.settled(event.Pending, func(f *event.Settled) bool { return f.At == pass })
	for outcome := event.Total; outcome <= event.Empty; outcome++ {
		less += s.taps(pass, outcome, everywhere)
	}
	s.steps(pass, func(it item, n int64) {
		came = append(came, slices.Repeat([]int64{at(it.Event)}, int(max(0, n)))...)
		less += max(0, -n)
	})
	slices.Sort(came)
	return came[:max(0, int64(len(came))-max(0, less))]
}

// steps tells of every shot and reading of a pass what it adds: a reading its
// step, less the shots in it.
func (s *slowLedger) steps(pass event.Ref, tell func(it item, n int64)) {
	told := map[event.Ref]bool{} // shots that a reading has told again
	for _, it := range s.inSeq(pass) {
		n := int64(0)
		switch f := it.fact.(type) {
		case *event.Fired:
			n = int64(f.N)
		case *event.Reading:
			before := s.readingBefore(it, f)
			if before == nil {
				continue
			}
			if n = int64(f.Value) - int64(before.Value); f.Direction == event.Down {
				n = -n
			}
			from := s.seqBefore(it, f)
			for _, shot := range s.inSeq(pass) {
				fired, ok := shot.fact.(*event.Fired)
				_, opening := shot.Event.Fact.(*event.OpeningCount)
				if ok && !opening && shot.Replica == it.Replica && shot.Seq > from && shot.Seq < it.Seq && !told[shot.Ref()] {
					told[shot.Ref()] = true
					n -= int64(fired.N)
				}
			}
		}
		tell(it, n)
	}
}

// inSeq is the shots and readings of a pass, each replica's in its own order.
func (s *slowLedger) inSeq(pass event.Ref) (out []item) {
	for _, it := range s.items {
		kind := it.fact.Kind()
		if it.pass == pass && (kind == event.KindFired || kind == event.KindReading) {
			out = append(out, it)
		}
	}
	slices.SortFunc(out, func(a, b item) int {
		if a.Replica != b.Replica {
			return slices.Compare(a.Replica[:], b.Replica[:])
		}
		return int(a.Seq) - int(b.Seq)
	})
	return out
}

// seqBefore is the seq of the newest reading of the same counter before this one.
func (s *slowLedger) seqBefore(at item, of *event.Reading) (newest uint64) {
	s.readings(at.Replica, at.pass, func(seq uint64, f *event.Reading) {
		if f.Counter == of.Counter && seq < at.Seq {
			newest = max(newest, seq)
		}
	})
	return newest
}

// timeOut is what single grafts in a queue say of the times out of the body.
func (o slowOut) timeOut(nowMs, stock int64) (v session.TimeOut) {
	queue, placed, sum := slices.Clone(o.came), []int64{}, int64(0)
	for _, l := range o.leaving {
		if l.kind == 2 {
			v.CameBack++
			sum -= l.ms
			if n := len(placed); n > 0 {
				queue, placed = slices.Insert(queue, 0, placed[n-1]), placed[:n-1]
			}
			continue
		}
		sum += l.ms
		graft := int64(1 << 60) // one that had not come when it left
		if len(queue) > 0 {
			graft, queue = queue[0], queue[1:]
		}
		v.LongestMs = max(v.LongestMs, l.ms-graft)
		if l.kind == 0 {
			v.Placed++
			placed = append(placed, graft)
		} else {
			v.Rejected++
		}
	}
	v.Came, v.Left = int64(len(o.came)), v.Placed+v.Rejected-v.CameBack
	if v.Left <= 0 || v.Left > v.Came {
		v.LongestMs = 0
	}
	if v.Left < 0 || v.Left > v.Came {
		return v
	}
	for _, ms := range o.came[:v.Left] {
		sum -= ms
	}
	if v.Left > 0 && halfUp(sum, v.Left) >= 0 {
		v.MeanKnown, v.MeanMs = true, halfUp(sum, v.Left)
	}
	if v.Waiting = max(0, min(v.Came-v.Left, stock)); v.Waiting > 0 {
		waited := int64(0)
		for _, ms := range o.came[v.Left : v.Left+v.Waiting] {
			waited += nowMs - ms
		}
		v.WaitedMin = (nowMs - halfUp(nowMs*v.Waiting-waited, v.Waiting)) / 60_000
		if len(queue) > 0 && queue[0] < 1<<60 {
			v.OldestMs, v.OldestMin = queue[0], (nowMs-queue[0])/60_000
		}
	}
	return v
}

// halfUp is a / b to the nearest, halves up; b is above zero.
func halfUp(a, b int64) int64 {
	n, by := 2*a+b, 2*b
	if n%by < 0 {
		return n/by - 1
	}
	return n / by
}

// dishSince is since when the oldest graft lies in a dish, 0 when none does.
func (s *slowLedger) dishSince(dish event.Ref, at func(*event.Event) int64) int64 {
	var in []int64
	left := int64(0)
	for _, it := range s.items {
		if it.dish != dish {
			continue
		}
		n := 0
		switch f := it.fact.(type) {
		case *event.Sorted:
			n = int(f.N)
		case *event.Split:
			n = int(f.N) * len(f.Pieces)
			if f.From == event.Holding {
				n -= int(f.N)
			}
		case *event.Placed:
			left += int64(f.N)
		case *event.Rejected:
			if f.From == event.Holding {
				left += int64(f.N)
			}
		case *event.CameBack:
			left -= int64(f.N)
		case *event.DishDone:
			for i := range event.Sizes {
				left += int64(f.Placed[i]) + int64(f.Rejected[i]) + int64(f.Returned[i])
			}
		}
		in = append(in, slices.Repeat([]int64{at(it.Event)}, n)...)
	}
	slices.Sort(in)
	if first := max(0, left); first < int64(len(in)) {
		return in[first]
	}
	return 0
}
