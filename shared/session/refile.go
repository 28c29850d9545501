package session

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// filing is, for each field that a refile can set, the refile of an entry that
// set it last in order.
type filing [event.FiledFields]*event.Event

// refile notes a refile under each of its targets and files those anew whose
// place it changes.
func (s *State) refile(e *event.Event, f *event.Refiled) {
	if s.refiles == nil {
		s.refiles = make(map[event.Ref]*filing)
	}
	for _, target := range f.Targets {
		last := s.refiles[target]
		if last == nil {
			last = new(filing)
			s.refiles[target] = last
		}
		changed := false
		for i := range last {
			if f.Sets&(1<<i) != 0 && (last[i] == nil || event.Before(last[i], e)) {
				last[i], changed = e, true
			}
		}
		en := s.find(target)
		if !changed || en == nil || en.status == waiting || !en.event.Fact.Kind().Counts() {
			continue // it is filed when it counts; what is no count has no place
		}
		if en.status == counted {
			s.route(en, -1)
		}
		s.file(en)
		if en.status == counted {
			s.route(en, 1)
		}
	}
}

// file works out what an entry counts as after all its refiles.
func (s *State) file(en *entry) {
	last := s.refiles[en.event.Ref()]
	if last == nil || !en.event.Fact.Kind().Counts() {
		return
	}
	fact := plain(en.event.Fact)
	for i, e := range last {
		if e != nil {
			fact = e.Fact.(*event.Refiled).Refile(fact, 1<<i)
		}
	}
	en.as = en.event.With(opened(en.event.Fact, fact))
}

// plain is the ordinary count that an opening count stands for, any other fact
// itself.
func plain(fact event.Fact) event.Fact {
	if o, ok := fact.(*event.OpeningCount); ok {
		return o.Count()
	}
	return fact
}

// opened is what an entry counts as. Shots and outcomes that were there before
// stay an opening count: they lie in no stretch of a counter.
func opened(written, counts event.Fact) event.Fact {
	if _, opening := written.(*event.OpeningCount); !opening {
		return counts
	}
	switch f := counts.(type) {
	case *event.Fired:
		return &event.OpeningCount{Of: event.KindFired, Pass: f.Pass, Region: f.Region, N: f.N}
	case *event.Attempt:
		return &event.OpeningCount{Of: event.KindAttempt, Pass: f.Pass, Region: f.Region, Outcome: f.Outcome, N: f.N}
	}
	return counts
}

// checkRefile says why entries can not be moved so: one is not here, or has no
// such place.
func (s *State) checkRefile(f *event.Refiled) error {
	for _, target := range f.Targets {
		en := s.find(target)
		if en == nil {
			return fault.New(fault.Missing, "entry-missing")
		}
		fact := plain(en.counts().Fact)
		_, opening := en.event.Fact.(*event.OpeningCount)
		if !f.Fits(fact) || opening && f.Sets&event.FiledSetup != 0 { // nobody knows what was in the hand before
			return fault.New(fault.Invalid, "refile-unfit").With("kind", en.event.Fact.Kind().String())
		}
		if f.Sets&event.FiledPass != 0 && s.attempts.Mode(event.PassOf(fact)) != s.attempts.Mode(f.Pass) {
			return fault.New(fault.Invalid, "refile-mode")
		}
	}
	return nil
}

// checkDish refuses a second open dish of one label: gloved people tell dishes
// apart by it. Two that were opened apart both stand.
func (s *State) checkDish(f *event.Dish) error {
	dishes := s.stocks.Dishes()
	if len(dishes) >= MaxDishes {
		return fault.New(fault.TooMuch, "too-many").With("field", "dishes").WithInt("max", MaxDishes)
	}
	for _, d := range dishes {
		if d.Opened.Label == f.Label && !d.Closed() {
			return fault.New(fault.Conflict, "dish-taken").With("label", f.Label)
		}
	}
	return nil
}

// checkOpen refuses to end a dish twice: what lay in it would be placed twice.
func (s *State) checkOpen(dish event.Ref) error {
	if d := s.stocks.Dish(dish); d != nil && d.Closed() {
		return fault.New(fault.Conflict, "dish-closed").With("label", d.Opened.Label)
	}
	return nil
}

// checkSettled refuses to settle a stock whose objects nobody counted again, or
// whose newest recount the ledger bears out: settling would only part the two;
// and to settle more than there is to settle, or the other way.
func (s *State) checkSettled(f *event.Settled) error {
	switch f.What {
	case event.OnBench, event.Held, event.SitesOpen, event.InDish:
		switch r, _ := s.recountOf(about{f.What, f.At, f.Size}); {
		case r == nil:
			return fault.New(fault.Conflict, "recount-first")
		case r.Amount == 0:
			return fault.New(fault.Conflict, "recount-agrees")
		}
	}
	most := s.toSettle(f)
	if (f.Amount < 0) != (most < 0) || max(f.Amount, -f.Amount) > max(most, -most) {
		return fault.New(fault.Conflict, "settle-beyond").WithInt("got", f.Amount).WithInt("most", most)
	}
	return nil
}

// toSettle is the amount that would settle an identity, 0 for none. Shots may be
// said to have gone into the air, and grafts to be left, while counting goes on.
func (s *State) toSettle(f *event.Settled) int64 {
	view := s.fold()
	switch f.What {
	case event.LeftIn:
		return -max(0, view.buried)
	case event.Pending:
		return -s.inTheAir(view, f)
	}
	for _, d := range s.differences(view, nil, 0) {
		if d.What == f.What && d.At == f.At && d.Size == f.Size {
			return d.Settle
		}
	}
	return 0
}

// inTheAir is how many attempts of a pass and region may have been fired in the
// air: those without an outcome, of a pass by exception those taken for intact,
// and never more than the region has of that pass.
func (s *State) inTheAir(view *fold, f *event.Settled) int64 {
	for _, p := range view.passes {
		if p.Ref != f.At {
			continue
		}
		for _, r := range p.ByRegion {
			if r.Region != f.Region {
				continue
			}
			if p.Begun.Mode == event.ByException {
				return max(0, min(p.Total.Outcomes[event.Intact-1], r.Counts.Punched))
			}
			return max(0, min(p.Total.Pending, r.Counts.Punched))
		}
	}
	return 0
}
