package hub_test

import (
	"testing"
	"time"

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

// A clock that is off is noted once a start, with the starts before it that were
// right; one that goes on as noted is not noted again.
func TestClocksThatAreOffAreNoted(t *testing.T) {
	const hour = 3_600_000
	d := newDesk(t)
	ash := d.counter(1)
	right, wrong := event.StartID{1}, event.StartID{2}
	answer := func(start event.StartID, aheadMs int64, sinceMs uint64) {
		t.Helper()
		ash.say(syncengine.Pong{Head: ash.replica.Head(), Start: start, WallMs: time.Now().UnixMilli() + aheadMs, SinceMs: sinceMs})
		ash.offer(ash.record(1)...) // when it is acknowledged, the answer before it was read
		until[syncengine.Ack](ash)
	}
	answer(right, 900, 5_000)
	if got := d.notes(); len(got) != 0 {
		t.Fatalf("a clock that is right: got %v, want no note", got)
	}
	answer(wrong, -hour, 1_000)
	got := d.notes()
	if len(got) != 2 || got[0].Start != right || got[1].Start != wrong {
		t.Fatalf("got %v, want a note of each start", got)
	}
	if ahead := got[1].AheadMs; ahead < -hour-500 || ahead > -hour+500 {
		t.Errorf("ahead: got %d ms, want an hour behind", ahead)
	}
	same(t, "since", got[1].SinceMs, 1_000)
	same(t, "of", got[1].Replica, ash.replica.Me().Replica)
	answer(wrong, +hour, 1_000+uint64(time.Now().UnixMilli()-int64(got[1].RoomMs))) // set by hand, but the start runs on
	same(t, "notes of a start that runs as noted", len(d.notes()), 2)
	answer(wrong, -hour, 900_000) // asleep, or another clock: but not again within a minute
	same(t, "notes within a minute", len(d.notes()), 2)
	answer(event.StartID{}, -hour, 1)
	same(t, "notes of a phone that names no start", len(d.notes()), 2)

	wall := d.wall()
	wall.folds(len(d.events()))
	ms, known := wall.replica.State().RoomTime(ash.replica.Me().Replica, wrong, 3_000)
	if want := int64(got[1].RoomMs) + 2_000; !known || ms != want {
		t.Errorf("room time: got %d, %v, want %d", ms, known, want)
	}
}

// A phone may not write what only the server says.
func TestPhonesWriteNoClockNotes(t *testing.T) {
	d := newDesk(t)
	ash := d.counter(1)
	ash.offer(ash.tap(&event.ClockNote{Replica: event.ReplicaID{1}, Start: event.StartID{1}}))
	ash.refusedWith("needs-server", 1)
}
