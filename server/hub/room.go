package hub

import (
	"context"
	"time"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
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
	stored  int64 // events in the store
	links   map[event.ReplicaID]*link
	clocks  map[event.ReplicaID]*clocks
	members map[event.ReplicaID]store.Enrolment // let in
	phones  map[event.PhoneID]string            // of members: their highest role
	heardOf map[event.ReplicaID]event.Ref       // the newest that anyone said was stored here once
	started time.Time
	renewed time.Time // when the server last took a new id because of this room

	linksTold time.Time // when everyone was last told how fresh everyone is
	shared    time.Time // when shares were last looked at
	linksDue  bool      // somebody came or went since
}

// link is what the room knows of one replica's connection.
type link struct {
	heardMs int64
	head    event.Ref // the last that the replica wrote, as it said
}

// input is one thing that a room does: events of a connection, or an errand.
type input struct {
	from   *Conn
	events []*event.Event
	errand func() error
}

// identity is who the server is in this session. Its replica id stands for its
// phone too.
func (r *Room) identity() syncengine.Identity {
	me := syncengine.Identity{Session: r.row.ID, Replica: r.hub.store.Server().Replica}
	copy(me.Phone[:], me.Replica[:])
	copy(me.Start[:], me.Replica[:])
	return me
}

// items are what the feed holds of linked events; those that a connection
// brought itself are not told to it again.
func (r *Room) items(events []*event.Event, brought map[*event.Event]bool, from uint64) []item {
	out := make([]item, 0, len(events))
	for _, e := range events {
		place, _ := r.replica.Place(e)
		it := item{event: e, place: place}
		if brought[e] {
			it.from = from
		}
		out = append(out, it)
	}
	return out
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
	var soon <-chan time.Time // while it is due to tell who came or went
	for {
		if r.linksDue && soon == nil {
			soon = time.After(linksApart)
		}
		select {
		case <-ctx.Done():
			return
		case <-timer.C:
			r.Tick()
			if err := r.share(ctx); err != nil {
				r.fail(err)
				return
			}
			timer.Reset(every)
			if r.over() {
				r.hub.forget(r.row.ID)
				return
			}
		case <-soon:
			soon = nil
			if r.linksDue {
				r.linksSoon()
			}
		case first := <-r.inbox:
			if err := r.work(ctx, first); err != nil {
				r.fail(err)
				return
			}
			if now := r.linkEvery(); now != every { // the session was opened, as practice
				every = now
				timer.Reset(every)
			}
		}
	}
}

func (r *Room) fail(err error) {
	r.hub.log.Error("a room can not store", "session", r.row.ID.String(), "error", err)
	r.hub.fatal(err)
}

// over says whether the session has ended and nobody listens: the room is then
// closed, and opened again from the store for whoever comes late.
func (r *Room) over() bool {
	return len(r.conns) == 0 && len(r.inbox) == 0 && r.replica.State().Ended()
}

// Step does what is queued now and says whether there was anything. Storing
// failed if it fails: the room may then promise nothing more.
func (r *Room) Step(ctx context.Context) (worked bool, err error) {
	select {
	case first := <-r.inbox:
		return true, r.work(ctx, first)
	default:
		return false, nil
	}
}

// Vector says what the room holds. It and State are for the owner of a room that
// nobody runs.
func (r *Room) Vector() syncengine.Vector { return r.replica.Vector() }

// State is what the room has folded.
func (r *Room) State() *session.State { return r.replica.State() }

// Tick tells everyone how fresh everyone is; run calls it every few seconds.
func (r *Room) Tick() { r.tellLinks(true) }

// work takes everything that is queued now, and no more once it has one frame's
// worth of events: no fixed wait, what arrives meanwhile is the next batch. An
// errand ends the batch, so that it sees only what is stored.
func (r *Room) work(ctx context.Context, in input) error {
	b := batch{acks: make(map[*Conn]*batchAck), split: make(map[event.ReplicaID]bool), firsts: make(map[event.ReplicaID]event.PhoneID)}
	taken := 0
	for more := true; more && in.errand == nil; {
		r.take(&b, in)
		taken += len(in.events)
		in, more = input{}, false
		if taken < syncengine.MaxFrameEvents {
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
		return in.errand()
	}
	return nil
}

// batch is what one commit stores, and whom it must tell.
type batch struct {
	fresh   []*event.Event
	items   []item
	acks    map[*Conn]*batchAck
	split   map[event.ReplicaID]bool // replicas with a history more than before
	firsts  map[event.ReplicaID]event.PhoneID
	began   int  // ids that nobody enrolled
	learned bool // who was let in was read again for this batch
}

// batchAck is what one connection brought, and what was refused of it.
type batchAck struct {
	brought []*event.Event
	refused []syncengine.Refusal
}

func (r *Room) take(b *batch, in input) {
	ack := b.acks[in.from]
	if ack == nil {
		ack = new(batchAck)
		b.acks[in.from] = ack
	}
	known := in.events[:0:0]
	for _, e := range in.events {
		if f := r.unwelcome(b, in.from, e); f != nil {
			ack.refused = append(ack.refused, syncengine.Refusal{Replica: e.Replica, Seq: e.Seq, Fault: f})
			continue
		}
		known = append(known, e)
	}
	r.receive(b, ack, in.from, known)
	r.heard(in.from.replica, event.Ref{})
}

// receive folds events, and keeps what is new for the commit.
func (r *Room) receive(b *batch, ack *batchAck, from *Conn, events []*event.Event) {
	brought := make(map[*event.Event]bool, len(events))
	split := make(map[event.ReplicaID]bool)
	for _, e := range events {
		brought[e] = true
		split[e.Replica] = r.replica.Split(e.Replica)
	}
	fresh, refused := r.replica.Receive(events, r.now())
	for _, one := range refused {
		r.hub.log.Warn("an event was not taken", "session", r.row.ID.String(), "replica", one.Replica.String(), "seq", one.Seq, "code", string(one.Fault.Code))
	}
	for id, before := range split {
		if !before && r.replica.Split(id) {
			r.hub.log.Warn("two histories under one replica id", "session", r.row.ID.String(), "replica", id.String())
			b.split[id] = true
		}
	}
	b.items = append(b.items, r.items(fresh, brought, from.id)...)
	b.fresh = append(b.fresh, fresh...)
	ack.refused = append(ack.refused, refused...)
	ack.brought = append(ack.brought, events...)
}

// commit stores, then tells.
func (r *Room) commit(ctx context.Context, b *batch) error {
	if len(b.fresh) > 0 {
		if err := r.hub.store.Append(context.WithoutCancel(ctx), r.row.Row, r.stored+1, b.fresh); err != nil {
			return err
		}
		r.stored += int64(len(b.fresh))
		r.feed.extend(b.items)
		r.tellAgain(b.split)
	}
	r.nudge(b, true) // the room reads the wall: it is told first
	for conn, ack := range b.acks {
		conn.acknowledge(r.acked(ack), ack.refused)
	}
	r.nudge(b, false)
	if err := r.renewIfOld(ctx, false); err != nil {
		return err
	}
	if len(b.fresh) > 0 {
		return r.share(ctx)
	}
	return nil
}

// tellAgain tells everything under a replica id once more when its history
// turns out to be split: what a peer holds of it may have been misjudged.
func (r *Room) tellAgain(ids map[event.ReplicaID]bool) {
	for id := range ids {
		var events []*event.Event
		r.replica.History(id, func(e *event.Event) { events = append(events, e) })
		r.feed.extend(r.items(events, nil, 0))
	}
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

// acked is the last event of each line that one connection brought and that is
// stored.
func (r *Room) acked(ack *batchAck) lastOf {
	last := make(lastOf)
	for _, e := range ack.brought {
		if at, linked := r.replica.Place(e); linked {
			last.raise(at, e.Ref())
		}
	}
	return last
}

// heard notes that a replica spoke; head is the last that it wrote, Seq 0 if it
// did not say.
func (r *Room) heard(id event.ReplicaID, head event.Ref) {
	if id == (event.ReplicaID{}) {
		return // a wall
	}
	l := r.links[id]
	if l == nil {
		l = new(link)
		r.links[id] = l
	}
	l.heardMs = r.now().WallMs
	if head.Seq > 0 {
		l.head = head
	}
}

// linksApart is how far apart it is told who came and went, at least: when
// hundreds come back at once, telling everyone of each would be most of the talk.
const linksApart = 100 * time.Millisecond

// linksSoon tells that somebody came or went: now, or together with who comes
// and goes within linksApart of the last time.
func (r *Room) linksSoon() {
	r.linksDue = true
	if since := r.hub.clock().Sub(r.linksTold); since < 0 || since >= linksApart {
		r.tellLinks(false)
	}
}

func (r *Room) linksNow() syncengine.LinksMessage {
	m := syncengine.LinksMessage{NowMs: r.now().WallMs, Stored: r.replica.Vector()}
	for id, l := range r.links {
		m.Links = append(m.Links, syncengine.LinkState{Replica: id, HeardMs: l.heardMs,
			NothingUnsent: l.head.IsZero() || r.replica.Event(l.head) != nil})
	}
	return m
}

// tellLinks tells every connection how fresh everyone is, and asks back.
func (r *Room) tellLinks(ping bool) {
	r.linksTold, r.linksDue = r.hub.clock(), false
	frame := syncengine.EncodeMessage(r.linksNow())
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
