package clock

import (
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

var phone = event.ReplicaID{1}

// wrote is the seq-th event of the phone, in one of its starts.
func wrote(seq uint64, id byte, wallMs int64, sinceMs uint64) *event.Event {
	return &event.Event{Replica: phone, Seq: seq, Stamp: event.StampAt(wallMs) + event.Stamp(seq), Start: event.StartID{id}, WallMs: wallMs, SinceMs: sinceMs, Fact: &event.Ended{}}
}

// noted is the seq-th event of the server.
func noted(seq uint64, f event.ClockNote) *event.Event {
	f.Replica = phone
	return &event.Event{Replica: event.ReplicaID{9}, Seq: seq, Stamp: event.StampAt(int64(f.RoomMs)) + event.Stamp(seq), Fact: &f}
}

func TestAt(t *testing.T) {
	const hour = 3_600_000
	// Start 1 was never heard of by the server; 2 ran an hour ahead, and while the
	// phone slept between its two notes it stood still; 3 was right.
	events := []*event.Event{
		wrote(1, 1, 10*hour+500, 500),
		wrote(2, 2, 11*hour+1_000, 1_000), wrote(3, 2, 11*hour+6_000, 6_000), wrote(4, 2, 11*hour+900_000, 8_000), wrote(6, 2, 11*hour+898_000, 6_900), wrote(7, 2, 11*hour+7_000_000, 7_000),
		wrote(5, 3, 12*hour, 10),
	}
	notes := []*event.Event{
		noted(1, event.ClockNote{Start: event.StartID{2}, SinceMs: 5_000, RoomMs: 10*hour + 5_000, AheadMs: hour}),
		noted(2, event.ClockNote{Start: event.StartID{2}, SinceMs: 7_500, RoomMs: 10*hour + 899_500, AheadMs: hour}),
	}
	tests := []struct {
		name  string
		e     *event.Event
		ms    int64
		about bool
	}{
		{"in a start before it", events[0], 9*hour + 500, true},
		{"before the first note", events[1], 10*hour + 1_000, false},
		{"after the first note", events[2], 10*hour + 6_000, false},
		{"after the second", events[3], 10*hour + 900_000, false},
		{"after it woke, before the second note", events[4], 10*hour + 898_000, false},
		{"with a wall clock that somebody set", events[5], 10*hour + 7_000, true},
		{"in a start after it", events[6], 12 * hour, false},
	}
	var c Clock
	for _, e := range append(events, notes...) {
		c.Meet(e)
		c.Add(e)
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if ms, about := c.At(tt.e); ms != tt.ms || about != tt.about {
				t.Errorf("got %d, %v, want %d, %v", ms, about, tt.ms, tt.about)
			}
		})
	}
	if got := c.Off(phone); got != hour {
		t.Errorf("off: got %d, want %d", got, hour)
	}
	if got := c.Off(event.ReplicaID{7}); got != 0 {
		t.Errorf("off, of another: got %d, want 0", got)
	}
}

func TestWithoutNotesThePhoneIsTrusted(t *testing.T) {
	var c Clock
	if ms, about := c.At(wrote(1, 1, 77, 3)); ms != 77 || about {
		t.Errorf("got %d, %v, want 77 and not about", ms, about)
	}
}

// The same notes give the same times in any order.
func TestAnyOrderGivesTheSameTimes(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var events []*event.Event
		for seq := uint64(1); seq <= 8; seq++ {
			since := rapid.Uint64Range(0, 9_000).Draw(rt, "since")
			events = append(events, wrote(seq, byte(1+seq/3), rapid.Int64Range(0, 9_000).Draw(rt, "wall"), since))
		}
		all := events
		for seq := range uint64(rapid.IntRange(0, 5).Draw(rt, "notes")) {
			all = append(all, noted(seq+1, event.ClockNote{Start: event.StartID{byte(rapid.IntRange(1, 4).Draw(rt, "start"))},
				SinceMs: rapid.Uint64Range(0, 9_000).Draw(rt, "at"), RoomMs: rapid.Uint64Range(20_000, 30_000).Draw(rt, "room"), AheadMs: -20_000}))
		}
		var one, two Clock
		for _, e := range all {
			one.Meet(e)
			one.Add(e)
		}
		for _, e := range rapid.Permutation(all).Draw(rt, "order") {
			two.Meet(e)
			two.Add(e)
		}
		for _, e := range events {
			a, aboutA := one.At(e)
			b, aboutB := two.At(e)
			if a != b || aboutA != aboutB {
				rt.Fatalf("seq %d: got %d, %v and %d, %v", e.Seq, a, aboutA, b, aboutB)
			}
		}
	})
}
