package hub_test

import (
	"testing"
	"time"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

// busy opens the session as practice, so that the room tells links ten times a
// second, by a clock that goes as fast as a real one would 50 times over.
func (d *desk) busy() *peer {
	d.t.Helper()
	office := d.phone(200)
	start := uint64(time.Now().UnixMilli())
	office.offer(office.tap(&event.Opened{Case: "P-1", Room: "A", Stations: []event.Station{event.Sorting},
		Practice: event.Practice{StartMs: start, RealMs: start, Speed: 50}}))
	office.acked(1)
	return office
}

// linkOf reads a peer's frames until links say what is true of a replica.
func (p *peer) linkOf(id event.ReplicaID, what func(syncengine.LinkState) bool) (link syncengine.LinkState) {
	p.t.Helper()
	p.reads(func(m syncengine.Message) bool {
		links, ok := m.(syncengine.LinksMessage)
		if !ok {
			return false
		}
		for _, link = range links.Links {
			if link.Replica == id && what(link) {
				return true
			}
		}
		return false
	})
	return link
}

// whatever is true of every link.
func whatever(syncengine.LinkState) bool { return true }

func (p *peer) pong(head event.Ref) { p.say(syncengine.Pong{Head: head}) }

// A phone that answers pings is heard each time; one that does not, is not.
func TestPhonesThatAnswerAreHeard(t *testing.T) {
	d := newDesk(t)
	d.busy()
	ash, birch, wall := d.phone(1), d.phone(2), d.wall()
	me, other := ash.replica.Me().Replica, birch.replica.Me().Replica
	first := wall.linkOf(me, whatever).HeardMs
	quietSince := wall.linkOf(other, whatever).HeardMs
	heard := first
	for range 3 {
		until[syncengine.Ping](ash)
		ash.pong(ash.replica.Head())
		heard = wall.linkOf(me, func(l syncengine.LinkState) bool { return l.HeardMs > heard }).HeardMs
	}
	same(t, "the one that is silent", wall.linkOf(other, whatever).HeardMs, quietSince)
	if by := heard - first; by < 3*50 {
		t.Errorf("heard by the session's clock: got %d ms after three pings, want it 50 times as fast as real", by)
	}
	same(t, "nothing unsent", wall.linkOf(me, whatever).NothingUnsent, true)
}

// A phone that says it has written more than is stored has something unsent,
// until that is stored.
func TestNothingUnsent(t *testing.T) {
	d := newDesk(t)
	d.busy()
	ash, wall := d.phone(1), d.wall()
	me := ash.replica.Me().Replica
	events := ash.record(3)
	ash.offer(events[0])
	ash.acked(1)
	unsent := func(want bool) func(syncengine.LinkState) bool {
		return func(l syncengine.LinkState) bool { return l.NothingUnsent == want }
	}
	wall.linkOf(me, unsent(true))
	ash.pong(ash.replica.Head()) // its head is 3
	wall.linkOf(me, unsent(false))
	ash.offer(events[1])
	ash.acked(2)
	wall.linkOf(me, unsent(false))
	ash.offer(events[2])
	ash.acked(3)
	wall.linkOf(me, unsent(true))
}

// A hello says it too: a phone that comes back with more than is stored.
func TestHelloSaysWhatIsUnsent(t *testing.T) {
	d := newDesk(t)
	d.busy()
	wall, ash := d.wall(), numbered(1)
	p := &peer{t: t, replica: ash}
	p.record(2)
	d.join(ash)
	l := wall.linkOf(ash.Me().Replica, whatever)
	same(t, "nothing unsent", l.NothingUnsent, false)
}

// Nobody speaks for another phone.
func TestPongForAnotherPhoneIsPassedOver(t *testing.T) {
	d := newDesk(t)
	d.busy()
	ash, birch, wall := d.phone(1), d.phone(2), d.wall()
	other := birch.replica.Me().Replica
	before := wall.linkOf(other, whatever)
	ash.pong(event.Ref{Replica: other, Seq: 99})
	wall.pong(event.Ref{Replica: other, Seq: 99})
	ash.offer(ash.record(1)...)
	ash.acked(1) // the pongs came before this
	until[syncengine.Ping](wall)
	same(t, "link", wall.linkOf(other, whatever), before)
}

// A wall is nobody whose counts could be missing.
func TestWallsHaveNoLink(t *testing.T) {
	d := newDesk(t)
	d.busy()
	wall := d.wall()
	wall.pong(event.Ref{})
	until[syncengine.Ping](wall)
	for range 3 {
		for _, l := range until[syncengine.LinksMessage](wall).Links {
			if l.Replica == (event.ReplicaID{}) {
				t.Error("a wall is among the links")
			}
		}
	}
}

// ready is the next frame if there is one now.
func (p *peer) ready() []byte {
	p.t.Helper()
	frame, err := p.conn.TryNext()
	if err != nil {
		p.t.Fatal(err)
	}
	return frame
}

// Many who come at once are told of together, not each to everyone.
func TestComingAtOnceIsToldTogether(t *testing.T) {
	const comers, apart = 60, 100 * time.Millisecond
	d := newDesk(t)
	wall, began, told := d.wall(), time.Now(), 0
	for n := range byte(comers) {
		d.phone(n + 1)
		for frame := wall.ready(); frame != nil; frame = wall.ready() {
			m, err := syncengine.DecodeMessage(frame)
			if err != nil {
				t.Fatal(err)
			}
			if _, ok := m.(syncengine.LinksMessage); ok {
				told++
			}
		}
	}
	if most := 2 + int(time.Since(began)/apart); told > most {
		t.Errorf("told of %d phones: got %d messages, want at most %d", comers, told, most)
	}
	wall.linkOf(numbered(comers).Me().Replica, whatever)
}
