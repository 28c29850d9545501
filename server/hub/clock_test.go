package hub_test

import (
	"testing"
	"time"

	"rootledger/server/hub"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// notes are the clock notes that are stored, in order.
func (d *desk) notes() (out []*event.ClockNote) {
	d.t.Helper()
	for _, e := range d.events() {
		if f, ok := e.Fact.(*event.ClockNote); ok {
			out = append(out, f)
		}
	}
	return out
}

func (d *desk) events() (out []*event.Event) {
	d.t.Helper()
	err := d.store.EventsOf(bounded(d.t), d.row, func(e *event.Event) error {
		out = append(out, e)
		return nil
	})
	if err != nil {
		d.t.Fatal(err)
	}
	return out
}

// stepped is a room that the test runs itself, with one phone in it.
type stepped struct {
	t    *testing.T
	room *hub.Room
	conn *hub.Conn
	me   event.ReplicaID
}

func (d *desk) stepped(replica *syncengine.Replica) *stepped {
	d.t.Helper()
	s := &stepped{t: d.t, me: replica.Me().Replica}
	var err error
	if s.room, err = d.hub.Open(bounded(d.t), testSession); err == nil {
		s.conn, err = s.room.Enter(bounded(d.t), replica.Hello([16]byte{}, nil), s.me)
	}
	if err != nil {
		d.t.Fatal(err)
	}
	s.step()
	return s
}

// step does all that is queued and lets the phone read all that it is sent.
func (s *stepped) step() {
	s.t.Helper()
	for worked := true; worked; {
		var err error
		if worked, err = s.room.Step(bounded(s.t)); err != nil {
			s.t.Fatal(err)
		}
	}
	for frame := []byte{0}; frame != nil; {
		var err error
		if frame, err = s.conn.TryNext(); err != nil {
			s.t.Fatal(err)
		}
	}
}

// answers has the phone answer, and first be asked.
func (s *stepped) answers(asked bool, m syncengine.Pong) {
	s.t.Helper()
	if asked {
		s.room.Tick()
		s.step()
	}
	m.Head.Replica = s.me
	if err := s.conn.Receive(bounded(s.t), syncengine.EncodeMessage(m)); err != nil {
		s.t.Fatal(err)
	}
	s.step()
}

// A clock that is off is noted once a start, with the starts before it that were
// right; one that goes on as noted is not noted again.
func TestClocksThatAreOffAreNoted(t *testing.T) {
	const hour = 3_600_000
	d := newDesk(t)
	ash := numbered(1)
	d.enrol(ash.Me().Replica, ash.Me().Phone, "phone")
	s := d.stepped(ash)
	right, wrong := event.StartID{1}, event.StartID{2}
	answer := func(asked bool, start event.StartID, aheadMs int64, sinceMs uint64) {
		t.Helper()
		s.answers(asked, syncengine.Pong{Start: start, WallMs: time.Now().UnixMilli() + aheadMs, SinceMs: sinceMs})
	}
	answer(true, right, 900, 5_000)
	same(t, "notes of a clock that is right", len(d.notes()), 0)
	answer(false, wrong, -hour, 1_000)
	same(t, "notes of a phone that nobody asked", len(d.notes()), 0)
	answer(true, event.StartID{}, -hour, 1)
	same(t, "notes of a phone that names no start", len(d.notes()), 0)
	answer(true, wrong, -hour, 1_000)
	got := d.notes()
	if len(got) != 2 || got[0].Start != right || got[1].Start != wrong {
		t.Fatalf("got %v, want a note of each start", got)
	}
	if ahead := got[1].AheadMs; ahead < -hour-500 || ahead > -hour+500 {
		t.Errorf("ahead: got %d ms, want an hour behind", ahead)
	}
	same(t, "since", got[1].SinceMs, 1_000)
	same(t, "of", got[1].Replica, ash.Me().Replica)
	answer(true, wrong, +hour, 1_000+uint64(time.Now().UnixMilli()-int64(got[1].RoomMs))) // set by hand, but the start runs on
	same(t, "notes of a start that runs as noted", len(d.notes()), 2)
	for n := range byte(100) {
		answer(true, event.StartID{9, n}, -hour, 900_000) // a clock that jumps: but not again within a minute
	}
	same(t, "notes within a minute", len(d.notes()), 2)

	ms, known := s.room.State().RoomTime(ash.Me().Replica, wrong, 3_000)
	if want := int64(got[1].RoomMs) + 2_000; !known || ms != want {
		t.Errorf("room time: got %d, %v, want %d", ms, known, want)
	}
}

// Anyone may be a wall: what one says about clocks is passed over.
func TestWallsHaveNoClock(t *testing.T) {
	d := newDesk(t)
	s := d.stepped(syncengine.New(syncengine.Identity{Session: testSession}))
	for n := range byte(200) {
		s.answers(true, syncengine.Pong{Start: event.StartID{1, n}, WallMs: 5, SinceMs: 1})
	}
	same(t, "notes", len(d.notes()), 0)
}

// A phone may not write what only the server says.
func TestPhonesWriteNoClockNotes(t *testing.T) {
	d := newDesk(t)
	ash := d.counter(1)
	ash.offer(ash.tap(&event.ClockNote{Replica: event.ReplicaID{1}, Start: event.StartID{1}}))
	ash.refusedWith("needs-server", 1)
}
