package session

import (
	"rootledger/shared/dose"
	"rootledger/shared/event"
)

// lastEntries is how many of its own entries a station shows.
const lastEntries = 3

// lookBack is how many other events the search for them passes over.
const lookBack = 64

// Entry is one entry of a phone, as a list shows it: as it counts now.
type Entry struct {
	Ref     event.Ref     `json:"ref"`
	Kind    event.Kind    `json:"kind"`
	AtMs    int64         `json:"atMs"`    // ms since 1970, the room's clock
	About   bool          `json:"about"`   // the time is a guess: the phone's clock was off and nobody noted how far
	N       int64         `json:"n"`       // of a dose µg, of a weight g
	Size    event.Size    `json:"size"`    // 0 when the entry has none
	Outcome event.Outcome `json:"outcome"` // 0 when the entry has none
	Place   event.Ref     `json:"place"`   // the zone or region, when it names one
	Dish    event.Ref     `json:"dish"`    // when it names one
	Pass    event.Ref     `json:"pass"`    // when it names one
	Person  string        `json:"person"`  // who held the phone then
	Undone  bool          `json:"undone"`  // a void stands against it
	Moved   bool          `json:"moved"`   // it was refiled
	Opening bool          `json:"opening"` // it is an opening count
	Late    bool          `json:"late"`    // it says that it happened before the newest recount
	Setup   event.Ref     `json:"setup"`   // the punch set-up that an attempt names
	Agent   event.Ref     `json:"agent"`   // of a dose, a configured agent
	Label   event.Label   `json:"label"`   // of a dose, else
}

// LastEntries lists a replica's newest entries that stand and can be undone, at most n, newest
// first. It looks back a bounded way.
func (s *State) LastEntries(id event.ReplicaID, n int) []Entry {
	return s.entries(id, n, func(en *entry) bool { return en.status == counted })
}

// Entries lists a replica's newest entries that can be undone, undone ones included, at most n,
// newest first. It looks back a bounded way.
func (s *State) Entries(id event.ReplicaID, n int) []Entry {
	return s.entries(id, n, func(en *entry) bool { return en.status != waiting })
}

// listed says whether entries of a kind are listed for undoing: counts, and what
// a desk or a lead says of them, samples and looks.
func listed(k event.Kind) bool {
	return k.Counts() || k == event.KindRecount || k == event.KindSettled || k == event.KindDishClosed ||
		k == event.KindInspected || k == event.KindLooked || k == event.KindDosed
}

func (s *State) entries(id event.ReplicaID, n int, wanted func(*entry) bool) []Entry {
	h := s.histories[id]
	if h == nil {
		return []Entry{}
	}
	history := h.entries()
	out := make([]Entry, 0, min(n, len(history)))
	for i := len(history) - 1; i >= 0 && i >= len(history)-n-lookBack && len(out) < n; i-- {
		if en := history[i]; listed(en.event.Fact.Kind()) && wanted(en) {
			out = append(out, s.entryOf(en))
		}
	}
	return out
}

func (s *State) entryOf(en *entry) Entry {
	e := en.counts()
	_, opening := en.event.Fact.(*event.OpeningCount)
	v := Entry{Ref: e.Ref(), Kind: plain(e.Fact).Kind(), Person: s.team().Person(e.Replica, e.Stamp), Undone: en.status == undone,
		Moved: s.refiles[e.Ref()] != nil, Opening: opening, Late: e.Late}
	v.AtMs, v.About = s.At(en.event)
	switch f := plain(e.Fact).(type) {
	case *event.Attempt:
		v.N, v.Outcome, v.Place, v.Pass, v.Setup = int64(f.N), f.Outcome, f.Region, f.Pass, f.Setup
	case *event.Fired:
		v.N, v.Place, v.Pass = int64(f.N), f.Region, f.Pass
	case *event.Reading:
		v.N, v.Place, v.Pass = int64(f.Value), f.Region, f.Pass
	case *event.Retrieved:
		v.N, v.Outcome, v.Place, v.Pass = int64(f.N), f.From, f.Region, f.Pass
	case *event.Sorted:
		v.N, v.Size, v.Dish = int64(f.N), f.Size, f.Dish
	case *event.Rejected:
		v.N, v.Size, v.Dish = int64(f.N), f.Size, f.Dish
	case *event.Split:
		v.N, v.Size, v.Dish = int64(f.N), f.Size, f.Dish
	case *event.Sites:
		v.N, v.Size, v.Place = int64(f.N), f.Size, f.Zone
	case *event.SitesClosed:
		v.N, v.Size, v.Place = int64(f.N), f.Size, f.Zone
	case *event.Placed:
		v.N, v.Size, v.Place, v.Dish = int64(f.N), f.Size, f.Zone, f.Dish
	case *event.CameBack:
		v.N, v.Size, v.Place, v.Dish = int64(f.N), f.Size, f.Zone, f.Dish
	default:
		v.deskEntry(e.Fact)
	}
	return v
}

// deskEntry fills in what a desk, a lead or the office entered.
func (v *Entry) deskEntry(fact event.Fact) {
	switch f := fact.(type) {
	case *event.DishDone:
		v.Place, v.Dish = f.Zone, f.Dish
		for _, n := range f.Placed {
			v.N += int64(n)
		}
	case *event.Recount:
		v.N, v.Size, v.Place, v.Dish = int64(f.N), f.Size, f.Zone, f.Dish
	case *event.Settled:
		v.N, v.Size, v.Place = f.Amount, f.Size, f.Region
	case *event.Inspected:
		v.N, v.Place, v.Pass = int64(f.Grafts), f.Region, f.Pass
	case *event.Looked:
		v.N, v.Pass = int64(f.Grafts), f.Pass
	case *event.Budget:
		v.N = int64(f.Grafts)
	case *event.Yield:
		v.N = int64(f.PerMille)
	case *event.Dosed:
		v.N, v.Agent, v.Label = toUG(dose.NG(f.VolumeUL, f.Strength)), f.Agent, f.Label
	case *event.Weight:
		v.N = int64(f.Grams)
	}
}
