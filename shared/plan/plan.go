// Package plan answers: what does the patient need? Zones with their area,
// density and mix, and what each needs by unit size.
package plan

import (
	"cmp"

	"rootledger/shared/event"
)

// Plan is the zones of one session. The zero value is empty.
type Plan struct {
	zones  map[event.Ref]*event.Register[*event.Zone]
	listed []Zone // what Zones lists, until the next edit
}

// Add takes a zone's making or edit in; it ignores all other kinds. Plan edits
// are never taken out again: a newer edit replaces an older one.
func (p *Plan) Add(e *event.Event, _ int64) {
	f, ok := e.Fact.(*event.Zone)
	if !ok {
		return
	}
	if p.zones == nil {
		p.zones = make(map[event.Ref]*event.Register[*event.Zone])
	}
	id := f.Of
	if id.IsZero() {
		id = e.Ref()
	}
	if p.zones[id] == nil {
		p.zones[id] = new(event.Register[*event.Zone])
	}
	p.zones[id].Add(e, f, f.Supersedes)
	p.listed = nil
}

// Zone is one recipient zone as it counts now. While edits that do not know of
// each other stand, the smallest need counts, edit by edit; the name is that
// of the newest.
type Zone struct {
	Ref   event.Ref
	Name  string
	Edit  *event.Zone  // the one that counts
	Need  event.BySize // grafts
	Heads []event.Ref  // the standing edits, what a new one supersedes

	Standing []event.Edit[*event.Zone] // the same, the smallest need first; above one the lead must choose
}

// Zones lists all zones by reference. The list is the plan's own: it is read at
// every tap and changes with an edit.
func (p *Plan) Zones() []Zone {
	if p.listed != nil {
		return p.listed
	}
	out := make([]Zone, 0, len(p.zones))
	for id, register := range p.zones {
		z := Zone{Ref: id, Name: register.Newest().Value.Name, Heads: register.Heads(),
			Standing: register.Sorted(func(a, b *event.Zone) int { return cmp.Compare(Need(a), Need(b)) })}
		z.Edit = z.Standing[0].Value
		z.Need = BySize(Need(z.Edit), z.Edit.Mix)
		out = append(out, z)
	}
	event.Sort(out, func(a, b *Zone) int { return event.CompareRef(a.Ref, b.Ref) })
	p.listed = out
	return out
}

// Need is area × density rounded up, in grafts: mm² / 100 × tenths / 10.
func Need(f *event.Zone) int64 {
	return (int64(f.AreaMM2)*int64(f.Density10) + 999) / 1000
}

// BySize divides need by the mix with the largest remainder; of equal
// remainders the smaller size goes first. The mix is normalised by its own sum.
func BySize(need int64, mix [event.Sizes]uint16) event.BySize {
	var weights event.BySize
	for i, m := range mix {
		weights[i] = int64(m)
	}
	return divide(need, weights)
}

// Mix is the mix of some grafts in per mille, by the same rule: BySize turned
// round. Nothing has no mix.
func Mix(of event.BySize) (mix [event.Sizes]uint16) {
	for i, m := range divide(1000, of) {
		mix[i] = uint16(m)
	}
	return mix
}

// divide divides n in the proportion of weights with the largest remainder.
func divide(n int64, weights event.BySize) event.BySize {
	sum := weights.Total()
	if sum == 0 {
		return event.BySize{}
	}
	var out, rest event.BySize
	left := n
	for i, w := range weights {
		out[i], rest[i] = n*w/sum, n*w%sum
		left -= out[i]
	}
	for ; left > 0; left-- {
		best := 0
		for i := range rest {
			if rest[i] > rest[best] {
				best = i
			}
		}
		out[best]++
		rest[best] = -1
	}
	return out
}
