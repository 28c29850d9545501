// Package share answers: how many attempts may a phone still take while nobody
// hears it? A server hands out parts of what is left until the room stops; a
// phone that is away can have used up no more than its part without knowing that
// it does. A count is never refused for it.
package share

import (
	"slices"

	"rootledger/shared/event"
)

// recentMs is the time that says who takes how much, ms.
const recentMs = 30 * 60_000

// Tally is the shares of one session. The zero value has none.
type Tally struct {
	phones map[event.ReplicaID]*phone
	modes  map[event.Ref]event.Mode // how each pass is counted
}

type phone struct {
	grants  int   // how often it was given a share
	granted int64 // less what was reclaimed
	each    int64 // attempts tapped one by one
	strips  map[event.Ref]*strip
	recent  []taken // in the order in which they came in
}

type taken struct {
	ms int64
	n  int64
}

// Share is what one phone was given and what it took of that, in attempts.
type Share struct {
	Known   bool  // it was given one once
	Granted int64 // less what was reclaimed
	Spent   int64 // written by that phone, undone or not: a void gives no right back
}

// Left is what a phone may still take alone, below zero past its share.
func (s Share) Left() int64 { return s.Granted - s.Spent }

// Unspent is what a phone that is not heard may have taken within its share.
func (s Share) Unspent() int64 { return max(0, s.Left()) }

// Add takes one event in as it was written, once, whether it was undone or moved
// since. It knows passes, attempts, shots, readings and shares, and ignores all
// others. A pass comes before what is counted in it.
func (t *Tally) Add(e *event.Event) {
	switch f := e.Fact.(type) {
	case *event.PassBegun:
		if t.modes == nil {
			t.modes = make(map[event.Ref]event.Mode)
		}
		t.modes[e.Ref()] = f.Mode
	case *event.Granted:
		p := t.phone(f.To)
		p.grants++
		p.granted += int64(f.N)
	case *event.Reclaimed:
		t.phone(f.From).granted -= int64(f.N)
	case *event.Attempt:
		if t.modes[f.Pass] == event.Each {
			p := t.phone(e.Replica)
			p.each += int64(f.N)
			p.took(e, int64(f.N))
		}
	case *event.Fired:
		t.mark(e, f.Pass, mark{event: e, n: int64(f.N)})
	case *event.Reading:
		t.mark(e, f.Pass, mark{event: e, reading: f})
	}
}

// Forget takes a grant out again, as if it had not been made.
func (t *Tally) Forget(f *event.Granted) {
	p := t.phone(f.To)
	p.grants--
	p.granted -= int64(f.N)
}

// mark takes a shot or a reading in. Beside taps of every attempt they are a
// second tally of the same ones.
func (t *Tally) mark(e *event.Event, pass event.Ref, m mark) {
	if t.modes[pass] == event.Each {
		return
	}
	p := t.phone(e.Replica)
	s := p.strips[pass]
	if s == nil {
		if p.strips == nil {
			p.strips = make(map[event.Ref]*strip)
		}
		s = new(strip)
		p.strips[pass] = s
	}
	p.took(e, s.add(m))
}

func (p *phone) took(e *event.Event, n int64) {
	ms := e.Stamp.Ms()
	p.recent = append(p.recent, taken{ms, n})
	if old := slices.IndexFunc(p.recent, func(one taken) bool { return one.ms > ms-recentMs }); old > len(p.recent)/2 {
		p.recent = append(p.recent[:0], p.recent[old:]...)
	}
}

func (t *Tally) phone(id event.ReplicaID) *phone {
	p := t.phones[id]
	if p == nil {
		if t.phones == nil {
			t.phones = make(map[event.ReplicaID]*phone)
		}
		p = new(phone)
		t.phones[id] = p
	}
	return p
}

// Of is a phone's share.
func (t *Tally) Of(id event.ReplicaID) Share {
	p := t.phones[id]
	if p == nil {
		return Share{}
	}
	s := Share{Known: p.grants > 0, Granted: p.granted, Spent: p.each}
	for _, one := range p.strips {
		s.Spent += one.spent()
	}
	return s
}

// Recent is how many attempts a phone took in the 30 minutes before nowMs, by
// what is known of them.
func (t *Tally) Recent(id event.ReplicaID, nowMs int64) (sum int64) {
	p := t.phones[id]
	if p == nil {
		return 0
	}
	for _, one := range p.recent {
		if one.ms > nowMs-recentMs {
			sum += one.n
		}
	}
	return max(0, sum)
}
