// Package pace answers: how fast, till when? It keeps what each phone counted
// at each station, and reads any window of it: events, active time, the pace
// with its interval, when the station will be done, and whether it got slower.
package pace

import "rootledger/shared/event"

// Entry is what one phone counted at one station in one go.
//
// An entry above nine was not tapped as it happened. Its N events are taken to
// lie evenly from that phone's entry before at that station, or from the session's
// opening where there is none, but at most SpreadMs back, to its own time: event
// k at k/N of the way, so the last at AtMs. A window therefore holds whole
// events, and two windows side by side hold what both together do.
type Entry struct {
	Station event.Station // one with a pace, Extraction to Placing; others are passed over
	Ref     event.Ref     // the event that says so; its replica is the phone
	AtMs    int64         // by the room's clock, ms since 1970
	N       int64         // attempts, grafts or sites; a counter's step may be 0 (it still is an entry before) or less
}

// mostAtOnce is the largest entry that is taken to have happened at its time.
const mostAtOnce = 9

// SpreadMs is over how long an entry is spread at most.
const SpreadMs = 30 * 60_000

// stations is how many stations have a pace: the first four.
const stations = int(event.Placing)

// Tally is the entries of one session. The zero value is empty. Adding costs the
// same at any length, and so does reading, as long as a phone's entries come in
// the order of their times; what comes out of order is put in its place at the
// next read, once for all that came since the last.
type Tally struct {
	at [stations]station
}

type station struct {
	phones []*phone
	latest *phone // that an entry was of
	bounds bounds // of the count read last
	trend  Comparison
}

// phone is one phone's entries at one station: by time, then reference, as far
// as settled says.
type phone struct {
	id      event.ReplicaID
	list    []counted
	settled int // how many of the list, from its beginning, are in place with right sums
}

type counted struct {
	atMs int64
	ref  event.Ref
	n    int64
	sum  int64 // events of the list up to this entry, it included
	bulk int64 // those of them from entries above nine
}

// Add takes an entry in (sign 1), each once, or out again (sign -1); to take out
// what is not in changes nothing.
func (t *Tally) Add(e Entry, sign int64) {
	s := t.station(e.Station)
	if s == nil {
		return
	}
	p := s.phone(e.Ref.Replica)
	if sign > 0 {
		p.put(counted{atMs: e.AtMs, ref: e.Ref, n: e.N})
	} else {
		p.take(e.AtMs, e.Ref)
	}
}

// Redate gives a phone's entries their times anew, for what is known of its
// clock has changed: at is asked for each.
func (t *Tally) Redate(id event.ReplicaID, at func(event.Ref) int64) {
	for i := range t.at {
		for _, p := range t.at[i].phones {
			if p.id != id {
				continue
			}
			for k := range p.list {
				p.list[k].atMs = at(p.list[k].ref)
			}
			p.settled = 0
		}
	}
}

// station is where entries of one station lie, or nil when it has no pace.
func (t *Tally) station(at event.Station) *station {
	if at < 1 || int(at) > stations {
		return nil
	}
	return &t.at[at-1]
}

func (s *station) phone(id event.ReplicaID) *phone {
	if s.latest != nil && s.latest.id == id {
		return s.latest
	}
	s.latest = nil
	for _, p := range s.phones {
		if p.id == id {
			s.latest = p
		}
	}
	if s.latest == nil {
		s.latest = &phone{id: id}
		s.phones = append(s.phones, s.latest)
	}
	return s.latest
}

func (p *phone) put(c counted) {
	if p.settled > 0 && p.list[p.settled-1].compare(c.atMs, c.ref) > 0 {
		p.settled = p.find(c.atMs, c.ref)
	}
	p.list = append(p.list, c)
}

// take takes an entry out. When it was put in, its time may have been another.
func (p *phone) take(atMs int64, ref event.Ref) {
	p.settle()
	at := p.find(atMs, ref)
	if at == len(p.list) || p.list[at].ref != ref {
		for at = 0; at < len(p.list) && p.list[at].ref != ref; at++ {
		}
	}
	if at < len(p.list) {
		p.list = append(p.list[:at], p.list[at+1:]...)
		p.settled = at
	}
}

// find is the place of the first settled entry that does not come before a time
// and reference.
func (p *phone) find(atMs int64, ref event.Ref) int {
	from, to := 0, p.settled
	for from < to {
		middle := int(uint(from+to) >> 1)
		if p.list[middle].compare(atMs, ref) < 0 {
			from = middle + 1
		} else {
			to = middle
		}
	}
	return from
}

func (c *counted) compare(atMs int64, ref event.Ref) int {
	switch {
	case c.atMs < atMs:
		return -1
	case c.atMs > atMs:
		return 1
	}
	return event.CompareRef(c.ref, ref)
}

// settle puts all entries in their places and sums them.
func (p *phone) settle() {
	if p.settled == len(p.list) {
		return
	}
	sort(p.list[p.settled:])
	var sum, bulk int64
	if p.settled > 0 {
		sum, bulk = p.list[p.settled-1].sum, p.list[p.settled-1].bulk
	}
	for i := p.settled; i < len(p.list); i++ {
		c := &p.list[i]
		if sum += c.n; c.n > mostAtOnce {
			bulk += c.n
		}
		c.sum, c.bulk = sum, bulk
	}
	p.settled = len(p.list)
}

// sort puts a list in order, in one pass when it is already. It is Shell's with
// gaps of Knuth's (The Art of Computer Programming 3, 5.2.1); that of the library
// would make what a phone loads 5 kB longer.
func sort(list []counted) {
	if inOrder(list) {
		return
	}
	gap := 1
	for gap < len(list)/3 {
		gap = 3*gap + 1
	}
	for ; gap > 0; gap /= 3 {
		for i := gap; i < len(list); i++ {
			c, at := list[i], i
			for ; at >= gap && list[at-gap].compare(c.atMs, c.ref) > 0; at -= gap {
				list[at] = list[at-gap]
			}
			list[at] = c
		}
	}
}

func inOrder(list []counted) bool {
	for i := 1; i < len(list); i++ {
		if list[i].compare(list[i-1].atMs, list[i-1].ref) < 0 {
			return false
		}
	}
	return true
}
