// Package donor answers: how much may still be taken, and from where? Attempts,
// not grafts, use up a donor.
package donor

import (
	"slices"

	"rootledger/shared/event"
)

// Donor is the donor regions of one session. The zero value is empty.
type Donor struct {
	regions map[event.Ref]*event.Register[*event.Region]
}

// Add takes a region's making or edit in; it ignores all other kinds.
func (d *Donor) Add(e *event.Event, _ int64) {
	f, ok := e.Fact.(*event.Region)
	if !ok {
		return
	}
	if d.regions == nil {
		d.regions = make(map[event.Ref]*event.Register[*event.Region])
	}
	id := f.Of
	if id.IsZero() {
		id = e.Ref()
	}
	if d.regions[id] == nil {
		d.regions[id] = new(event.Register[*event.Region])
	}
	d.regions[id].Add(e, f, f.Supersedes)
}

// Region is one donor region as it counts now. While edits that do not know of
// each other stand, the smallest capacity counts, computed edit by edit; code
// and name are those of the newest.
type Region struct {
	Ref      event.Ref
	Code     string
	Name     string
	Edit     *event.Region // the one that counts
	Capacity int64         // attempts; below zero when more was harvested than the share allows
	Heads    []event.Ref
	Between  int // how many edits stand; above 1 the lead must choose
}

// Regions lists all regions by reference.
func (d *Donor) Regions() []Region {
	out := make([]Region, 0, len(d.regions))
	for id, register := range d.regions {
		r := Region{Ref: id, Heads: register.Heads()}
		r.Between = len(r.Heads)
		newest, chosen, named := event.Stamp(0), event.Ref{}, event.Ref{}
		register.Standing(func(ref event.Ref, stamp event.Stamp, f *event.Region) {
			capacity := Capacity(f)
			if r.Edit == nil || capacity < r.Capacity || capacity == r.Capacity && event.CompareRef(ref, chosen) < 0 {
				r.Edit, r.Capacity, chosen = f, capacity, ref
			}
			if r.Code == "" || stamp > newest || stamp == newest && event.CompareRef(ref, named) > 0 {
				r.Code, r.Name, newest, named = f.Code, f.Name, stamp, ref
			}
		})
		out = append(out, r)
	}
	slices.SortFunc(out, func(a, b Region) int { return event.CompareRef(a.Ref, b.Ref) })
	return out
}

// Capacity is area × native density × share that may be harvested − already
// harvested, rounded down, in attempts. If only today's density is known,
// native units = today's + harvested. (Arithmetic; the share is the lead's.)
func Capacity(f *event.Region) int64 {
	thousandths := int64(f.AreaMM2) * int64(f.Density10) // native units × 1000
	if f.Today {
		thousandths += 1000 * int64(f.Harvested)
	}
	return thousandths*int64(f.SharePerMille)/1_000_000 - int64(f.Harvested)
}

// Left is what the donor still allows, in attempts: the sum over regions of
// capacity − punched where that is above zero, less the attempts that name no
// region, and never below zero. capacities and punched are in the same order.
func Left(capacities, punched []int64, punchedNowhere int64) int64 {
	var left int64
	for i, capacity := range capacities {
		left += max(0, capacity-punched[i])
	}
	return max(0, left-punchedNowhere)
}
