package syncengine

import (
	"bytes"
	"slices"

	"rootledger/shared/event"
)

// Vector says which events a replica holds: the last event of every history
// that it knows, in ascending order. An event comes with all before it. Almost
// every replica has one history; one that was copied or restored from a backup
// may have several.
type Vector []event.Ref

// heads lists the vector's refs of one replica.
func (v Vector) heads(id event.ReplicaID) Vector {
	from, _ := slices.BinarySearchFunc(v, event.Ref{Replica: id}, event.CompareRef)
	to := from
	for to < len(v) && v[to].Replica == id {
		to++
	}
	return v[from:to]
}

// Place is where an event lies in a log: Line counts the histories of its
// replica in the order in which this log met them, 0 for the first.
type Place struct {
	Replica event.ReplicaID
	Line    int
	Seq     uint64
}

// strand is one line of one replica.
type strand struct {
	replica event.ReplicaID
	line    int
}

// Peer is what another replica is known to hold of what a log holds. Its
// methods on a value only read, so that one that nobody changes may be shared.
type Peer struct {
	has     map[strand]uint64        // up to which seq of each line
	assumed map[event.ReplicaID]bool // by a head that is not known here
}

// Has says whether the peer holds the event at a place.
func (p Peer) Has(at Place) bool {
	return at.Seq <= p.has[strand{at.Replica, at.Line}]
}

func (p *Peer) raise(s strand, upTo uint64) {
	if p.has == nil {
		p.has = make(map[strand]uint64)
	}
	p.has[s] = max(p.has[s], upTo)
}

// know reads a peer's vector. A head that this log does not have says nothing
// about what the peer lacks, except where ahead says that the peer must have
// gone on from what is here: then everything here is taken as known to it, until
// a second history under that id turns up.
func (l *log) know(v Vector, ahead func(event.ReplicaID) bool) Peer {
	p := Peer{has: make(map[strand]uint64, len(v))}
	for _, ref := range v {
		o := l.origins[ref.Replica]
		if o == nil {
			continue
		}
		if line, ok := o.lineOf(ref); ok {
			l.raise(&p, Place{ref.Replica, line, ref.Seq})
			continue
		}
		if len(o.lines) == 1 && len(v.heads(ref.Replica)) == 1 && ref.Seq > o.lines[0].last().Seq && ahead(ref.Replica) {
			p.raise(strand{ref.Replica, 0}, o.lines[0].last().Seq)
			if p.assumed == nil {
				p.assumed = make(map[event.ReplicaID]bool)
			}
			p.assumed[ref.Replica] = true
		}
	}
	return p
}

// raise notes that a peer holds an event, and so all that it follows.
func (l *log) raise(p *Peer, at Place) {
	o := l.origins[at.Replica]
	for seq, line := at.Seq, at.Line; line >= 0; {
		p.raise(strand{at.Replica, line}, seq)
		seq, line = o.lines[line].from-1, o.lines[line].parent
	}
}

// doubt forgets what was only assumed of replicas with a second history since.
func (l *log) doubt(p *Peer) {
	for id := range p.assumed {
		if o := l.origins[id]; len(o.lines) > 1 {
			for line := range o.lines {
				delete(p.has, strand{id, line})
			}
			delete(p.assumed, id)
		}
	}
}

// Span is the events From..To of one line, both ends included.
type Span struct {
	Replica  event.ReplicaID
	Line     int
	From, To uint64
}

// missing lists what is linked here and a peer lacks, each line after the one
// that it leaves.
func (l *log) missing(p *Peer) []Span {
	l.doubt(p)
	var out []Span
	for _, id := range l.replicas() {
		for i, line := range l.origins[id].lines {
			from := max(p.has[strand{id, i}]+1, line.from)
			if last := line.last().Seq; from <= last {
				out = append(out, Span{id, i, from, last})
			}
		}
	}
	return out
}

// replicas lists the replicas of a log in ascending order.
func (l *log) replicas() []event.ReplicaID {
	out := make([]event.ReplicaID, 0, len(l.origins))
	for id := range l.origins {
		out = append(out, id)
	}
	event.Sort(out, func(a, b *event.ReplicaID) int { return bytes.Compare(a[:], b[:]) })
	return out
}

// vector lists the last event of every line.
func (l *log) vector() Vector {
	v := make(Vector, 0, len(l.origins))
	for _, o := range l.origins {
		for _, line := range o.lines {
			v = append(v, line.last().Ref())
		}
	}
	event.Sort(v, func(a, b *event.Ref) int { return event.CompareRef(*a, *b) })
	return v
}

// with is a vector and one event more: it takes the place of those that it
// follows.
func (l *log) with(v Vector, ref event.Ref) Vector {
	o := l.origins[ref.Replica]
	if o == nil {
		return v
	}
	line, known := o.lineOf(ref)
	if !known {
		return v
	}
	out := make(Vector, 0, len(v)+1)
	for _, have := range v {
		at, ok := o.lineOf(have)
		if have.Replica != ref.Replica || !ok {
			out = append(out, have)
			continue
		}
		if l.follows(Place{ref.Replica, at, have.Seq}, Place{ref.Replica, line, ref.Seq}) {
			return v
		}
		if !l.follows(Place{ref.Replica, line, ref.Seq}, Place{ref.Replica, at, have.Seq}) {
			out = append(out, have)
		}
	}
	at, _ := slices.BinarySearchFunc(out, ref, event.CompareRef)
	return event.Inserted(out, at, ref)
}

// follows says whether the event at a place is the one at before, or comes after
// it in its history.
func (l *log) follows(at, before Place) bool {
	var p Peer
	l.raise(&p, at)
	return p.Has(before)
}

// Gap is a range of one replica's events that is missing, both ends included.
type Gap struct {
	Replica  event.ReplicaID
	From, To uint64
}

// gaps lists what a vector has and this log lacks, ascending. Where a head is not
// known here, the first seq that can be missing is the one after the longest
// history here that is not longer than it; an other history there of the same
// length counts as missing whole.
func (l *log) gaps(v Vector) []Gap {
	var out []Gap
	for _, ref := range v {
		o := l.origins[ref.Replica]
		from := uint64(1)
		if o != nil {
			if _, ok := o.lineOf(ref); ok {
				continue
			}
			for _, line := range o.lines {
				if last := line.last().Seq; last < ref.Seq {
					from = max(from, last+1)
				}
			}
		}
		out = append(out, Gap{ref.Replica, from, ref.Seq})
	}
	return out
}
