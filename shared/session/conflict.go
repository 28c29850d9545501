package session

import (
	"rootledger/shared/donor"
	"rootledger/shared/event"
	"rootledger/shared/plan"
)

// Conflict is one entry of the plan with values that were set apart, by people
// who did not know of each other, and that differ. All of them stand until an
// edit names them; until then the first counts, which is the safe side: the
// smallest budget, need or capacity, the largest yield, and the shortest time out.
type Conflict struct {
	Kind     event.Kind `json:"kind"`     // budget, yield, floor, watch, keeping, zone or region
	Of       event.Ref  `json:"of"`       // the zone or region
	Code     string     `json:"code"`     // of a region
	Name     string     `json:"name"`     // of a zone or region
	Standing int64      `json:"standing"` // how many stand; at least two
	Values   []Value    `json:"values"`   // the one that counts first, then further and further from the safe side; at most maxValues
}

// Value is one standing value: who set it and when, the figure by which the
// safe side is found, and the fields that its kind has.
type Value struct {
	Ref    event.Ref `json:"ref"`
	Person string    `json:"person"` // who held that phone then, "" for nobody known
	AtMs   int64     `json:"atMs"`   // ms since 1970, the session's clock
	Figure int64     `json:"figure"` // budget and need in grafts, yield in per mille, floor in hairs per cm² × 10, limit of a watch × 100, capacity in attempts, keeping in minutes till it asks
	Reason string    `json:"reason"` // of a budget

	AreaMM2         int64               `json:"areaMm2"`     // of a zone or region
	Density10       int64               `json:"density10"`   // of a zone or region
	Mix             [event.Sizes]uint16 `json:"mixPerMille"` // of a zone
	Today           bool                `json:"today"`       // of a region, as what follows
	SharePerMille   int64               `json:"sharePerMille"`
	Harvested       int64               `json:"harvested"`
	HairsPerUnit100 int64               `json:"hairsPerUnit100"`
	P0Parts         int64               `json:"p0Parts"` // of a watch, as what follows
	P1Parts         int64               `json:"p1Parts"`

	RedMin           int64  `json:"redMin"` // of a keeping, as what follows
	PlacingMs        int64  `json:"placingMs"`
	PerHour10        int64  `json:"perHour10"`
	Solution         string `json:"solution"`
	Temperature10    int64  `json:"temperature10"`
	TemperatureKnown bool   `json:"temperatureKnown"`
}

const (
	// maxValues is how many values of one conflict are listed: more leads than
	// work apart on any day. The one that counts is always among them, and
	// choosing replaces the unlisted ones as well.
	maxValues = 8

	// maxConflicts is one for every entry that a plan can have; with maxValues
	// it bounds the section whatever arrives.
	maxConflicts = 5 + MaxZones + MaxRegions
)

// conflicts lists budget, yield, floor, watch and keeping, then zones and regions by reference.
func (s *State) conflicts(f *fold) []Conflict {
	list := conflictList{}
	add := list.add
	if f.budgets > 1 {
		add(Conflict{Kind: event.KindBudget}, valuesOf(s, s.budgets.GraftsStanding(), budgetValue))
	}
	if f.yields > 1 {
		add(Conflict{Kind: event.KindYield}, valuesOf(s, s.budgets.YieldsStanding(), yieldValue))
	}
	if f.floors > 1 {
		add(Conflict{Kind: event.KindFloor}, valuesOf(s, s.donors.FloorsStanding(), floorValue))
	}
	if f.watches > 1 {
		add(Conflict{Kind: event.KindWatch}, valuesOf(s, s.qualities.WatchesStanding(), watchValue))
	}
	if s.out.tally.Limits().Standing > 1 {
		add(Conflict{Kind: event.KindKeeping}, valuesOf(s, s.out.tally.Standing(), keepingValue))
	}
	for _, z := range f.zones {
		if len(z.Standing) > 1 {
			add(Conflict{Kind: event.KindZone, Of: z.Ref, Name: z.Name}, valuesOf(s, z.Standing, zoneValue))
		}
	}
	for _, r := range f.regions {
		if len(r.Standing) > 1 {
			add(Conflict{Kind: event.KindRegion, Of: r.Ref, Code: r.Code, Name: r.Name}, valuesOf(s, r.Standing, regionValue))
		}
	}
	return list
}

type conflictList []Conflict

func (l *conflictList) add(c Conflict, values []Value) {
	if len(*l) < maxConflicts && !agree(values) {
		c.Standing, c.Values = int64(len(values)), values[:min(len(values), maxValues)]
		*l = append(*l, c)
	}
}

// valuesOf lists standing edits as values.
func valuesOf[T any](s *State, standing []event.Edit[T], value func(T) Value) []Value {
	out := make([]Value, 0, len(standing))
	for _, e := range standing {
		v := value(e.Value)
		v.Ref, v.Person, v.AtMs = e.Ref, s.team().Person(e.Ref.Replica, e.Stamp), e.Stamp.Ms()
		out = append(out, v)
	}
	return out
}

// agree says whether all values are the same, whoever set them and why: then
// there is nothing to choose.
func agree(values []Value) bool {
	bare := func(v Value) Value {
		v.Ref, v.Person, v.AtMs, v.Reason = event.Ref{}, "", 0, ""
		return v
	}
	for _, v := range values[1:] {
		if bare(v) != bare(values[0]) {
			return false
		}
	}
	return true
}

func budgetValue(f *event.Budget) Value { return Value{Figure: int64(f.Grafts), Reason: f.Reason} }

func floorValue(f *event.Floor) Value { return Value{Figure: int64(f.HairsPerCM2x10)} }

func watchValue(f *event.Watch) Value {
	return Value{Figure: int64(f.H100), P0Parts: int64(f.P0Parts), P1Parts: int64(f.P1Parts)}
}

func keepingValue(f *event.Keeping) Value {
	return Value{Figure: f.AmberMin, RedMin: f.RedMin, PlacingMs: f.PlacingMs, PerHour10: f.PerHour10,
		Solution: f.Solution, Temperature10: f.Temperature10, TemperatureKnown: f.TemperatureKnown}
}

func yieldValue(f *event.Yield) Value { return Value{Figure: int64(f.PerMille)} }

func zoneValue(f *event.Zone) Value {
	return Value{Figure: plan.Need(f), AreaMM2: int64(f.AreaMM2), Density10: int64(f.Density10), Mix: f.Mix}
}

func regionValue(f *event.Region) Value {
	return Value{Figure: donor.Capacity(f), AreaMM2: int64(f.AreaMM2), Density10: int64(f.Density10), Today: f.Today,
		SharePerMille: int64(f.SharePerMille), Harvested: int64(f.Harvested), HairsPerUnit100: int64(f.HairsPerUnit100)}
}
