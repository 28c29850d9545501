// Package attempt answers: what did the punch do? It keeps attempts and their
// outcomes by pass and region, in whichever of the three ways a pass is counted.
package attempt

import (
	"slices"

	"rootledger/shared/event"
)

// Tally is the attempts of one session.
type Tally struct {
	passes map[event.Ref]*pass
	order  []*pass // by stamp, then reference: no arrival order changes it
	newest event.Stamp
	left   int64 // what was settled of the buried: declared left, below zero
	latest *pass // the one that was asked for last
}

type pass struct {
	ref    event.Ref
	number int // passes that were met before it
	stamp  event.Stamp
	by     event.ReplicaID
	begun  *event.PassBegun
	ended  bool
	cells  map[event.Ref]*cell // by region
	tracks map[event.ReplicaID]*track
	taps   []tap // of a pass counted each: outcomes as they came in and went out again
	region event.Ref
	latest *cell // of region: the one that was asked for last

	first   *event.Event // the first reading or shot, when outside was summed
	outside int64        // outcomes before it
	unread  int64        // outcomes that were there before counting began
	summed  int          // how many of taps are in that sum
}

// tap is outcomes that were tapped, below zero when they were undone.
type tap struct {
	event *event.Event
	n     int64
}

// cell is what was tapped in one pass and region.
type cell struct {
	outcomes  [event.Outcomes]int64
	retrieved [event.Outcomes]int64 // by the outcome they came from
	air       int64                 // what was settled as fired in the air, below zero
	before    int64                 // shots that were there when counting began
}

// Add takes one event in (sign 1) or out again (sign -1). It knows the kinds
// of extraction and ignores all others.
func (t *Tally) Add(e *event.Event, sign int64) {
	switch f := e.Fact.(type) {
	case *event.PassBegun:
		t.begin(e, f)
	case *event.PassEnded:
		t.pass(f.Pass).ended = true
	case *event.Attempt:
		t.cell(f.Pass, f.Region).outcomes[f.Outcome-1] += sign * int64(f.N)
		if p := t.pass(f.Pass); p.begun.Mode == event.Each {
			p.taps = append(p.taps, tap{e, sign * int64(f.N)})
		}
	case *event.Retrieved:
		t.cell(f.Pass, f.Region).retrieved[f.From-1] += sign * int64(f.N)
	case *event.Fired:
		t.track(f.Pass, e.Replica).add(mark{event: e, region: f.Region, n: int64(f.N)}, sign)
	case *event.Reading:
		t.track(f.Pass, e.Replica).add(mark{event: e, region: f.Region, reading: f}, sign)
	case *event.OpeningCount: // what was there before: in no stretch of a counter
		t.opening(f, sign*int64(f.N))
		t.newest = max(t.newest, e.Stamp)
		return
	case *event.Settled:
		switch f.What {
		case event.Pending:
			t.cell(f.At, f.Region).air += sign * f.Amount
		case event.LeftIn:
			t.left += sign * f.Amount
		}
		return // no count: nothing is newer for it
	default:
		return
	}
	t.newest = max(t.newest, e.Stamp)
}

// Left is what was settled of the buried grafts: those declared left, as a number
// at or below zero.
func (t *Tally) Left() int64 { return t.left }

// Newest is the stamp of the newest entry, undone ones included.
func (t *Tally) Newest() event.Stamp { return t.newest }

func (t *Tally) begin(e *event.Event, f *event.PassBegun) {
	if t.passes == nil {
		t.passes = make(map[event.Ref]*pass)
	}
	p := &pass{ref: e.Ref(), number: len(t.order), stamp: e.Stamp, by: e.Replica, begun: f,
		cells: make(map[event.Ref]*cell), tracks: make(map[event.ReplicaID]*track)}
	t.passes[p.ref] = p
	at, _ := slices.BinarySearchFunc(t.order, p, func(a, b *pass) int {
		if a.stamp != b.stamp {
			if a.stamp < b.stamp {
				return -1
			}
			return 1
		}
		return event.CompareRef(a.ref, b.ref)
	})
	t.order = event.Inserted(t.order, at, p)
}

// pass is a pass, or nil: mostly the one that was asked for last.
func (t *Tally) pass(ref event.Ref) *pass {
	if t.latest == nil || t.latest.ref != ref {
		t.latest = t.passes[ref]
	}
	return t.latest
}

func (t *Tally) cell(passRef, region event.Ref) *cell {
	p := t.pass(passRef)
	if p.latest != nil && p.region == region {
		return p.latest
	}
	c := p.cells[region]
	if c == nil {
		c = new(cell)
		p.cells[region] = c
	}
	p.region, p.latest = region, c
	return c
}

func (t *Tally) track(passRef event.Ref, by event.ReplicaID) *track {
	tracks := t.pass(passRef).tracks
	k := tracks[by]
	if k == nil {
		k = newTrack()
		tracks[by] = k
	}
	return k
}

// Counts is what happened in one pass and region, or a sum of such. All in
// attempts or grafts.
type Counts struct {
	Punched  int64                 `json:"punched"`
	Outcomes [event.Outcomes]int64 `json:"outcomes"` // intact may be derived, and then below zero
	Pending  int64                 `json:"pending"`  // punched, no outcome yet; below zero is a finding
	// Retrieved are grafts that came out later, from topped and buried ones.
	RetrievedTopped int64 `json:"retrievedTopped"`
	RetrievedBuried int64 `json:"retrievedBuried"`
	Against         int64 `json:"against"` // counter steps against their direction, as a positive number
}

// OutcomeTotal is the sum of all outcomes.
func (c Counts) OutcomeTotal() int64 {
	var sum int64
	for _, n := range c.Outcomes {
		sum += n
	}
	return sum
}

// Out is the grafts that came out: intact, partly transected and retrieved.
func (c Counts) Out() int64 {
	return c.Outcomes[event.Intact-1] + c.Outcomes[event.Partial-1] + c.RetrievedTopped + c.RetrievedBuried
}

// BuriedOpen is the grafts still under the skin.
func (c Counts) BuriedOpen() int64 { return c.Outcomes[event.Buried-1] - c.RetrievedBuried }

// Plus is the sum of two.
func (c Counts) Plus(d Counts) Counts {
	for i := range c.Outcomes {
		c.Outcomes[i] += d.Outcomes[i]
	}
	c.Punched += d.Punched
	c.Pending += d.Pending
	c.RetrievedTopped += d.RetrievedTopped
	c.RetrievedBuried += d.RetrievedBuried
	c.Against += d.Against
	return c
}

// Pass is one pass and its counts, in all and by region.
type Pass struct {
	Ref      event.Ref
	Begun    *event.PassBegun
	By       event.ReplicaID
	Stamp    event.Stamp
	Ended    bool
	Total    Counts
	ByRegion []RegionCounts // ascending by reference; the zero reference is "no region"

	// What counters say of a pass that is counted each: a second tally. Told says
	// that there is one. Outside are the outcomes that it can not know of: tapped
	// before the first reading of all.
	Counter int64
	Outside int64
	Told    bool
}

// RegionCounts is one region's part of a pass.
type RegionCounts struct {
	Region event.Ref
	Counts Counts
}

// Passes lists every pass by the time it began.
func (t *Tally) Passes() []Pass {
	out := make([]Pass, 0, len(t.order))
	for _, p := range t.order {
		row := Pass{Ref: p.ref, Begun: p.begun, By: p.by, Stamp: p.stamp, Ended: p.ended, ByRegion: p.byRegion()}
		for _, r := range row.ByRegion {
			row.Total = row.Total.Plus(r.Counts)
		}
		if p.begun.Mode == event.Each {
			row.Counter, row.Outside, row.Told = p.counter()
		}
		out = append(out, row)
	}
	return out
}

func (t *Tally) opening(f *event.OpeningCount, n int64) {
	c := t.cell(f.Pass, f.Region)
	if f.Of == event.KindFired {
		c.before += n
		return
	}
	c.outcomes[f.Outcome-1] += n
	if p := t.pass(f.Pass); p.begun.Mode == event.Each {
		p.unread += n
	}
}

// counter is what the counters of a pass say, shots and readings of all phones;
// and the outcomes that they can not know of: those that were there before
// counting began, and those tapped before the first reading of all.
func (p *pass) counter() (sum, outside int64, told bool) {
	var first *event.Event
	for _, k := range p.tracks {
		k.fresh()
		for _, n := range k.punched {
			sum += n
			told = true
		}
		for i := range k.marks {
			if m := &k.marks[i]; !m.undone {
				if first == nil || event.Before(m.event, first) {
					first = m.event
				}
				break
			}
		}
	}
	if first == nil {
		return sum, 0, told
	}
	if p.first == nil || p.first.Ref() != first.Ref() {
		p.first, p.outside, p.summed = first, 0, 0
	}
	for _, one := range p.taps[p.summed:] {
		if event.Before(one.event, first) {
			p.outside += one.n
		}
	}
	p.summed = len(p.taps)
	return sum, p.outside + p.unread, told
}

// byRegion applies the pass's way of counting:
//
//	each       punched = the outcomes tapped; counters are a second tally, never added
//	pulled     punched = counters; outcomes are tapped
//	exception  punched = counters; intact = punched - the other outcomes; intact taps are ignored
func (p *pass) byRegion() []RegionCounts {
	var out []RegionCounts
	row := func(region event.Ref) *Counts {
		at, found := slices.BinarySearchFunc(out, region, func(r RegionCounts, ref event.Ref) int {
			return event.CompareRef(r.Region, ref)
		})
		if !found {
			out = event.Inserted(out, at, RegionCounts{Region: region})
		}
		return &out[at].Counts
	}
	for region, c := range p.cells {
		r := row(region)
		r.Outcomes = c.outcomes
		r.RetrievedTopped = c.retrieved[event.Topped-1]
		r.RetrievedBuried = c.retrieved[event.Buried-1]
		if p.begun.Mode != event.Each {
			r.Punched = c.air + c.before
		}
	}
	if p.begun.Mode != event.Each {
		for _, k := range p.tracks {
			k.fresh()
			for region, n := range k.punched {
				row(region).Punched += n
			}
			for region, n := range k.against {
				row(region).Against += n
			}
		}
	}
	for i := range out {
		c := &out[i].Counts
		switch p.begun.Mode {
		case event.Each:
			c.Punched = c.OutcomeTotal()
		case event.Pulled:
			c.Pending = c.Punched - c.OutcomeTotal()
		case event.ByException:
			c.Outcomes[event.Intact-1] = 0
			c.Outcomes[event.Intact-1] = c.Punched - c.OutcomeTotal()
		}
	}
	return out
}

// Number is a name of a pass that only this tally knows, counted from 0, and how
// the pass is counted, 0 for one that is not there.
func (t *Tally) Number(pass event.Ref) (n int, mode event.Mode) {
	if p := t.pass(pass); p != nil {
		return p.number, p.begun.Mode
	}
	return 0, 0
}

// Mode is how a pass is counted, 0 for one that is not there.
func (t *Tally) Mode(pass event.Ref) event.Mode {
	if p := t.pass(pass); p != nil {
		return p.begun.Mode
	}
	return 0
}
