package hub

import (
	"context"
	"fmt"
	"time"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// queued is how many frames may wait for a room: about one a phone. When it is
// full, sockets are not read, and TCP slows the phones down.
const queued = 64

// Room is one session on this server.
type Room struct {
	hub     *Hub
	row     store.Session
	replica *syncengine.Replica // owned by run, as is all below
	feed    *feed               // read by every connection
	inbox   chan input
	gone    chan struct{} // closed when run has ended

	conns   map[uint64]*Conn
	lastID  uint64
	links   map[event.ReplicaID]*link
	members map[event.ReplicaID]store.Enrolment // let in
	started time.Time
}

// link is what the room knows of one replica's connection.
type link struct {
	heardMs int64
	head    uint64 // the replica's own newest seq, as it said
}

// input is one thing that a room does: events of a connection, or an errand.
type input struct {
	from   *Conn
	events []*event.Event
	errand func()
}

func openRoom(ctx context.Context, h *Hub, row store.Session) (*Room, error) {
	server := h.store.Server()
	r := &Room{hub: h, row: row,
		replica: syncengine.New(syncengine.Identity{Session: row.ID, Replica: server.Replica}),
		inbox:   make(chan input, queued), gone: make(chan struct{}),
		conns: make(map[uint64]*Conn), links: make(map[event.ReplicaID]*link), members: make(map[event.ReplicaID]store.Enrolment), started: h.clock()}
	var items []item
	err := h.store.EventsOf(ctx, row.Row, func(e *event.Event) error {
		if _, refused := r.replica.Receive([]*event.Event{e}, r.now()); len(refused) > 0 {
			return fmt.Errorf("hub: stored event %s:%d: %w", e.Replica, e.Seq, refused[0].Fault)
		}
		items = append(items, item{body: e.Body, replica: e.Replica, seq: e.Seq})
		return nil
	})
	if err != nil {
		return nil, err
	}
	r.feed = newFeed(items)
	return r, nil
}

// now is the session's clock: real, or what a practice session fixed.
func (r *Room) now() syncengine.Now {
	now := r.hub.clock()
	ms := now.UnixMilli()
	if p, ok := r.replica.State().Practice(); ok {
		ms = p.Now(ms)
	}
	return syncengine.Now{WallMs: ms, SinceMs: uint64(max(0, now.Sub(r.started).Milliseconds()))}
}

// linkEvery is how often the room tells how fresh everyone is: every 5 s of the
// session's clock, on a fast practice clock ten times a second.
func (r *Room) linkEvery() time.Duration {
	p, ok := r.replica.State().Practice()
	if !ok {
		return 5 * time.Second
	}
	return max(5*time.Second/time.Duration(p.Speed), 100*time.Millisecond)
}

func (r *Room) run(ctx context.Context) {
	defer close(r.gone)
	every := r.linkEvery()
	timer := time.NewTimer(every)
	defer timer.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-timer.C:
			r.tellLinks(true)
			timer.Reset(every)
			if r.over() {
				r.hub.forget(r.row.ID)
				return
			}
		case first := <-r.inbox:
			if err := r.work(ctx, first); err != nil {
				r.hub.log.Error("a room can not store", "session", r.row.ID.String(), "error", err)
				r.hub.fatal(err)
				return
			}
			if now := r.linkEvery(); now != every { // the session was opened, as practice
				every = now
				timer.Reset(every)
			}
		}
	}
}

// over says whether the session has ended and nobody listens: the room is then
// closed, and opened again from the store for whoever comes late.
func (r *Room) over() bool {
	return len(r.conns) == 0 && len(r.inbox) == 0 && r.replica.State().Ended()
}

// work takes everything that is queued now, and takes no more from one frame's
// worth of events on: no fixed wait, what arrives meanwhile is the next batch. An errand ends the
// batch, so that it sees only what is stored.
func (r *Room) work(ctx context.Context, in input) error {
	b := batch{acks: make(map[*Conn]*syncengine.Ack)}
	for more := true; more && in.errand == nil; {
		r.take(&b, in)
		in, more = input{}, false
		if len(b.fresh) < syncengine.MaxFrameEvents {
			select {
			case in = <-r.inbox:
				more = true
			default:
			}
		}
	}
	if err := r.commit(ctx, &b); err != nil {
		return err
	}
	if in.errand != nil {
		in.errand()
	}
	return nil
}

// batch is what one commit stores, and whom it must tell.
type batch struct {
	fresh   []*event.Event
	items   []item
	acks    map[*Conn]*syncengine.Ack
	learned bool // who was let in was read again for this batch
}

func (r *Room) take(b *batch, in input) {
	ack := b.acks[in.from]
	if ack == nil {
		ack = new(syncengine.Ack)
		b.acks[in.from] = ack
	}
	known := in.events[:0:0]
	for _, e := range in.events {
		if f := r.unwelcome(b, in.from, e); f != nil {
			ack.Refused = append(ack.Refused, syncengine.Refusal{Replica: e.Replica, Seq: e.Seq, Fault: f})
			continue
		}
		known = append(known, e)
	}
	fresh, refused := r.replica.Receive(known, r.now())
	for _, one := range refused {
		r.hub.log.Warn("an event was not taken", "session", r.row.ID.String(), "replica", one.Replica.String(), "seq", one.Seq, "code", string(one.Fault.Code))
	}
	ack.Refused = append(ack.Refused, refused...)
	brought := make(map[*event.Event]bool, len(known))
	for _, e := range known {
		brought[e] = true
	}
	for _, e := range fresh {
		it := item{body: e.Body, replica: e.Replica, seq: e.Seq}
		if brought[e] { // else someone brought it before those that it follows
			it.from = in.from.id
		}
		b.items = append(b.items, it)
	}
	b.fresh = append(b.fresh, fresh...)
	for _, e := range known {
		ack.UpTo = append(ack.UpTo, syncengine.Span{Replica: e.Replica, From: 1})
	}
	r.heard(in.from.replica, 0)
}

// commit stores, then tells.
func (r *Room) commit(ctx context.Context, b *batch) error {
	if len(b.fresh) > 0 {
		first := int64(len(r.feed.all())) + 1
		if err := r.hub.store.Append(context.WithoutCancel(ctx), r.row.Row, first, b.fresh); err != nil {
			return err
		}
		r.feed.extend(b.items)
	}
	r.nudge(b, true) // the room reads the wall: it is told first
	for conn, ack := range b.acks {
		conn.acknowledge(r.stored(ack))
	}
	r.nudge(b, false)
	return nil
}

// nudge lets the walls, or the phones, know that there is more to send.
func (r *Room) nudge(b *batch, walls bool) {
	if len(b.fresh) == 0 {
		return
	}
	for _, conn := range r.conns {
		if (conn.replica == event.ReplicaID{}) == walls {
			conn.nudge()
		}
	}
}

// stored fills in how far each replica of an ack is stored, once each, and
// never as far as an event that was refused.
func (r *Room) stored(ack *syncengine.Ack) syncengine.Ack {
	out := syncengine.Ack{Refused: ack.Refused}
	refused := make(map[event.ReplicaID]uint64)
	for _, one := range ack.Refused {
		if have, known := refused[one.Replica]; !known || one.Seq < have {
			refused[one.Replica] = one.Seq
		}
	}
	seen := make(map[event.ReplicaID]bool)
	for _, s := range ack.UpTo {
		if seen[s.Replica] {
			continue
		}
		seen[s.Replica] = true
		to := r.replica.Head(s.Replica).Seq
		if first, known := refused[s.Replica]; known {
			to = min(to, first-1)
		}
		out.UpTo = append(out.UpTo, syncengine.Span{Replica: s.Replica, From: 1, To: to})
	}
	return out
}

// stranger is why a replica's events are not taken, nil when it was let in. For
// one that is not known yet, who was let in is read again, once a batch.
func (r *Room) stranger(b *batch, id event.ReplicaID) *fault.Fault {
	if _, known := r.members[id]; known {
		return nil
	}
	if !b.learned {
		b.learned = true
		rows, err := r.hub.store.Enrolments(context.WithoutCancel(r.hub.ctx), r.row.Row)
		if err != nil {
			r.hub.log.Error("who was let in can not be read", "error", err)
			return fault.New(fault.Unavailable, "not-now")
		}
		for _, e := range rows {
			r.members[e.Replica] = e
		}
	}
	if _, known := r.members[id]; known {
		return nil
	}
	return fault.New(fault.Denied, "not-enrolled")
}

// unwelcome is why an event is not taken from a connection, nil when it is. A
// phone speaks for its own replica ids only; and what opens, plans or ends a
// session, leads it, or undoes what is another's, comes from whoever joined
// with the office token.
func (r *Room) unwelcome(b *batch, from *Conn, e *event.Event) *fault.Fault {
	for _, id := range []event.ReplicaID{from.replica, e.Replica} {
		if f := r.stranger(b, id); f != nil {
			return f
		}
	}
	author := r.members[e.Replica]
	if author.Phone != r.members[from.replica].Phone {
		return fault.New(fault.Denied, "other-replica")
	}
	if author.Role != roleOffice && needsOffice(e) {
		return fault.New(fault.Denied, "needs-office").With("kind", e.Fact.Kind().String())
	}
	return nil
}

// roleOffice is the role of an enrolment that was made with the office token.
const roleOffice = "office"

func needsOffice(e *event.Event) bool {
	switch f := e.Fact.(type) {
	case *event.Opened, *event.Ended, *event.Budget, *event.Zone, *event.Region, *event.Yield:
		return true
	case *event.Joined:
		return f.Station == event.Lead || f.Station == event.Office
	case *event.Void:
		return f.Target.Replica != e.Replica
	case *event.Restore:
		return f.Target.Replica != e.Replica
	}
	return false
}

// heard notes that a replica spoke; head is its own newest seq, 0 if it did not say.
func (r *Room) heard(id event.ReplicaID, head uint64) {
	if id == (event.ReplicaID{}) {
		return // a wall
	}
	l := r.links[id]
	if l == nil {
		l = new(link)
		r.links[id] = l
	}
	l.heardMs = r.now().WallMs
	l.head = max(l.head, head)
}

// tellLinks tells every connection how fresh everyone is, and asks back.
func (r *Room) tellLinks(ping bool) {
	m := syncengine.LinksMessage{NowMs: r.now().WallMs}
	for id, l := range r.links {
		m.Links = append(m.Links, syncengine.LinkState{Replica: id, HeardMs: l.heardMs,
			NothingUnsent: l.head <= r.replica.Head(id).Seq})
	}
	frame := syncengine.EncodeMessage(m)
	for _, conn := range r.conns {
		conn.tell(frame, ping)
	}
}

func (r *Room) send(ctx context.Context, in input) error {
	select {
	case r.inbox <- in:
		return nil
	case <-r.gone:
		return fault.New(fault.Unavailable, "stopping")
	case <-ctx.Done():
		return ctx.Err()
	}
}
