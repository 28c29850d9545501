package event_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

func TestStampAt(t *testing.T) {
	for _, c := range []struct {
		name string
		ms   int64
		want event.Stamp
	}{
		{"1970", 0, 0},
		{"first millisecond", 1, 1 << 16},
		{"last that fits", 1<<48 - 1, 0xffff_ffff_ffff_0000},
		{"first too late", 1 << 48, 0xffff_ffff_ffff_0000},
		{"latest", math.MaxInt64, 0xffff_ffff_ffff_0000},
		{"just before 1970", -1, 0},
		{"earliest", math.MinInt64, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			same(t, "stamp", event.StampAt(c.ms), c.want)
			same(t, "ms", event.StampAt(c.ms).Ms(), min(max(c.ms, 0), event.MaxMs))
		})
	}
	same(t, "ms of the largest stamp", event.Stamp(math.MaxUint64).Ms(), event.MaxMs)
}

func TestStampAtGrowsWithTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Int64().Draw(t, "a"), rapid.Int64().Draw(t, "b")
		a, b = min(a, b), max(a, b)
		if event.StampAt(a) > event.StampAt(b) {
			t.Fatalf("%d, %d: got %d after %d", a, b, event.StampAt(a), event.StampAt(b))
		}
		inside := event.StampAt(b) | event.Stamp(rapid.Uint16().Draw(t, "counter"))
		same(t, "ms", inside.Ms(), min(max(b, 0), event.MaxMs))
	})
}

// near draws events that are often equal in part, so that every tie is met.
func near() *rapid.Generator[*event.Event] {
	few := rapid.ByteMax(2)
	return rapid.Custom(func(t *rapid.T) *event.Event {
		return &event.Event{
			Stamp:   event.Stamp(few.Draw(t, "stamp")) << 63 >> 1,
			Replica: event.ReplicaID{few.Draw(t, "replica"), 7: few.Draw(t, "replica end") * 127},
			Seq:     uint64(few.Draw(t, "seq")),
			Hash:    event.Hash{few.Draw(t, "hash") * 127, 31: few.Draw(t, "hash end")},
		}
	})
}

// place is all that Before looks at.
type place struct {
	stamp   event.Stamp
	replica event.ReplicaID
	seq     uint64
	hash    event.Hash
}

func placeOf(e *event.Event) place { return place{e.Stamp, e.Replica, e.Seq, e.Hash} }

func TestBeforeIsAStrictTotalOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := near().Draw(t, "a"), near().Draw(t, "b"), near().Draw(t, "c")
		if event.Before(a, a) {
			t.Fatal("an event is before itself")
		}
		if ab, ba := event.Before(a, b), event.Before(b, a); (ab != ba) != (placeOf(a) != placeOf(b)) {
			t.Fatalf("got before %v, after %v", ab, ba)
		}
		if event.Before(a, b) && event.Before(b, c) && !event.Before(a, c) {
			t.Fatal("not transitive")
		}
	})
}

func TestBeforeSortsAnyOrderAlike(t *testing.T) {
	sorted := func(events []*event.Event) []place {
		slices.SortFunc(events, func(a, b *event.Event) int {
			switch {
			case event.Before(a, b):
				return -1
			case event.Before(b, a):
				return 1
			}
			return 0
		})
		var out []place
		for _, e := range events {
			out = append(out, placeOf(e))
		}
		return out
	}
	rapid.Check(t, func(t *rapid.T) {
		events := rapid.SliceOfN(near(), 0, 12).Draw(t, "events")
		other := rapid.Permutation(slices.Clone(events)).Draw(t, "other order")
		if got, want := sorted(other), sorted(events); !slices.Equal(got, want) {
			t.Fatalf("got %v, want %v", got, want)
		}
	})
}

func TestBeforeComparesInTurn(t *testing.T) {
	base := event.Event{Stamp: 5, Replica: event.ReplicaID{5}, Seq: 5, Hash: event.Hash{5}}
	for _, c := range []struct {
		name   string
		change func(e *event.Event)
	}{
		{"stamp first", func(e *event.Event) { e.Stamp, e.Replica, e.Seq, e.Hash = 6, event.ReplicaID{4}, 4, event.Hash{4} }},
		{"then replica", func(e *event.Event) { e.Replica, e.Seq, e.Hash = event.ReplicaID{6}, 4, event.Hash{4} }},
		{"then seq", func(e *event.Event) { e.Seq, e.Hash = 6, event.Hash{4} }},
		{"then hash", func(e *event.Event) { e.Hash = event.Hash{6} }},
		{"replica as unsigned bytes", func(e *event.Event) { e.Replica = event.ReplicaID{0x80} }},
		{"seq before its text", func(e *event.Event) { e.Seq = 10 }},
		{"wall time says nothing", func(e *event.Event) { e.Seq, e.WallMs = 6, -1000 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			later := base
			c.change(&later)
			same(t, "before", event.Before(&base, &later), true)
			same(t, "after", event.Before(&later, &base), false)
		})
	}
}
