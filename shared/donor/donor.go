// Package donor answers: how much may still be taken, and from where? Attempts,
// not grafts, use up a donor.
package donor

import (
	"cmp"

	"rootledger/shared/event"
)

// Donor is the donor regions of one session, and the floor that is set for
// them. The zero value is empty.
type Donor struct {
	regions map[event.Ref]*event.Register[*event.Region]
	floor   event.Register[*event.Floor]
	listed  []Region // what Regions lists, until the next edit
}

// Add takes a region's making or edit, or an edit of the floor, in; it ignores
// all other kinds.
func (d *Donor) Add(e *event.Event, _ int64) {
	switch f := e.Fact.(type) {
	case *event.Region:
		d.addRegion(e, f)
	case *event.Floor:
		d.floor.Add(e, f, f.Supersedes)
	}
}

func (d *Donor) addRegion(e *event.Event, f *event.Region) {
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
	d.listed = nil
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
	Heads    []event.Ref   // the standing edits, what a new one supersedes

	Standing []event.Edit[*event.Region] // the same, the smallest capacity first; above one the lead must choose
}

// Regions lists all regions by reference. The list is the donor's own: it is read
// at every tap and changes with an edit.
func (d *Donor) Regions() []Region {
	if d.listed != nil {
		return d.listed
	}
	out := make([]Region, 0, len(d.regions))
	for id, register := range d.regions {
		label := register.Newest().Value
		r := Region{Ref: id, Code: label.Code, Name: label.Name, Heads: register.Heads(),
			Standing: register.Sorted(func(a, b *event.Region) int { return cmp.Compare(Capacity(a), Capacity(b)) })}
		r.Edit = r.Standing[0].Value
		r.Capacity = Capacity(r.Edit)
		out = append(out, r)
	}
	event.Sort(out, func(a, b *Region) int { return event.CompareRef(a.Ref, b.Ref) })
	d.listed = out
	return out
}

// Capacity is area × native density × share that may be harvested − already
// harvested, rounded down, in attempts. If only today's density is known,
// native units = today's + harvested. (Arithmetic; the share is the lead's.)
func Capacity(f *event.Region) int64 {
	return Native(f)*int64(f.SharePerMille)/1_000_000 - int64(f.Harvested)
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
