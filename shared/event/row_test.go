package event_test

import (
	"bytes"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

func decoded(t rapid.TB, body []byte) *event.Event {
	t.Helper()
	e, err := event.Decode(body)
	if err != nil {
		t.Fatalf("decode of %x: %v", body, err)
	}
	return e
}

// joined is e's body built again from its opening and its rest.
func joined(t rapid.TB, e *event.Event) []byte {
	t.Helper()
	rest, entries := e.Rest()
	if entries == 0 || entries > event.RestMax {
		t.Fatalf("rest of %x: got %d entries, want 1 to %d", e.Body, entries, event.RestMax)
	}
	out := e.Join([]byte("before"), rest, entries)
	if !bytes.HasPrefix(out, []byte("before")) || len(out) > len("before")+len(rest)+event.JoinMax {
		t.Fatalf("join: got %x, want at most %d bytes more than the rest", out, event.JoinMax)
	}
	return out[len("before"):]
}

func TestRestOfEveryKind(t *testing.T) {
	for _, fact := range goldenFacts {
		e := decoded(t, readGolden(t, goldenName(fact.Kind())))
		if got := joined(t, e); !bytes.Equal(got, e.Body) {
			t.Errorf("%v: got %x, want %x", fact.Kind(), got, e.Body)
		}
	}
	extra := decoded(t, readGolden(t, extraGolden))
	if got := joined(t, extra); !bytes.Equal(got, extra.Body) {
		t.Errorf("unknown keys: got %x, want %x", got, extra.Body)
	}
	unknown := decoded(t, readGolden(t, unknownGolden)) // has an entry before the first
	if rest, entries := unknown.Rest(); rest != nil || entries != 0 {
		t.Errorf("an entry in the opening: got %x, %d, want no rest", rest, entries)
	}
	extra.Body = nil
	if rest, entries := extra.Rest(); rest != nil || entries != 0 {
		t.Errorf("no body: got %x, %d, want no rest", rest, entries)
	}
}

func TestOpeningIsAsEncodeWritesIt(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		number := rapid.OneOf(rapid.SampledFrom([]uint64{0, 23, 24, math.MaxUint64}), rapid.Uint64())
		e := &event.Event{
			Replica: event.ReplicaID{1}, Seq: rapid.Uint64Range(2, event.MaxSeq).Draw(rt, "seq"), Prev: event.Hash{2},
			Stamp: event.Stamp(number.Draw(rt, "stamp")), WallMs: int64(number.Draw(rt, "wall") >> 1),
			Start: event.StartID{rapid.Byte().Draw(rt, "start")}, SinceMs: number.Draw(rt, "since"),
			Late: rapid.Bool().Draw(rt, "late"), Fact: &event.Sorted{Size: 2, N: 7},
		}
		e = decoded(rt, event.Encode(e))
		if got := joined(rt, e); !bytes.Equal(got, e.Body) {
			rt.Fatalf("got %x, want %x", got, e.Body)
		}
	})
}

func TestJoinRefusesWhatIsNoRest(t *testing.T) {
	e := decoded(t, readGolden(t, goldenName(event.KindSorted)))
	rest, entries := e.Rest()
	tests := []struct {
		name    string
		rest    []byte
		entries int
	}{
		{"no entries", rest, 0},
		{"too many entries", rest, event.RestMax + 1},
		{"fewer than none", rest, -1},
		{"no bytes", nil, entries},
		{"not from the kind on", rest[1:], entries},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if out := e.Join([]byte{7}, tt.rest, tt.entries); !bytes.Equal(out, []byte{7}) {
				t.Errorf("got %x, want nothing appended", out)
			}
		})
	}
}

func TestRestAllocatesNothing(t *testing.T) {
	e := decoded(t, readGolden(t, goldenName(event.KindSorted)))
	if got := testing.AllocsPerRun(100, func() { e.Rest() }); got != 0 {
		t.Errorf("got %v allocations, want none", got)
	}
}
