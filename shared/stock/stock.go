// Package stock answers: where are the grafts? From the bench they are sorted
// into holding by unit size, and from holding they are placed. A stock below
// zero is a finding (one tally is ahead of another) and is never clamped.
package stock

import "rootledger/shared/event"

// Tally is the stocks of one session. The zero value is empty.
type Tally struct {
	total  Counts
	placed map[event.Ref]*ZoneCounts
	dishes []*Dish // by stamp, then reference
	newest Newest
}

// Newest is the stamps of the newest entries, undone ones included.
type Newest struct{ Sorting, Sites, Placing event.Stamp }

// Counts is what was tapped, in grafts; index 0 of a BySize is size 1.
type Counts struct {
	Sorted          event.BySize
	Pieces          event.BySize // made by splitting, from bench and holding
	SplitBench      event.BySize // grafts split at the bench, by their size
	SplitHolding    event.BySize // grafts split out of holding, by their size
	RejectedBench   int64
	RejectedPlacing event.BySize
	RejectedUnsized int64 // at placing, size unknown
	Gained          int64 // G: grafts gained by splitting, sum of (pieces - 1)
	PlaceTaps       event.BySize
	CameBack        event.BySize
	Reasons         [event.Reasons]int64

	// What the lead settled, added to the stock of that name.
	SettledBench, SettledUnsized int64
	SettledHolding               event.BySize
}

// ZoneCounts is one zone's sites and grafts by unit size; Settled is added to
// the open sites.
type ZoneCounts struct{ Sites, Closed, PlaceTaps, CameBack, Settled event.BySize }

// Placed is grafts in the zone: taps less those that came back.
func (z ZoneCounts) Placed() event.BySize { return minus(z.PlaceTaps, z.CameBack) }

// OpenSites is sites made, not filled and not given up.
func (z ZoneCounts) OpenSites() event.BySize {
	return plus(minus(minus(z.Sites, z.Placed()), z.Closed), z.Settled)
}

// Add takes one event in (sign 1) or out again (sign -1). It knows the kinds
// of sorting, sites, placing and dishes, what was settled, and ignores all others.
func (t *Tally) Add(e *event.Event, sign int64) {
	switch f := e.Fact.(type) {
	case *event.Sorted:
		t.total.Sorted[f.Size-1] += sign * int64(f.N)
		t.fill(f.Dish, f.Size, sign*int64(f.N))
		t.newest.Sorting = max(t.newest.Sorting, e.Stamp)
	case *event.Split:
		t.split(f, sign*int64(f.N))
		t.newest.Sorting = max(t.newest.Sorting, e.Stamp)
	case *event.Rejected:
		t.reject(e, f, sign*int64(f.N))
	case *event.Sites:
		t.zone(f.Zone).Sites[f.Size-1] += sign * int64(f.N)
		t.newest.Sites = max(t.newest.Sites, e.Stamp)
	case *event.SitesClosed:
		t.zone(f.Zone).Closed[f.Size-1] += sign * int64(f.N)
		t.newest.Sites = max(t.newest.Sites, e.Stamp)
	case *event.Placed:
		t.zone(f.Zone).PlaceTaps[f.Size-1] += sign * int64(f.N)
		t.total.PlaceTaps[f.Size-1] += sign * int64(f.N)
		t.fill(f.Dish, f.Size, -sign*int64(f.N))
		t.newest.Placing = max(t.newest.Placing, e.Stamp)
	case *event.CameBack:
		t.zone(f.Zone).CameBack[f.Size-1] += sign * int64(f.N)
		t.total.CameBack[f.Size-1] += sign * int64(f.N)
		t.fill(f.Dish, f.Size, sign*int64(f.N))
		t.newest.Placing = max(t.newest.Placing, e.Stamp)
	case *event.Dish:
		t.openDish(e, f)
	case *event.DishDone:
		t.dishDone(e, f, sign)
	case *event.DishClosed:
		t.closeDish(f.Dish, sign)
	case *event.Settled:
		t.settle(f, sign*f.Amount)
	}
}

func (t *Tally) split(f *event.Split, n int64) {
	from := &t.total.SplitBench
	if f.From == event.Holding {
		from = &t.total.SplitHolding
		t.fill(f.Dish, f.Size, -n)
	}
	from[f.Size-1] += n
	for _, piece := range f.Pieces {
		t.total.Pieces[piece-1] += n
		t.fill(f.Dish, piece, n)
	}
	t.total.Gained += n * int64(len(f.Pieces)-1)
}

func (t *Tally) reject(e *event.Event, f *event.Rejected, n int64) {
	t.total.Reasons[f.Reason-1] += n
	if f.From == event.Bench {
		t.total.RejectedBench += n
		t.newest.Sorting = max(t.newest.Sorting, e.Stamp)
		return
	}
	t.fill(f.Dish, f.Size, -n)
	switch {
	case f.Size == 0:
		t.total.RejectedUnsized += n
	default:
		t.total.RejectedPlacing[f.Size-1] += n
	}
	t.newest.Placing = max(t.newest.Placing, e.Stamp)
}

func (t *Tally) zone(ref event.Ref) *ZoneCounts {
	z := t.placed[ref]
	if z == nil {
		if t.placed == nil {
			t.placed = make(map[event.Ref]*ZoneCounts)
		}
		z = new(ZoneCounts)
		t.placed[ref] = z
	}
	return z
}

// Counts is everything tapped so far.
func (t *Tally) Counts() Counts { return t.total }

// Newest is the stamps of the newest entries.
func (t *Tally) Newest() Newest { return t.newest }

// Zone is what was tapped in one zone.
func (t *Tally) Zone(ref event.Ref) ZoneCounts {
	if z := t.placed[ref]; z != nil {
		return *z
	}
	return ZoneCounts{}
}

// Judged is the grafts taken off the bench: sorted, split there, rejected there.
func (c Counts) Judged() int64 { return c.Kept() + c.RejectedBench }

// Kept is the grafts taken off the bench that are used: sorted or split there.
func (c Counts) Kept() int64 { return c.Sorted.Total() + c.SplitBench.Total() }

// SortedSoFar is what sorting has made of each size: sorted and pieces, less what
// was split out of the holding again.
func (c Counts) SortedSoFar() event.BySize { return minus(plus(c.Sorted, c.Pieces), c.SplitHolding) }

// Placed is the grafts in the patient, by size: taps less those that came back.
func (c Counts) Placed() event.BySize { return minus(c.PlaceTaps, c.CameBack) }

// Holding is the grafts sorted and not placed, by size, before the rejects
// whose size nobody noted; HoldingTotal has those too.
func (c Counts) Holding() event.BySize {
	in := plus(plus(plus(c.Sorted, c.Pieces), c.CameBack), c.SettledHolding)
	return minus(minus(minus(in, c.SplitHolding), c.PlaceTaps), c.RejectedPlacing)
}

// HoldingTotal is all grafts sorted and not placed.
func (c Counts) HoldingTotal() int64 { return c.Holding().Total() + c.Unsized() }

// Unsized is what the holding has of no known size: what was rejected so, below
// zero, and what was settled.
func (c Counts) Unsized() int64 { return c.SettledUnsized - c.RejectedUnsized }

func plus(a, b event.BySize) event.BySize {
	for i := range a {
		a[i] += b[i]
	}
	return a
}

func minus(a, b event.BySize) event.BySize {
	for i := range a {
		a[i] -= b[i]
	}
	return a
}
