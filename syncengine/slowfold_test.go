package syncengine

import (
	"slices"

	"rootledger/shared/event"
)

// slowLedger is the stocks of a list of events worked out the long way: it
// looks at the whole list for every question and remembers nothing in between.
type slowLedger struct {
	all   []*event.Event
	items []item // what counts
}

// item is one event that counts, and where: as its refiles file it.
type item struct {
	*event.Event
	fact                     event.Fact // of an opening count what it stands for
	pass, region, zone, dish event.Ref
	setup, trial             event.Ref
	size                     event.Size
}

func newSlowLedger(all []*event.Event) *slowLedger {
	s := &slowLedger{all: all}
	for _, e := range all {
		if s.permits(e) && !(e.Fact.Kind().Voidable() && s.isVoid(e.Ref())) {
			s.items = append(s.items, s.filed(itemOf(e)))
		}
	}
	return s
}

// leads says whether an event's author had joined as a lead or the office.
func (s *slowLedger) leads(e *event.Event) bool {
	station := s.station(e)
	return station == event.Lead || station == event.Office
}

// permits says whether an author may do to others what an event does.
func (s *slowLedger) permits(e *event.Event) bool {
	own := true
	switch f := e.Fact.(type) {
	case *event.Void:
		own = f.Target.Replica == e.Replica
	case *event.Restore:
		own = f.Target.Replica == e.Replica
	case *event.Refiled:
		for _, target := range f.Targets {
			own = own && target.Replica == e.Replica
		}
	case *event.Settled, *event.TrialConcluded, *event.Agent, *event.DoseRule, *event.Reclaimed:
		own = false
	case *event.Setup, *event.SetupChosen, *event.Trial:
		own = s.station(e) == event.Extraction
	}
	return own || s.leads(e)
}

// isVoid looks for a void of target that no restore of target names.
func (s *slowLedger) isVoid(target event.Ref) bool {
	for _, e := range s.all {
		if f, ok := e.Fact.(*event.Void); ok && f.Target == target && s.permits(e) && !s.isCancelled(target, e.Ref()) {
			return true
		}
	}
	return false
}

func (s *slowLedger) isCancelled(target, void event.Ref) bool {
	for _, e := range s.all {
		if f, ok := e.Fact.(*event.Restore); ok && f.Target == target && s.permits(e) {
			for _, one := range f.Voids {
				if one == void {
					return true
				}
			}
		}
	}
	return false
}

// itemOf is an event at the places that its author wrote.
func itemOf(e *event.Event) item {
	it := item{Event: e, fact: countOf(e.Fact)}
	switch f := it.fact.(type) {
	case *event.Fired:
		it.pass, it.region = f.Pass, f.Region
	case *event.Attempt:
		it.pass, it.region, it.setup, it.trial = f.Pass, f.Region, f.Setup, f.Trial
	case *event.Reading:
		it.pass, it.region = f.Pass, f.Region
	case *event.Retrieved:
		it.pass, it.region = f.Pass, f.Region
	case *event.Sorted:
		it.dish, it.size = f.Dish, f.Size
	case *event.Rejected:
		it.dish, it.size = f.Dish, f.Size
	case *event.Split:
		it.dish, it.size = f.Dish, f.Size
	case *event.Sites:
		it.zone, it.size = f.Zone, f.Size
	case *event.SitesClosed:
		it.zone, it.size = f.Zone, f.Size
	case *event.Placed:
		it.zone, it.dish, it.size = f.Zone, f.Dish, f.Size
	case *event.CameBack:
		it.zone, it.dish, it.size = f.Zone, f.Dish, f.Size
	case *event.DishDone:
		it.zone, it.dish = f.Zone, f.Dish
	}
	return it
}

// filed moves an item to where the newest refile of each field puts it. What a
// split cuts has the size it had, and a dish that is done is that dish.
func (s *slowLedger) filed(it item) item {
	if f := s.newest(it.Ref(), event.FiledPass); f != nil {
		if it.pass != f.Pass {
			it.trial = event.Ref{} // a trial is of one pass
		}
		it.pass = f.Pass
	}
	if f := s.newest(it.Ref(), event.FiledSetup); f != nil {
		if it.setup = f.Setup; it.setup.IsZero() {
			it.trial = event.Ref{}
		}
	}
	if f := s.newest(it.Ref(), event.FiledRegion); f != nil {
		it.region = f.Region
	}
	if f := s.newest(it.Ref(), event.FiledZone); f != nil {
		it.zone = f.Zone
	}
	kind := it.fact.Kind()
	if f := s.newest(it.Ref(), event.FiledDish); f != nil && kind != event.KindDishDone {
		it.dish = f.Dish
	}
	if f := s.newest(it.Ref(), event.FiledSize); f != nil && kind != event.KindSplit {
		it.size = f.Size
	}
	return it
}

// newest is the refile of an entry with the greatest stamp of those that set a
// field; of equal stamps the replica and its seq decide.
func (s *slowLedger) newest(target event.Ref, field event.Filed) *event.Refiled {
	var best *event.Event
	for _, e := range s.all {
		f, ok := e.Fact.(*event.Refiled)
		if !ok || f.Sets&field == 0 || !slices.Contains(f.Targets, target) || !s.permits(e) {
			continue
		}
		if best == nil || later(e, best) {
			best = e
		}
	}
	if best == nil {
		return nil
	}
	return best.Fact.(*event.Refiled)
}

// later says whether a comes after b in the total order.
func later(a, b *event.Event) bool {
	switch {
	case a.Stamp != b.Stamp:
		return a.Stamp > b.Stamp
	case a.Replica != b.Replica:
		return string(a.Replica[:]) > string(b.Replica[:])
	}
	return a.Seq > b.Seq
}

// asOf is the ledger that a recount is held to: what was counted by then,
// what was counted late, and everything that was settled.
func (s *slowLedger) asOf(recount *event.Event) *slowLedger {
	then := &slowLedger{all: s.all}
	for _, it := range s.items {
		if !it.fact.Kind().Counts() || it.Late || !later(it.Event, recount) {
			then.items = append(then.items, it)
		}
	}
	return then
}

// sum adds what count says of every entry that counts.
func (s *slowLedger) sum(count func(item) int64) int64 {
	var n int64
	for _, it := range s.items {
		n += count(it)
	}
	return n
}

// settled is what leads settled of one identity.
func (s *slowLedger) settled(what event.Identity, match func(*event.Settled) bool) int64 {
	return s.sum(func(it item) int64 {
		if f, ok := it.fact.(*event.Settled); ok && f.What == what && match(f) {
			return f.Amount
		}
		return 0
	})
}

// anything matches whatever was settled.
func anything(*event.Settled) bool { return true }

// countSeen notes what a day holds beyond its kinds.
func (s *slowLedger) countSeen(seen map[string]int, e *event.Event) {
	switch f := e.Fact.(type) {
	case *event.Refiled:
		for _, target := range f.Targets {
			switch {
			case !s.permits(e):
				seen["refile by no lead"]++
			case target.Replica != e.Replica:
				seen["refile of another's"]++
			}
			for _, bit := range []event.Filed{event.FiledPass, event.FiledRegion, event.FiledZone, event.FiledDish, event.FiledSize, event.FiledSetup} {
				if best := s.newest(target, bit); best != nil && best != f && f.Sets&bit != 0 {
					seen["refiled twice"]++
				}
			}
		}
	case *event.Settled:
		if !s.permits(e) {
			seen["settled by no lead"]++
		}
	case *event.Setup:
		if !s.permits(e) {
			seen["set-up by who may not"]++
		}
	case *event.Void:
		seen["void of a "+s.kindOf(f.Target)]++
	case *event.Restore:
		seen["restore of a "+s.kindOf(f.Target)]++
	case *event.Recount:
		if slices.ContainsFunc(s.all, func(at *event.Event) bool { return at.Late && later(at, e) }) {
			seen["late after a recount"]++
		}
	}
	if !itemOf(e).dish.IsZero() {
		seen["in a dish"]++
	}
}

func (s *slowLedger) kindOf(ref event.Ref) string {
	for _, e := range s.all {
		if e.Ref() == ref {
			return e.Fact.Kind().String()
		}
	}
	return "event that is not here"
}
