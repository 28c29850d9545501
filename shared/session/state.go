// Package session is one session as a function of the set of its events: State
// takes events in, View says what screens draw. Apply is the only way to change
// a State.
package session

import (
	"slices"

	"rootledger/shared/attempt"
	"rootledger/shared/budget"
	"rootledger/shared/clock"
	"rootledger/shared/donor"
	"rootledger/shared/dose"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/pace"
	"rootledger/shared/plan"
	"rootledger/shared/quality"
	"rootledger/shared/share"
	"rootledger/shared/stock"
	"rootledger/shared/team"
)

// State is all that is known of one session. The zero value has no events.
type State struct {
	histories map[event.ReplicaID]*history
	parked    map[event.Ref][]*entry // by the event that each waits for
	voids     map[event.Ref]*voidSet // by target
	waiting   int                    // events kept but not counted
	events    int
	served    int // of those, written by a server
	newest    event.Stamp
	needs     []event.Need // scratch
	block     []entry      // the block that new entries come from

	opened []*event.Event // almost always one
	ended  []*event.Event

	refiles  map[event.Ref]*filing // by target
	settles  []*event.Event        // those that stand, in order
	recounts recounts
	touched  touched

	attempts attempt.Tally
	stocks   stock.Tally
	budgets  budget.Budget
	plans    plan.Plan
	donors   donor.Donor
	teams    team.Team
	clocks   clock.Clock
	paces    pace.Tally
	punches  punches
	trials   trials

	qualities quality.Tally
	rates     rates
	out       outOfBody
	shares    share.Tally
	doses     dose.Log
	dosed     *Doses // as last worked out; nil after a change
}

// entry is one event and whether it counts.
type entry struct {
	event   *event.Event
	as      *event.Event // what it counts as, when that is not what was written: it was refiled, or is an opening count
	status  status
	station event.Station // of its author then, by its own history
}

// entryBlock is how many entries one allocation holds.
const entryBlock = 128

type status uint8

const (
	waiting status = iota // kept, counts as zero: not understood, out of bounds, or it names an event that does not count here
	counted               // in the figures
	undone                // a void stands against it
)

type voidSet struct {
	voids     map[event.Ref]bool
	cancelled map[event.Ref]bool
}

func (v *voidSet) stands() bool {
	for ref := range v.voids {
		if !v.cancelled[ref] {
			return true
		}
	}
	return false
}

// Events is how many events were applied.
func (s *State) Events() int { return s.events }

// Tapped is how many of them a person caused: all but what a server writes.
func (s *State) Tapped() int { return s.events - s.served }

// Ended says whether an end of the session is known.
func (s *State) Ended() bool { return len(s.ended) > 0 }

// NewestMs is the wall part of the greatest stamp, ms since 1970; 0 without events.
func (s *State) NewestMs() int64 { return s.newest.Ms() }

// At is when an event was written, in ms since 1970 by the room's clock; about
// says that it is a guess.
func (s *State) At(e *event.Event) (ms int64, about bool) { return s.clocks.At(e) }

// RoomTime is the room's clock when a phone's worker start had run for sinceMs;
// known is false while no note is about that start.
func (s *State) RoomTime(id event.ReplicaID, start event.StartID, sinceMs uint64) (ms int64, known bool) {
	return s.clocks.Read(id, start, sinceMs)
}

// Find returns the event with this reference, or nil.
func (s *State) Find(ref event.Ref) *event.Event {
	if en := s.find(ref); en != nil {
		return en.event
	}
	return nil
}

func (s *State) find(ref event.Ref) *entry {
	if h := s.histories[ref.Replica]; h != nil {
		return h.find(ref)
	}
	return nil
}

// Undone says whether the event with this reference is void now.
func (s *State) Undone(ref event.Ref) bool {
	set := s.voids[ref]
	return set != nil && set.stands()
}

// Voids are the voids that stand against a target, in ascending order: what a
// restore must name.
func (s *State) Voids(target event.Ref) []event.Ref {
	set := s.voids[target]
	if set == nil {
		return nil
	}
	var out []event.Ref
	for ref := range set.voids {
		if !set.cancelled[ref] {
			out = append(out, ref)
		}
	}
	event.Sort(out, func(a, b *event.Ref) int { return event.CompareRef(*a, *b) })
	return out
}

// Station is where a replica counts now, 0 before it joined.
func (s *State) Station(id event.ReplicaID) event.Station { return s.team().Station(id) }

// Supersedes lists the standing edits that a new plan edit replaces: of the
// budget, the yield, the floor, the keeping, the weight, the rule of a substance, or
// the zone, region or agent that the fact is an edit of. Of a look it is what was seen.
func (s *State) Supersedes(fact event.Fact) []event.Ref {
	switch f := fact.(type) {
	case *event.Budget:
		return s.budgets.GraftHeads()
	case *event.Yield:
		return s.budgets.YieldHeads()
	case *event.Floor:
		return s.donors.FloorHeads()
	case *event.Watch:
		return s.qualities.WatchHeads()
	case *event.Looked:
		return s.qualities.Upto(f.Pass)
	case *event.Keeping:
		return s.out.tally.Heads()
	case *event.Weight:
		return s.doses.WeightHeads()
	case *event.Agent:
		return s.doses.AgentHeads(f.Of)
	case *event.DoseRule:
		return s.doses.RuleHeads(f.Substance)
	case *event.Zone:
		for _, z := range s.plans.Zones() {
			if z.Ref == f.Of {
				return z.Heads
			}
		}
	case *event.Region:
		for _, r := range s.donors.Regions() {
			if r.Ref == f.Of {
				return r.Heads
			}
		}
	}
	return nil
}

// Bounds of one session that Record holds; what arrives beyond them counts.
const (
	MaxZones   = 16
	MaxRegions = 12
	MaxPasses  = 64
	MaxDishes  = 200
)

// Check says in words why a replica may not record a fact now: it names a zone,
// region, pass or dish that is not there, it undoes what is another's, it is one
// more than a session can have, or it plans what can not be: a region that gave
// more than grew there, a budget above its limit without a reason.
func (s *State) Check(by event.ReplicaID, fact event.Fact) error {
	probe := event.Event{Fact: fact}
	s.needs = probe.Needs(s.needs[:0])
	for _, need := range s.needs {
		if !s.meets(need) {
			return fault.New(fault.Missing, missingCode(need.Kind))
		}
	}
	denied, bound := may(by, s.Station(by), fact), s.checkBounds(fact)
	if denied != nil && (bound == nil || fault.Of(bound).Kind != fault.Missing) { // of what is not here nobody can say whose it is
		return denied
	}
	return bound
}

// may lets a replica undo and refile its own entries, and one that has joined
// as lead or office anyone's; these two alone settle, conclude trials, take shares back, and set agents
// and rules for doses. Who extracts makes and chooses set-ups too, and begins
// trials. The station is the
// author's by its own history, so that every replica judges alike.
func may(by event.ReplicaID, station event.Station, fact event.Fact) error {
	if station == event.Lead || station == event.Office {
		return nil
	}
	others := func(target event.Ref) bool { return target.Replica != by }
	switch f := fact.(type) {
	case *event.Void:
		if others(f.Target) {
			return fault.New(fault.Denied, "undo-others")
		}
	case *event.Restore:
		if others(f.Target) {
			return fault.New(fault.Denied, "undo-others")
		}
	case *event.Refiled:
		if slices.ContainsFunc(f.Targets, others) {
			return fault.New(fault.Denied, "refile-others")
		}
	case *event.Settled:
		return fault.New(fault.Denied, "settle-lead")
	case *event.Setup, *event.SetupChosen, *event.Trial:
		if station != event.Extraction {
			return fault.New(fault.Denied, "setup-station")
		}
	case *event.TrialConcluded:
		return fault.New(fault.Denied, "conclude-lead")
	case *event.Reclaimed:
		return fault.New(fault.Denied, "reclaim-lead")
	case *event.Agent, *event.DoseRule:
		return fault.New(fault.Denied, "dose-lead")
	}
	return nil
}

func missingCode(kind event.Kind) fault.Code {
	switch kind {
	case event.KindZone:
		return "zone-missing"
	case event.KindRegion:
		return "region-missing"
	case event.KindPassBegun:
		return "pass-missing"
	case event.KindSetup:
		return "setup-missing"
	case event.KindTrial:
		return "trial-missing"
	case event.KindAgent:
		return "agent-missing"
	default:
		return "dish-missing"
	}
}

func (s *State) checkBounds(fact event.Fact) error {
	tooMany := func(field string, most int64) error {
		return fault.New(fault.TooMuch, "too-many").With("field", field).WithInt("max", most)
	}
	switch f := fact.(type) {
	case *event.Opened:
		if s.opening() != nil {
			return fault.New(fault.Conflict, "opened-already")
		}
	case *event.Zone:
		if f.Of.IsZero() && len(s.plans.Zones()) >= MaxZones {
			return tooMany("zones", MaxZones)
		}
	case *event.Region:
		if f.Of.IsZero() && len(s.donors.Regions()) >= MaxRegions {
			return tooMany("regions", MaxRegions)
		}
		if share := donor.Share(f, 0); share.Num > share.Den && share.Den > 0 {
			return fault.New(fault.Invalid, "harvested-above").WithInt("max", share.Den/1000)
		}
	case *event.PassBegun:
		if len(s.attempts.Passes()) >= MaxPasses {
			return tooMany("passes", MaxPasses)
		}
	case *event.Void:
		return s.checkVoid(f)
	case *event.Restore:
		if s.find(f.Target) == nil {
			return fault.New(fault.Missing, "entry-missing")
		}
	case *event.Refiled:
		return s.checkRefile(f)
	case *event.Dish:
		return s.checkDish(f)
	case *event.DishDone:
		return s.checkOpen(f.Dish)
	case *event.DishClosed:
		return s.checkOpen(f.Dish)
	case *event.OpeningCount:
		if f.Of == event.KindAttempt && f.Outcome == event.Intact && s.attempts.Mode(f.Pass) == event.ByException {
			return fault.New(fault.Invalid, "opening-intact")
		}
	case *event.Settled:
		return s.checkSettled(f)
	case *event.Budget:
		return s.checkBudget(f)
	case *event.Setup:
		return s.checkSetup()
	case *event.SetupChosen:
		return s.checkChosen(f)
	case *event.Trial:
		return s.checkTrial(f)
	case *event.TrialConcluded:
		return s.checkConcluded(f)
	case *event.Keeping:
		return s.checkKeeping(f)
	}
	return s.checkLead(fact)
}

// checkLead holds what only the lead writes down besides the plan.
func (s *State) checkLead(fact event.Fact) error {
	if f, ok := fact.(*event.Reclaimed); ok {
		return s.checkReclaimed(f)
	}
	return s.checkDoses(fact) // which has nothing against any other kind
}

// checkBudget refuses a budget above the smaller of need and donor without a
// reason. One that stands already may be chosen: it was said before.
func (s *State) checkBudget(f *event.Budget) error {
	limit := s.fold().limit
	if f.Reason != "" || limit.By == budget.StopsUnknown || int64(f.Grafts) <= limit.Grafts {
		return nil
	}
	for _, edit := range s.budgets.GraftsStanding() {
		if edit.Value.Grafts == f.Grafts {
			return nil
		}
	}
	return fault.New(fault.Invalid, "budget-above").WithInt("limit", limit.Grafts).With("side", limit.By.String())
}

func (s *State) checkVoid(f *event.Void) error {
	en := s.find(f.Target)
	switch {
	case en == nil:
		return fault.New(fault.Missing, "entry-missing")
	case !en.event.Fact.Kind().Voidable():
		return fault.New(fault.Invalid, "not-undoable").With("kind", en.event.Fact.Kind().String())
	case en.status == undone:
		return fault.New(fault.Conflict, "undone-already")
	}
	return nil
}
