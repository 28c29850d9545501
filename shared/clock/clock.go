// Package clock answers: when was it, by the room's clock? Phones' wall clocks
// may be minutes or years off; the server notes how far, and every replica
// corrects times by the same notes. They change durations, never the order.
package clock

import (
	"slices"

	"rootledger/shared/event"
)

// Clock is what is known of the phones' clocks. The zero value trusts them all.
type Clock struct {
	notes  map[event.ReplicaID][]note // in the order of event.Compare
	starts map[start]uint64           // the first seq of each start that was written in
	latest start                      // that an event was written in
	from   uint64                     // its first seq, 0 for none
}

type start struct {
	replica event.ReplicaID
	id      event.StartID
}

type note struct {
	event *event.Event
	fact  *event.ClockNote
}

// Meet notes in which of its starts a replica wrote an event. redates says that
// the times of its other events may be others now.
func (c *Clock) Meet(e *event.Event) (redates bool) {
	at := start{e.Replica, e.Start}
	if c.latest == at && c.from > 0 && e.Seq >= c.from {
		return false
	}
	first, known := c.starts[at]
	if known && e.Seq >= first {
		c.latest, c.from = at, first
		return false
	}
	if c.starts == nil {
		c.starts = make(map[start]uint64)
	}
	c.starts[at] = e.Seq
	return len(c.notes[e.Replica]) > 0
}

// Add takes a clock note in; others are ignored.
func (c *Clock) Add(e *event.Event) {
	f, ok := e.Fact.(*event.ClockNote)
	if !ok {
		return
	}
	if c.notes == nil {
		c.notes = make(map[event.ReplicaID][]note)
	}
	list := c.notes[f.Replica]
	at, _ := slices.BinarySearchFunc(list, e, func(have note, e *event.Event) int { return event.Compare(have.event, e) })
	c.notes[f.Replica] = event.Inserted(list, at, note{e, f})
}

// slackMs is by how much the two clocks of one phone may differ before that
// means something.
const slackMs = 2000

// At is when an event was written, in ms since 1970 by the room's clock. In a
// start that has notes it counts from the newest one before the event, else
// from the first after it. Where the phone's wall clock says otherwise, the start
// may have stood still while the phone slept: the wall clock is taken when it
// lies before what the next note allows, else the time is marked about. A start
// without notes takes how far the clock was off in that replica's next start
// that has one, and is marked about. Where that says nothing the event's stamp is
// taken: the clock was not found to be off.
func (c *Clock) At(e *event.Event) (ms int64, about bool) {
	notes := c.notes[e.Replica]
	if len(notes) == 0 {
		return e.Stamp.Ms(), false
	}
	if from := c.noteOf(e.Replica, e.Start, e.SinceMs); from != nil {
		bySince, byWall := read(from, e.SinceMs), e.WallMs-from.AheadMs
		if byWall-bySince <= slackMs && bySince-byWall <= slackMs {
			return bySince, false
		}
		next := c.after(e.Replica, e.Start, e.SinceMs)
		if next != nil && byWall > bySince && byWall <= read(next, e.SinceMs)+slackMs {
			return byWall, false
		}
		return bySince, true
	}
	if next := c.next(start{e.Replica, e.Start}, notes); next != nil {
		return e.WallMs - next.AheadMs, true
	}
	return e.Stamp.Ms(), false
}

// after is the first note of a start behind sinceMs, or nil.
func (c *Clock) after(replica event.ReplicaID, id event.StartID, sinceMs uint64) (best *event.ClockNote) {
	for _, n := range c.notes[replica] {
		if n.fact.Start == id && n.fact.SinceMs > sinceMs && (best == nil || n.fact.SinceMs < best.SinceMs) {
			best = n.fact
		}
	}
	return best
}

// read is the room's clock when the start that a note is about had run for
// sinceMs.
func read(n *event.ClockNote, sinceMs uint64) int64 {
	return int64(n.RoomMs) + int64(sinceMs) - int64(n.SinceMs)
}

// Read is the room's clock when a start had run for sinceMs; known is false when
// no note is about that start.
func (c *Clock) Read(replica event.ReplicaID, id event.StartID, sinceMs uint64) (ms int64, known bool) {
	if n := c.noteOf(replica, id, sinceMs); n != nil {
		return read(n, sinceMs), true
	}
	return 0, false
}

// noteOf is the note by which a start is dated when it had run for sinceMs.
func (c *Clock) noteOf(replica event.ReplicaID, id event.StartID, sinceMs uint64) (best *event.ClockNote) {
	for _, n := range c.notes[replica] {
		if n.fact.Start != id {
			continue
		}
		before, had := n.fact.SinceMs <= sinceMs, best != nil && best.SinceMs <= sinceMs
		switch {
		case best == nil, before && !had, before && n.fact.SinceMs >= best.SinceMs, !before && !had && n.fact.SinceMs < best.SinceMs:
			best = n.fact
		}
	}
	return best
}

// next is the first note of the replica's next start that has one.
func (c *Clock) next(of start, notes []note) *event.ClockNote {
	from, written := c.starts[of]
	var best *event.ClockNote
	first := uint64(0)
	for _, n := range notes {
		seq, met := c.starts[start{of.replica, n.fact.Start}]
		if !met || written && seq <= from {
			continue
		}
		if best == nil || seq < first {
			best, first = n.fact, seq
		}
	}
	return best
}

// Off is how far a replica's wall clock was ahead of the room's when it was last
// noted, in ms; below zero it was behind.
func (c *Clock) Off(replica event.ReplicaID) (ms int64) {
	if notes := c.notes[replica]; len(notes) > 0 {
		ms = notes[len(notes)-1].fact.AheadMs
	}
	return ms
}
