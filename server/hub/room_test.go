package hub_test

import (
	"sync"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

func wantCode(t *testing.T, what string, err error, code fault.Code) {
	t.Helper()
	if !fault.Is(err, code) {
		t.Errorf("%s: got %v, want %s", what, err, code)
	}
}

func TestRoomsOfAHub(t *testing.T) {
	d := newDesk(t)
	_, err := d.hub.Room(bounded(t), event.SessionID{9})
	wantCode(t, "no session", err, "session-missing")
	if d.room() != d.room() {
		t.Error("a session has two rooms")
	}
	room := d.room()
	d.hub.Close()
	_, err = d.hub.Room(bounded(t), testSession)
	wantCode(t, "a room of a hub that stopped", err, "stopping")
	_, err = room.Join(bounded(t), numbered(1).Hello([16]byte{}, nil), numbered(1).Me().Replica)
	wantCode(t, "joining a room that stopped", err, "stopping")
}

// A hub that starts again has everything that was stored.
func TestRoomIsReadBack(t *testing.T) {
	d := newDesk(t)
	p := d.phone(1)
	events := p.record(300)
	p.offer(events...)
	p.acked(300)
	d.hub.Close()
	d.hub = d.newHub()
	wall := d.wall()
	same(t, "heads in the welcome", len(wall.welcome.Vector), 1)
	same(t, "its head", wall.welcome.Vector[0], p.replica.Head())
	for i, e := range wall.told(300) {
		same(t, "body", string(e.Body), string(events[i].Body))
	}
	again := d.join(p.replica)
	again.replica.Meet(again.welcome.Vector)
	same(t, "whether it is a copy", again.replica.Cloned(), false)
}

// A peer is told what it lacks and nothing else, its own events least of all.
func TestPeersAreToldWhatTheyLack(t *testing.T) {
	d := newDesk(t)
	ash, birch := d.phone(1), d.phone(2)
	first := ash.record(10)
	ash.offer(first...)
	ash.acked(10)
	birch.told(10)
	birch.replica.Receive(first[:4], syncengine.Now{})
	again := d.join(birch.replica) // knows four of ten
	for i, e := range again.told(6) {
		same(t, "seq", e.Seq, uint64(i+5))
	}
	again.offer(again.record(1)...)
	again.acked(1)
	ash.offer(ash.record(1)...)
	ash.acked(11)
	same(t, "the next that comes to Birch", again.told(1)[0].Seq, 11)
	same(t, "the next that comes to Ash", ash.told(1)[0].Replica, birch.replica.Me().Replica)
}

// A duplicate is acknowledged, not stored and not told again.
func TestDuplicates(t *testing.T) {
	d := newDesk(t)
	p, wall, db := d.phone(1), d.wall(), d.aside()
	events := p.record(5)
	p.offer(append(events, events...)...)
	p.acked(5)
	wall.told(5)
	p.offer(events...)
	p.acked(5)
	same(t, "stored", storedCount(t, db), 5)
	p.offer(p.record(1)...)
	same(t, "the next that comes to the wall", wall.told(1)[0].Seq, 6)
}

// An event that came before the one it follows waits, unacknowledged. When it
// links, everyone is told of it, also who brought the one before.
func TestEventsOutOfOrder(t *testing.T) {
	d := newDesk(t)
	ash, birch, author := d.phone(1), d.phone(2), d.phone(3)
	wall, db := d.wall(), d.aside()
	events := author.record(2)
	own := ash.record(1)[0]
	ash.offer(events[1], own)
	ack := until[syncengine.Ack](ash)
	same(t, "heads acknowledged while it waits", len(ack.Stored), 1)
	same(t, "acknowledged while it waits", ack.Stored[0], own.Ref())
	same(t, "stored while it waits", storedCount(t, db), 1)
	birch.offer(events[0])
	ack = until[syncengine.Ack](birch)
	same(t, "acknowledged to who brought the first", ack.Stored[0], events[0].Ref())
	same(t, "stored when it links", storedCount(t, db), 3)
	same(t, "first on the wall", wall.told(1)[0].Replica, own.Replica)
	for i, e := range wall.told(2) {
		same(t, "seq on the wall", e.Seq, uint64(i+1))
	}
	same(t, "told to Birch first", birch.told(1)[0].Replica, own.Replica)
	author.offer(author.record(1)...) // the next that Birch would be told of
	if got := birch.told(1)[0].Seq; got != 2 {
		t.Errorf("Birch, who brought event 1, is told next of event %d, want 2, which another phone had brought", got)
	}
	ash.offer(events...) // both are there by now
	same(t, "acknowledged when it is brought again", until[syncengine.Ack](ash).Stored[0], events[1].Ref())
}

// Many phones at once: a wall gets every event once, each phone's in order.
func TestManyPhonesAtOnce(t *testing.T) {
	d := newDesk(t)
	const phones, each = 20, 50
	wall := d.wall()
	var done sync.WaitGroup
	for n := range phones {
		p := d.phone(byte(n + 1))
		done.Go(func() {
			for range each {
				p.offer(p.record(1)...)
			}
			p.acked(each)
		})
	}
	next := map[event.ReplicaID]uint64{}
	for _, e := range wall.told(phones * each) {
		next[e.Replica]++
		same(t, "seq", e.Seq, next[e.Replica])
	}
	done.Wait()
	same(t, "phones on the wall", len(next), phones)
	same(t, "stored", storedCount(t, d.aside()), phones*each)
}

// A peer that takes nothing holds nobody up.
func TestPeerThatTakesNothing(t *testing.T) {
	d := newDesk(t)
	d.wall()
	p := d.phone(1)
	const frames, each = 40, 100
	for range frames {
		p.offer(p.record(each)...)
	}
	p.acked(frames * each)
	d.wall().told(frames * each)
}

// Whoever left is not told any more, and the room goes on.
func TestLeaving(t *testing.T) {
	d := newDesk(t)
	ash, wall := d.phone(1), d.wall()
	wall.conn.Leave()
	ash.offer(ash.record(1)...)
	ash.acked(1)
	ash.conn.Leave()
	d.hub.Close()
	ash.conn.Leave() // of a room that is gone
	err := ash.conn.Receive(bounded(t), syncengine.EncodeMessage(syncengine.Pong{Head: event.Ref{}}))
	if err != nil {
		wantCode(t, "a frame for a room that is gone", err, "stopping")
	}
}
