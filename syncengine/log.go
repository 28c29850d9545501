package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// log is every event held, per origin linked into histories without gaps, and
// beside them the events that came before their predecessors.
type log struct {
	session event.SessionID
	origins map[event.ReplicaID]*origin
	lines   int // of all origins
	aside   int // bytes kept aside
}

// origin is everything that came under one replica id: one line, unless a phone
// was copied or restored and two histories go on under the same id. Which of
// them is line 0 depends on what came first; nothing that is counted, sent or
// shown does.
type origin struct {
	lines []*history
	aside map[uint64][]*event.Event // not linked: what they follow is not here
	kept  int                       // events aside
}

// history is one line: events that follow each other, each linked to the one
// before, and the first to one of another line, its parent; -1 for a line that
// begins at seq 1.
type history struct {
	from   uint64
	parent int
	events []*event.Event
}

func newLog(session event.SessionID) *log {
	return &log{session: session, origins: make(map[event.ReplicaID]*origin)}
}

func (h *history) last() *event.Event { return h.events[len(h.events)-1] }

// at is the event of this line itself with a seq, or nil.
func (h *history) at(seq uint64) *event.Event {
	if seq < h.from || seq-h.from >= uint64(len(h.events)) {
		return nil
	}
	return h.events[seq-h.from]
}

// lineOf finds the line that an event lies on.
func (o *origin) lineOf(ref event.Ref) (int, bool) {
	for i, line := range o.lines {
		if e := line.at(ref.Seq); e != nil && [8]byte(e.Hash[:8]) == ref.Check {
			return i, true
		}
	}
	return 0, false
}

// lineWith is lineOf by the whole hash.
func (o *origin) lineWith(seq uint64, hash event.Hash) (int, bool) {
	for i, line := range o.lines {
		if e := line.at(seq); e != nil && e.Hash == hash {
			return i, true
		}
	}
	return 0, false
}

// insert adds or compares one event and returns those that are now linked, each
// after what it follows: none for a duplicate or one kept aside. A second event
// in a place that is taken begins a line of its own. It fails on an event of
// another session and on one that passes a bound.
func (l *log) insert(e *event.Event, linked []*event.Event) ([]*event.Event, error) {
	o := l.origins[e.Replica]
	if o == nil {
		if len(l.origins) >= MaxReplicas {
			return linked, fault.New(fault.TooMuch, "replicas-many").WithInt("max", MaxReplicas)
		}
		o = new(origin)
	}
	if line, known := o.lineOf(e.Ref()); known {
		return linked, sameAs(o.lines[line].at(e.Seq), e)
	}
	if e.Seq == 1 && e.Session != l.session {
		return linked, fault.New(fault.Denied, "other-session")
	}
	parent := -1
	if e.Seq > 1 {
		var known bool
		if parent, known = o.lineWith(e.Seq-1, e.Prev); !known {
			return linked, l.keepAside(o, e)
		}
	}
	if err := l.link(o, e, parent); err != nil {
		return linked, err
	}
	l.origins[e.Replica] = o
	return l.follow(o, append(linked, e)), nil
}

// sameAs is nil for a duplicate. An event that references could not tell from
// another one was made to be so, and is refused.
func sameAs(held, e *event.Event) error {
	if held.Hash == e.Hash {
		return nil
	}
	return fault.New(fault.Invalid, "event-twin").WithInt("seq", int64(e.Seq))
}

// link puts an event behind what it follows, on the line parent.
func (l *log) link(o *origin, e *event.Event, parent int) error {
	if parent >= 0 && o.lines[parent].last().Seq+1 == e.Seq {
		o.lines[parent].events = append(o.lines[parent].events, e)
		return nil
	}
	if len(o.lines) >= MaxLines || l.lines >= MaxHeads {
		return fault.New(fault.TooMuch, "histories-many").WithInt("max", MaxLines)
	}
	l.lines++
	o.lines = append(o.lines, &history{from: e.Seq, parent: parent, events: []*event.Event{e}})
	return nil
}

// follow links what was kept aside and follows the last event of linked. One
// that passes a bound is let go: its sender still has it, and offers it again.
func (l *log) follow(o *origin, linked []*event.Event) []*event.Event {
	for at := len(linked) - 1; at < len(linked) && o.kept > 0; at++ {
		before := linked[at]
		waiting := o.aside[before.Seq+1]
		delete(o.aside, before.Seq+1)
		for _, e := range waiting {
			if e.Prev != before.Hash {
				o.aside[e.Seq] = append(o.aside[e.Seq], e)
				continue
			}
			o.kept--
			l.aside -= len(e.Body)
			line, _ := o.lineWith(before.Seq, before.Hash)
			if l.link(o, e, line) == nil {
				linked = append(linked, e)
			}
		}
	}
	return linked
}

func (l *log) keepAside(o *origin, e *event.Event) error {
	for _, held := range o.aside[e.Seq] {
		if held.Ref() == e.Ref() {
			return sameAs(held, e)
		}
	}
	if o.kept >= MaxAside || l.aside+len(e.Body) > MaxAsideBytes {
		return fault.New(fault.TooMuch, "aside-many").WithInt("max", MaxAside)
	}
	if o.aside == nil {
		o.aside = make(map[uint64][]*event.Event)
	}
	l.origins[e.Replica] = o
	o.aside[e.Seq] = append(o.aside[e.Seq], e)
	o.kept++
	l.aside += len(e.Body)
	return nil
}

// find returns one linked event, or nil.
func (l *log) find(ref event.Ref) *event.Event {
	if o := l.origins[ref.Replica]; o != nil {
		if line, ok := o.lineOf(ref); ok {
			return o.lines[line].at(ref.Seq)
		}
	}
	return nil
}

// has says whether an event is held, linked or aside.
func (l *log) has(e *event.Event) bool {
	o := l.origins[e.Replica]
	if o == nil {
		return false
	}
	if _, linked := o.lineWith(e.Seq, e.Hash); linked {
		return true
	}
	for _, held := range o.aside[e.Seq] {
		if held.Hash == e.Hash {
			return true
		}
	}
	return false
}

// place is where a linked event lies.
func (l *log) place(e *event.Event) (Place, bool) {
	if o := l.origins[e.Replica]; o != nil {
		if line, ok := o.lineWith(e.Seq, e.Hash); ok {
			return Place{e.Replica, line, e.Seq}, true
		}
	}
	return Place{}, false
}

// holes lists, per replica in ascending order, the events missing before the
// first that is kept aside.
func (l *log) holes() []Gap {
	var out []Gap
	for _, id := range l.replicas() {
		o := l.origins[id]
		if o.kept == 0 {
			continue
		}
		first := ^uint64(0)
		for seq := range o.aside {
			first = min(first, seq)
		}
		gap := Gap{id, 1, first - 1}
		for _, line := range o.lines {
			if last := line.last().Seq; last < gap.To {
				gap.From = max(gap.From, last+1)
			}
		}
		out = append(out, gap)
	}
	return out
}
