package share

import (
	"testing"

	"rootledger/shared/event"
)

// says is one event of a phone at a minute.
func says(id byte, seq uint64, minute int64, fact event.Fact) *event.Event {
	return &event.Event{Replica: event.ReplicaID{id}, Seq: seq, Stamp: event.Stamp(uint64(minute*60_000) << 16), Fact: fact}
}

// What is spent of a share: attempts and shots when they are written, and of a
// reading its step less the shots since the reading before, never below nothing;
// in whatever order they arrive. A second tally beside tapped attempts is not.
func TestSpent(t *testing.T) {
	ash := event.ReplicaID{1}
	each, pulled := says(1, 1, 0, &event.PassBegun{Mode: event.Each}), says(1, 2, 0, &event.PassBegun{Mode: event.Pulled})
	shots := func(n uint32) *event.Fired { return &event.Fired{Pass: pulled.Ref(), N: n} }
	reads := func(value uint32, way event.Direction) *event.Reading {
		return &event.Reading{Pass: pulled.Ref(), Counter: "a", Direction: way, Value: value}
	}
	events := []*event.Event{
		says(1, 3, 1, &event.Attempt{Pass: each.Ref(), Outcome: event.Intact, N: 4}),
		says(1, 4, 2, &event.Attempt{Pass: pulled.Ref(), Outcome: event.Intact, N: 50}),
		says(1, 5, 3, &event.Fired{Pass: each.Ref(), N: 9}),
		says(1, 6, 4, shots(3)),
		says(1, 7, 5, reads(100, event.Up)),
		says(1, 8, 6, shots(5)),
		says(1, 9, 7, reads(120, event.Up)),  // 20, of which 5 are told
		says(1, 10, 8, reads(110, event.Up)), // against its direction
		says(1, 11, 50, reads(140, event.Up)),
	}
	const want = 4 + 3 + 5 + 15 + 30
	for name, order := range map[string][]int{
		"in order": {0, 1, 2, 3, 4, 5, 6, 7, 8}, "from the end": {8, 7, 6, 5, 4, 3, 2, 1, 0}, "one late": {0, 1, 2, 3, 4, 6, 7, 8, 5},
	} {
		t.Run(name, func(t *testing.T) {
			var tally Tally
			tally.Add(each)
			tally.Add(pulled)
			tally.Add(says(9, 1, 0, &event.Granted{To: ash, N: 60}))
			for _, i := range order {
				tally.Add(events[i])
			}
			if got := tally.Of(ash); got != (Share{Known: true, Granted: 60, Spent: want}) || got.Left() != 60-want {
				t.Errorf("got %+v, want %d spent of 60", got, want)
			}
			tally.Add(says(8, 1, 60, &event.Reclaimed{From: ash, N: 10}))
			if got := tally.Of(ash); got.Left() != 50-want || got.Unspent() != 0 {
				t.Errorf("after it was taken back: got %+v", got)
			}
		})
	}
}

// Who takes how much is told of the last half hour.
func TestRecent(t *testing.T) {
	var tally Tally
	pass := says(1, 1, 0, &event.PassBegun{Mode: event.Each})
	tally.Add(pass)
	for minute := range int64(100) {
		tally.Add(says(1, uint64(2+minute), minute, &event.Attempt{Pass: pass.Ref(), Outcome: event.Intact, N: 2}))
	}
	if got := tally.Recent(event.ReplicaID{1}, 99*60_000); got != 60 {
		t.Errorf("got %d, want 60", got)
	}
	if kept := len(tally.phones[event.ReplicaID{1}].recent); kept > 61 {
		t.Errorf("%d are kept of 30", kept)
	}
	if got := tally.Recent(event.ReplicaID{2}, 0); got != 0 {
		t.Errorf("a stranger took %d", got)
	}
}
