package session

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// refile notes a refile under each of its targets and files them anew.
func (s *State) refile(e *event.Event, f *event.Refiled) {
	if s.refiles == nil {
		s.refiles = make(map[event.Ref][]*event.Event)
	}
	for _, target := range f.Targets {
		s.refiles[target] = turned(s.refiles[target], e, 1)
		en := s.find(target)
		if en == nil || en.status == waiting || !en.event.Fact.Kind().Counts() {
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

// file works out what an entry counts as after all its refiles: of those that
// set a field the last in order.
func (s *State) file(en *entry) {
	refiles := s.refiles[en.event.Ref()]
	if len(refiles) == 0 || !en.event.Fact.Kind().Counts() {
		return
	}
	fact := en.event.Fact
	if opening, ok := fact.(*event.OpeningCount); ok {
		fact = opening.Count()
	}
	for _, e := range refiles { // a later one sets over an earlier one, field by field
		r := e.Fact.(*event.Refiled)
		fact = r.Refile(fact, r.Sets)
	}
	en.as = en.event.With(fact)
}

// checkRefile says why entries can not be moved so: one is not here, or has no
// such place.
func (s *State) checkRefile(f *event.Refiled) error {
	for _, target := range f.Targets {
		en := s.find(target)
		if en == nil {
			return fault.New(fault.Missing, "entry-missing")
		}
		if !f.Fits(en.counts().Fact) {
			return fault.New(fault.Invalid, "refile-unfit").With("kind", en.event.Fact.Kind().String())
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

// checkSettled refuses to settle a stock whose objects nobody counted again, or
// whose newest recount the ledger bears out: settling would only part the two.
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
	return nil
}
