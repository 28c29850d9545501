package session

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Apply takes one event in, each once and after the one that it follows; apart
// from that any order gives the same State. It fails, and changes
// nothing, only when that order is broken. An event that names another one
// waits, uncounted, until that one is here; one that breaks a bound, is not
// understood, or undoes what is another's is kept and counts as zero.
func (s *State) Apply(e *event.Event) error {
	if s.histories == nil {
		s.histories = make(map[event.ReplicaID]*history)
		s.parked = make(map[event.Ref][]*entry)
		s.voids = make(map[event.Ref]*voidSet)
	}
	h := s.histories[e.Replica]
	if h == nil {
		h = new(history)
	}
	parent, ok := h.follows(e)
	if !ok {
		return fault.New(fault.Damaged, "out-of-order").WithInt("seq", int64(e.Seq))
	}
	s.histories[e.Replica] = h
	en := s.newEntry(e)
	h.add(en, parent)
	s.events++
	if e.Fact.Kind().ByServer() {
		s.served++
	}
	s.waiting++
	s.newest = max(s.newest, e.Stamp)
	s.teams.Meet(e)
	s.rates.meet(e.Fact.Kind())
	if s.clocks.Meet(e) {
		s.redate(e.Replica)
		s.dosed = nil
	}
	if e.Valid() == nil && may(e.Replica, en.station, e.Fact) == nil {
		s.settle(en)
	}
	return nil
}

// newEntry takes entries from blocks: one allocation for many events.
func (s *State) newEntry(e *event.Event) *entry {
	if len(s.block) == cap(s.block) {
		s.block = make([]entry, 0, entryBlock)
	}
	s.block = append(s.block, entry{event: e})
	return &s.block[len(s.block)-1]
}

// settle counts an entry, or parks it under the first event that it lacks; a
// counted entry frees those that waited for it.
func (s *State) settle(en *entry) {
	s.needs = en.event.Needs(s.needs[:0])
	for _, need := range s.needs {
		if !s.meets(need) {
			s.parked[need.Ref] = append(s.parked[need.Ref], en)
			return
		}
	}
	s.count(en)
	if len(s.parked) == 0 {
		return
	}
	ref := en.event.Ref()
	freed := s.parked[ref]
	if freed == nil {
		return
	}
	delete(s.parked, ref)
	for _, one := range freed {
		s.settle(one)
	}
}

// meets says whether the event that is needed is here, counts, and is one that
// can be named so.
func (s *State) meets(need event.Need) bool {
	target := s.find(need.Ref)
	return target != nil && target.status != waiting && target.event.Fact.Kind() == need.Kind && target.event.Makes()
}

func (s *State) count(en *entry) {
	en.status = counted
	s.waiting--
	e := en.event
	s.shares.Add(e)
	switch f := e.Fact.(type) {
	case *event.Void:
		s.voidsOf(f.Target).voids[e.Ref()] = true
		s.turn(f.Target)
		s.teams.Add(e, 1)
		return
	case *event.Restore:
		for _, v := range f.Voids {
			s.voidsOf(f.Target).cancelled[v] = true
		}
		s.turn(f.Target)
		s.teams.Add(e, 1)
		return
	case *event.Refiled:
		s.refile(e, f)
		s.teams.Add(e, 1)
		return
	case *event.OpeningCount:
		en.as = e.With(opened(f, f.Count()))
	}
	s.touched.meet(e)
	if len(s.refiles) > 0 {
		s.file(en)
	}
	s.route(en, 1)
	s.clocks.Add(e)
	if note, ok := e.Fact.(*event.ClockNote); ok {
		s.redate(note.Replica)
	}
	if e.Fact.Kind().Voidable() && s.Undone(e.Ref()) {
		s.route(en, -1)
		en.status = undone
	}
}

// turn takes a target in or out after its voids changed.
func (s *State) turn(target event.Ref) {
	en := s.find(target)
	if en == nil || !en.event.Fact.Kind().Voidable() {
		return
	}
	stands := s.Undone(target)
	switch {
	case stands && en.status == counted:
		s.route(en, -1)
		en.status = undone
	case !stands && en.status == undone:
		s.route(en, 1)
		en.status = counted
	}
}

func (s *State) voidsOf(target event.Ref) *voidSet {
	set := s.voids[target]
	if set == nil {
		set = &voidSet{make(map[event.Ref]bool), make(map[event.Ref]bool)}
		s.voids[target] = set
	}
	return set
}

// counts is what an entry counts as.
func (en *entry) counts() *event.Event {
	if en.as != nil {
		return en.as
	}
	return en.event
}

// route hands one entry, as what it counts, to the nouns that it speaks to.
func (s *State) route(en *entry, sign int64) {
	e := en.counts()
	s.recounts.meet(e)
	s.rates.meet(e.Fact.Kind())
	s.tellPace(en, sign)
	s.tellOut(en, sign)
	switch f := e.Fact.(type) {
	case *event.Opened:
		s.opened = append(s.opened, e)
	case *event.Ended:
		s.ended = append(s.ended, e)
	case *event.Budget, *event.Yield:
		s.budgets.Add(e, sign)
	case *event.Zone:
		s.plans.Add(e, sign)
	case *event.Region, *event.Floor:
		s.donors.Add(e, sign)
	case *event.Attempt:
		s.attempts.Add(e, sign)
		s.routeSetup(e, f, sign)
		s.qualities.Add(e, sign)
	case *event.PassBegun, *event.PassEnded, *event.Fired, *event.Reading, *event.Retrieved,
		*event.OpeningCount:
		s.attempts.Add(e, sign)
	case *event.Sorted, *event.Rejected, *event.Split, *event.Sites, *event.SitesClosed, *event.Placed, *event.CameBack,
		*event.Dish, *event.DishDone, *event.DishClosed:
		s.stocks.Add(e, sign)
	case *event.Watch, *event.Inspected, *event.Looked:
		s.qualities.Add(e, sign)
	case *event.Settled:
		s.attempts.Add(e, sign)
		s.stocks.Add(e, sign)
		s.settles = event.Turned(s.settles, e, sign)
	case *event.Recount:
		s.recounts.list = event.Turned(s.recounts.list, e, sign)
	case *event.Setup, *event.SetupChosen, *event.Trial, *event.TrialConcluded:
		s.punches.route(e, sign)
		s.trials.route(e, sign)
	case *event.Dosed, *event.Weight, *event.Agent, *event.DoseRule:
		s.doses.Add(e, sign)
	}
	s.touchDoses(e)
	s.teams.Add(e, sign)
}
