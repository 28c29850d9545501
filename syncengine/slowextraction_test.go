package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// where says which regions a question is about.
type where func(region event.Ref) bool

func everywhere(event.Ref) bool { return true }

// in is one region, or what names none.
func in(region event.Ref) where { return func(at event.Ref) bool { return at == region } }

// taps is the attempts tapped with one outcome in one pass.
func (s *slowLedger) taps(pass event.Ref, outcome event.Outcome, at where) int64 {
	return s.sum(func(it item) int64 {
		if f, ok := it.fact.(*event.Attempt); ok && it.pass == pass && f.Outcome == outcome && at(it.region) {
			return int64(f.N)
		}
		return 0
	})
}

func (s *slowLedger) retrieved(from event.Outcome) int64 {
	return s.sum(func(it item) int64 {
		if f, ok := it.fact.(*event.Retrieved); ok && f.From == from {
			return int64(f.N)
		}
		return 0
	})
}

// counted is what the counters of one pass say: of each replica the shots that
// lie between no counter's first and last reading, and of each counter the
// steps between neighbouring readings. against is the steps the wrong way.
func (s *slowLedger) counted(pass event.Ref, at where) (punched, against int64) {
	for _, it := range s.items {
		if it.pass != pass || !at(it.region) {
			continue
		}
		switch f := it.fact.(type) {
		case *event.Fired:
			if _, before := it.Event.Fact.(*event.OpeningCount); before || !s.covered(it) { // no reading covers what was there before
				punched += int64(f.N)
			}
		case *event.Reading:
			before := s.readingBefore(it, f)
			if before == nil {
				continue
			}
			step := int64(f.Value) - int64(before.Value)
			if f.Direction == event.Down {
				step = -step
			}
			punched += step
			against += max(0, -step)
		}
	}
	return punched, against
}

// readings calls each for the readings of a replica in a pass.
func (s *slowLedger) readings(by event.ReplicaID, pass event.Ref, each func(uint64, *event.Reading)) {
	for _, it := range s.items {
		if f, ok := it.fact.(*event.Reading); ok && it.Replica == by && it.pass == pass {
			each(it.Seq, f)
		}
	}
}

// covered says whether some counter was read before the shot and after it.
func (s *slowLedger) covered(shot item) bool {
	earlier, covered := map[string]bool{}, false
	s.readings(shot.Replica, shot.pass, func(seq uint64, f *event.Reading) {
		earlier[f.Counter] = earlier[f.Counter] || seq < shot.Seq
	})
	s.readings(shot.Replica, shot.pass, func(seq uint64, f *event.Reading) {
		covered = covered || seq > shot.Seq && earlier[f.Counter]
	})
	return covered
}

// readingBefore is the newest reading of the same counter before this one.
func (s *slowLedger) readingBefore(at item, of *event.Reading) *event.Reading {
	var before *event.Reading
	newest := uint64(0)
	s.readings(at.Replica, at.pass, func(seq uint64, f *event.Reading) {
		if f.Counter == of.Counter && seq < at.Seq && seq > newest {
			before, newest = f, seq
		}
	})
	return before
}

// slowPass is what one pass says.
type slowPass struct {
	punched, against, pending, counter int64
	outcomes                           [event.Outcomes]int64
}

// passAt is what a pass says of some regions, in its own way of counting. Shots
// in the air come off what counters say.
func (s *slowLedger) passAt(pass event.Ref, mode event.Mode, at where) (p slowPass) {
	tapped := int64(0)
	for outcome := event.Intact; outcome <= event.Empty; outcome++ {
		if outcome == event.Intact && mode == event.ByException {
			continue
		}
		p.outcomes[outcome-1] = s.taps(pass, outcome, at)
		tapped += p.outcomes[outcome-1]
	}
	p.counter, p.against = s.counted(pass, at)
	p.punched = p.counter + s.settled(event.Pending, func(f *event.Settled) bool { return f.At == pass && at(f.Region) })
	switch mode {
	case event.Each:
		p.punched, p.against = tapped, 0
	case event.Pulled:
		p.pending = p.punched - tapped
	case event.ByException:
		p.outcomes[event.Intact-1] = p.punched - tapped
	}
	return p
}

// passes calls each for every pass.
func (s *slowLedger) passes(each func(pass event.Ref, begun *event.PassBegun)) {
	for _, e := range s.all {
		if begun, ok := e.Fact.(*event.PassBegun); ok {
			each(e.Ref(), begun)
		}
	}
}

// punchedAt is the attempts of all passes in one region.
func (s *slowLedger) punchedAt(region event.Ref) (n int64) {
	s.passes(func(pass event.Ref, begun *event.PassBegun) { n += s.passAt(pass, begun.Mode, in(region)).punched })
	return n
}

// extraction fills in what the passes say.
func (s *slowLedger) extraction(l *session.Ledger) {
	a := &l.Attempts
	s.passes(func(pass event.Ref, begun *event.PassBegun) {
		p := s.passAt(pass, begun.Mode, everywhere)
		a.Punched += p.punched
		a.Against += p.against
		a.Pending += p.pending
		for i, n := range p.outcomes {
			a.Outcomes[i] += n
			l.OutcomesTotal += n
		}
	})
	a.RetrievedTopped, a.RetrievedBuried = s.retrieved(event.Topped), s.retrieved(event.Buried)
	l.Out = a.Outcomes[0] + a.Outcomes[1] + s.retrieved(event.Topped) + s.retrieved(event.Buried)
	l.BuriedOpen = a.Outcomes[4] - s.retrieved(event.Buried) + s.settled(event.LeftIn, anything)
	l.PunchedNowhere = s.punchedAt(event.Ref{})
}
