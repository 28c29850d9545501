package hub

import (
	"context"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

const (
	// clockOffMs is how far a phone's clock may be off before it is noted.
	clockOffMs = 2000
	// noteEveryMs is how often one phone's clock is noted at most: a clock that
	// jumps with every answer must not fill the log.
	noteEveryMs = 60_000
	// maxStarts is how many starts of one phone are measured: one every ten
	// minutes of the longest day.
	maxStarts = 64
)

// clocks is what a room measured of one replica's worker starts.
type clocks struct {
	starts  []measured // in the order in which they were met
	notedMs int64      // when a note was last written
}

type measured struct {
	pong    syncengine.Pong
	roomMs  int64
	written bool
}

// measure compares the clocks that a phone's answer names with the room's, and
// notes when they are off. A practice session's clock runs too fast to measure.
func (r *Room) measure(ctx context.Context, id event.ReplicaID, m syncengine.Pong) error {
	if _, practice := r.replica.State().Practice(); practice || m.Start == (event.StartID{}) {
		return nil
	}
	c := r.clocks[id]
	if c == nil {
		c = new(clocks)
		r.clocks[id] = c
	}
	now := r.now().WallMs
	expected, known := r.replica.State().RoomTime(id, m.Start, m.SinceMs)
	if !known {
		expected = m.WallMs
	}
	last := c.of(m.Start)
	if last == nil && len(c.starts) >= maxStarts {
		return nil
	}
	if off := expected - now; off <= clockOffMs && off >= -clockOffMs {
		if last == nil && !known {
			c.starts = append(c.starts, measured{pong: m, roomMs: now})
		}
		return nil
	}
	if c.notedMs != 0 && now-c.notedMs < noteEveryMs {
		return nil
	}
	c.notedMs = now
	return r.noteClock(ctx, id, c, measured{pong: m, roomMs: now})
}

func (c *clocks) of(start event.StartID) *measured {
	for i := range c.starts {
		if c.starts[i].pong.Start == start {
			return &c.starts[i]
		}
	}
	return nil
}

// noteClock writes a note about one start, and with the first of a replica also
// about the starts before it that were right: a start without a note takes the
// next one's.
func (r *Room) noteClock(ctx context.Context, id event.ReplicaID, c *clocks, now measured) error {
	if last := c.of(now.pong.Start); last != nil {
		*last = now
	} else {
		c.starts = append(c.starts, now)
	}
	for i := range c.starts {
		one := &c.starts[i]
		if one.written {
			continue
		}
		one.written = true
		fact := &event.ClockNote{Replica: id, Start: one.pong.Start, SinceMs: one.pong.SinceMs, RoomMs: uint64(one.roomMs), AheadMs: one.pong.WallMs - one.roomMs}
		if err := r.write(ctx, fact); err != nil {
			return err
		}
	}
	return nil
}

// write records, stores and tells what the server itself says.
func (r *Room) write(ctx context.Context, facts ...event.Fact) error {
	var events []*event.Event
	for _, fact := range facts {
		e, err := r.replica.Record(fact, false, r.now())
		if err != nil { // a clock that no note can hold, for instance; nothing depends on it
			r.hub.log.Warn("the server can not say something", "session", r.row.ID.String(), "kind", fact.Kind().String(), "error", err)
			continue
		}
		events = append(events, e)
	}
	if len(events) == 0 {
		return nil
	}
	if err := r.hub.store.Append(context.WithoutCancel(ctx), r.row.Row, r.stored+1, events); err != nil {
		return err
	}
	r.stored += int64(len(events))
	r.feed.extend(r.items(events, nil, 0))
	for _, conn := range r.conns {
		conn.nudge()
	}
	return nil
}
