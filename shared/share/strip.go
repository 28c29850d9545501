package share

import (
	"slices"

	"rootledger/shared/event"
)

// strip is the shots and readings of one phone in one pass, in the order in
// which it wrote them.
type strip struct {
	marks []mark
	last  map[string]int64 // each counter's newest reading
	loose int64            // shots since the newest reading
	sum   int64
	stale bool // a mark came in the middle
}

type mark struct {
	event   *event.Event
	n       int64          // a shot's attempts
	reading *event.Reading // nil for a shot
}

// add takes a mark in, and says what it added where it came last.
func (s *strip) add(m mark) int64 {
	if len(s.marks) == 0 || event.Before(s.marks[len(s.marks)-1].event, m.event) {
		s.marks = append(s.marks, m)
		if s.stale {
			return 0
		}
		before := s.sum
		s.fold(m)
		return s.sum - before
	}
	at, _ := slices.BinarySearchFunc(s.marks, m, func(a, b mark) int { return event.Compare(a.event, b.event) })
	s.marks = event.Inserted(s.marks, at, m)
	s.stale = true
	return m.n
}

// fold counts a shot when it is written; a reading counts its step less the
// shots since the reading before, and never takes any back.
func (s *strip) fold(m mark) {
	if m.reading == nil {
		s.sum += m.n
		s.loose += m.n
		return
	}
	value := int64(m.reading.Value)
	if before, known := s.last[m.reading.Counter]; known {
		step := value - before
		if m.reading.Direction == event.Down {
			step = -step
		}
		s.sum += max(0, step-s.loose)
	}
	if s.last == nil {
		s.last = make(map[string]int64)
	}
	s.last[m.reading.Counter] = value
	s.loose = 0
}

func (s *strip) spent() int64 {
	if s.stale {
		s.last, s.loose, s.sum, s.stale = nil, 0, 0, false
		for _, m := range s.marks {
			s.fold(m)
		}
	}
	return s.sum
}
