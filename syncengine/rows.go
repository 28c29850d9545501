package syncengine

import "rootledger/shared/event"

// Rows are how the events of one message travel: each is told by how it differs
// from the one before it of the same replica. A sorting tap takes 5 bytes
// instead of 130. The receiver builds every body again, and its hash with it.
//
// Packed bytes are rows, one after the other, until their end. A row begins
// with a byte of flags:
//
//	64  whole: a body follows, its length before it. No other flag is set.
//	 1  the row goes on with another replica than the row before it: its number
//	 2  the stamp's counter, when it is not the usual one
//	 4  how wall − stamp's ms changed
//	 8  start: its 8 bytes
//	16  how since − wall changed
//	32  a new rest: a byte, how many entries it has; its length; itself
//
// Fields follow in this order, each only with its flag: number of the replica;
// by how many ms the stamp is later (always there); counter; wall; since;
// start; rest. Without flag 32, rest is the number of one that came before. The
// usual counter is 0, or the one before plus 1 in the same millisecond.
//
// A whole body makes its replica known: replicas are numbered from 0 as they
// first come. It also stands for whatever a row can not say: the first event of
// a chain, one after a gap, another branch of a fork, a body that does not
// begin as event.Join writes it. A row's seq is one more than that of its
// replica's last event, its prev is that one's hash, so neither travels. A rest
// (event.Rest: kind, fact, and what is unknown) is byte for byte the body's, and
// numbered from 0, for all replicas together.
//
// Numbers are unsigned LEB128 and as short as can be; differences, which may be
// negative and wrap at 64 bits, are zigzag. A field that says what would hold
// without it is damage.

const (
	rowOther = 1 << iota
	rowCounter
	rowWall
	rowStart
	rowSince
	rowNew
	rowWhole
)

// Bounds of what is packed, beside MaxFrameEvents.
const (
	maxPacked   = MaxFrame - 16 // what a message adds: heads of a map, of keys and of a byte string
	maxUnpacked = 8 * MaxFrame  // bytes of all bodies: 512 for each of MaxFrameEvents
)

// Packer gathers events of one message up to its bounds. The zero value is
// empty. Chains may alternate; each must come in the order of its seqs. Where
// one does not, nothing is lost, it takes more bytes.
type Packer struct {
	buf      []byte
	n        int
	unpacked int
	told     told
	rests    map[string]int
}

// Len is how many events were added.
func (p *Packer) Len() int { return p.n }

// Message carries all events added, valid until the next Add.
func (p *Packer) Message() Events { return Events{p.buf} }

// Add takes one more event, as event.Decode or Seal made it, or says false
// when the frame is full. An empty packer takes any event.
func (p *Packer) Add(e *event.Event) bool {
	if p.n == MaxFrameEvents || p.unpacked+len(e.Body) > maxUnpacked {
		return false
	}
	before, fresh := len(p.buf), false
	replica, known := p.told.find(e.Replica)
	rest, entries := e.Rest()
	if known && entries > 0 && follows(p.told.last[replica], e) {
		number, seen := p.rests[string(rest)]
		if fresh = !seen; fresh {
			p.row(e, replica, rowNew)
			p.buf = append(p.buf, byte(entries))
			p.buf = append(appendUvarint(p.buf, uint64(len(rest))), rest...)
		} else {
			p.row(e, replica, 0)
			p.buf = appendUvarint(p.buf, uint64(number))
		}
	} else {
		p.buf = appendUvarint(append(p.buf, rowWhole), uint64(len(e.Body)))
		p.buf = append(p.buf, e.Body...)
	}
	if len(p.buf) > maxPacked {
		p.buf = p.buf[:before]
		return false
	}
	if fresh {
		if p.rests == nil {
			p.rests = make(map[string]int)
		}
		p.rests[string(rest)] = len(p.rests)
	}
	p.told.take(e)
	p.n++
	p.unpacked += len(e.Body)
	return true
}

// told is what both ends know after some rows: the last event of each replica,
// by its number, and whose row was the last.
type told struct {
	at     int
	last   []*event.Event
	number map[event.ReplicaID]int
}

// find is the number of a replica, the next free one for an unknown.
func (t *told) find(id event.ReplicaID) (number int, known bool) {
	if t.at < len(t.last) && t.last[t.at].Replica == id {
		return t.at, true
	}
	if number, known = t.number[id]; known {
		return number, true
	}
	return len(t.last), false
}

func (t *told) take(e *event.Event) {
	number, known := t.find(e.Replica)
	if !known {
		if t.number == nil {
			t.number = make(map[event.ReplicaID]int)
		}
		t.number[e.Replica] = number
		t.last = append(t.last, e)
	}
	t.last[number], t.at = e, number
}

func follows(last, e *event.Event) bool { return e.Seq == last.Seq+1 && e.Prev == last.Hash }

// row writes everything but the rest.
func (p *Packer) row(e *event.Event, replica int, flags byte) {
	last, at := p.told.last[replica], len(p.buf)
	out := append(p.buf, 0)
	if replica != p.told.at {
		flags |= rowOther
		out = appendUvarint(out, uint64(replica))
	}
	out = appendUvarint(out, zigzag(e.Stamp.Ms()-last.Stamp.Ms()))
	if counter := uint16(e.Stamp); counter != usualCounter(last.Stamp, e.Stamp.Ms()) {
		flags |= rowCounter
		out = appendUvarint(out, uint64(counter))
	}
	if change := wallOffset(e) - wallOffset(last); change != 0 {
		flags |= rowWall
		out = appendUvarint(out, zigzag(change))
	}
	if change := sinceOffset(e) - sinceOffset(last); change != 0 {
		flags |= rowSince
		out = appendUvarint(out, zigzag(change))
	}
	if e.Start != last.Start {
		flags |= rowStart
		out = append(out, e.Start[:]...)
	}
	out[at] = flags
	p.buf = out
}

// usualCounter is the counter of a stamp at ms that follows last as the clock ticks.
func usualCounter(last event.Stamp, ms int64) uint16 {
	if ms == last.Ms() {
		return uint16(last) + 1
	}
	return 0
}

func wallOffset(e *event.Event) int64  { return e.WallMs - e.Stamp.Ms() }
func sinceOffset(e *event.Event) int64 { return int64(e.SinceMs) - e.WallMs }

func appendUvarint(buf []byte, v uint64) []byte {
	for ; v >= 0x80; v >>= 7 {
		buf = append(buf, byte(v)|0x80)
	}
	return append(buf, byte(v))
}

func zigzag(v int64) uint64   { return uint64(v<<1) ^ uint64(v>>63) }
func unzigzag(v uint64) int64 { return int64(v>>1) ^ -int64(v&1) }
