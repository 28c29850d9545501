package syncengine

import (
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// log is every event held, per origin a chain without gaps, and beside it the
// events that came before their predecessors.
type log struct {
	session event.SessionID
	origins map[event.ReplicaID]*origin
	aside   int // bytes kept aside
}

type origin struct {
	chain []*event.Event          // seq 1..len, each linked to the one before
	aside map[uint64]*event.Event // beyond a gap, not linked yet
}

func newLog(session event.SessionID) *log {
	return &log{session: session, origins: make(map[event.ReplicaID]*origin)}
}

// insert adds or compares one event and returns those that are now linked, in
// order: none for a duplicate or one kept aside. It fails on an event that
// contradicts what is held, does not link, or passes a bound.
func (l *log) insert(e *event.Event, linked []*event.Event) ([]*event.Event, error) {
	o := l.origins[e.Replica]
	if o == nil {
		if len(l.origins) >= MaxReplicas {
			return linked, fault.New(fault.TooMuch, "replicas-many").WithInt("max", MaxReplicas)
		}
		o = new(origin)
	}
	next := uint64(len(o.chain)) + 1
	switch {
	case e.Seq < next:
		return linked, same(o.chain[e.Seq-1], e)
	case e.Seq > next:
		return linked, l.keepAside(o, e)
	case next == 1 && e.Session != l.session:
		return linked, fault.New(fault.Denied, "other-session")
	case next > 1 && e.Prev != o.chain[next-2].Hash:
		return linked, split(e)
	}
	l.origins[e.Replica] = o
	o.chain = append(o.chain, e)
	linked = append(linked, e)
	for follower := o.aside[next+1]; follower != nil; follower = o.aside[next+1] {
		delete(o.aside, next+1)
		l.aside -= len(follower.Body)
		if follower.Prev != o.chain[next-1].Hash {
			break // its sender still has it, and offers it again
		}
		o.chain = append(o.chain, follower)
		linked = append(linked, follower)
		next++
	}
	return linked, nil
}

func (l *log) keepAside(o *origin, e *event.Event) error {
	if held := o.aside[e.Seq]; held != nil {
		return same(held, e)
	}
	if len(o.aside) >= MaxAside || l.aside+len(e.Body) > MaxAsideBytes {
		return fault.New(fault.TooMuch, "aside-many").WithInt("max", MaxAside)
	}
	if o.aside == nil {
		o.aside = make(map[uint64]*event.Event)
	}
	l.origins[e.Replica] = o
	o.aside[e.Seq] = e
	l.aside += len(e.Body)
	return nil
}

func same(held, e *event.Event) error {
	if held.Hash == e.Hash {
		return nil
	}
	return split(e)
}

// split is two histories under one replica id.
func split(e *event.Event) error {
	return fault.New(fault.Conflict, "history-split").With("replica", e.Replica.String()).WithInt("seq", int64(e.Seq))
}

// head is the last linked event of a replica, nil when there is none.
func (l *log) head(id event.ReplicaID) *event.Event {
	o := l.origins[id]
	if o == nil || len(o.chain) == 0 {
		return nil
	}
	return o.chain[len(o.chain)-1]
}

func (l *log) vector() Vector {
	v := Vector{Highest: make(map[event.ReplicaID]uint64, len(l.origins))}
	for id, o := range l.origins {
		v.Highest[id] = uint64(len(o.chain))
	}
	for _, id := range v.replicas() {
		o := l.origins[id]
		if len(o.aside) == 0 {
			continue
		}
		seqs := make([]uint64, 0, len(o.aside))
		for seq := range o.aside {
			seqs = append(seqs, seq)
		}
		slices.Sort(seqs)
		have := uint64(len(o.chain))
		for _, seq := range seqs {
			if seq > have+1 {
				if len(v.Holes) == maxHoles {
					break // what lies beyond is not claimed, and is sent again
				}
				v.Holes = append(v.Holes, Span{id, have + 1, seq - 1})
			}
			have = seq
		}
		v.Highest[id] = have
	}
	return v
}

// missing lists what is linked here and not in the peer's vector, ascending.
func (l *log) missing(peer Vector) []Span {
	var out []Span
	for _, id := range l.vector().replicas() {
		n := uint64(len(l.origins[id].chain))
		for _, hole := range peer.Holes {
			if hole.Replica == id && hole.From <= n {
				out = append(out, Span{id, max(hole.From, 1), min(hole.To, n)})
			}
		}
		if highest := peer.Highest[id]; highest < n {
			out = append(out, Span{id, highest + 1, n})
		}
	}
	return out
}
