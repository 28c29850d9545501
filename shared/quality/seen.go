package quality

import "rootledger/shared/event"

// seen is what the looks of a pass saw. It goes by what each of them had, not by
// when clocks say it was: neither a phone whose clock is ahead nor one that was
// out of reach has its attempts looked at unseen.
type seen struct {
	looks []*event.Event
	upto  []event.Ref  // of each phone the newest attempt that any look saw
	until *event.Event // the newest look that does not say what it saw: all before it
}

// look adds a look (sign 1) or takes it out again.
func (s *seen) look(e *event.Event, sign int64) {
	s.looks = event.Turned(s.looks, e, sign)
	s.upto, s.until = nil, nil
	for _, one := range s.looks {
		upto := one.Fact.(*event.Looked).Upto
		if len(upto) == 0 {
			s.until = one
		}
		for _, ref := range upto {
			s.upto = newest(s.upto, ref)
		}
	}
}

// newest is a list of one reference a phone, with one more taken in.
func newest(list []event.Ref, ref event.Ref) []event.Ref {
	for i := range list {
		if list[i].Replica == ref.Replica {
			if list[i].Seq < ref.Seq {
				list[i] = ref
			}
			return list
		}
	}
	return append(list, ref)
}

// saw says whether a look saw an attempt.
func (s *seen) saw(e *event.Event) bool {
	if s.until != nil && event.Before(e, s.until) {
		return true
	}
	for i := range s.upto {
		if s.upto[i].Replica == e.Replica {
			return e.Seq <= s.upto[i].Seq
		}
	}
	return false
}

// Upto is what a look at a pass sees now: of each phone its newest attempt, or
// the pass itself when there is none.
func (t *Tally) Upto(pass event.Ref) (out []event.Ref) {
	if r := t.runs[pass]; r != nil {
		for _, e := range r.steps {
			out = newest(out, e.Ref())
		}
	}
	if out == nil {
		out = []event.Ref{pass}
	}
	return out
}
