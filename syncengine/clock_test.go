package syncengine

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

func repeated(wallMs int64, n int) []int64 {
	out := make([]int64, n)
	for i := range out {
		out[i] = wallMs
	}
	return out
}

// walls are readings of a wall clock, good and bad.
var walls = []struct {
	name string
	ms   []int64
}{
	{"runs", []int64{dayStart, dayStart + 1, dayStart + 2, dayStart + 1_000}},
	{"stuck", repeated(dayStart, 50)},
	{"stuck at nothing", repeated(0, 50)},
	{"back a year", []int64{dayStart, dayStart - yearMs, dayStart - yearMs + 1, dayStart - yearMs + 5_000}},
	{"ahead a year and back", []int64{dayStart, dayStart + yearMs, dayStart, dayStart + 1, dayStart + yearMs}},
	{"before 1970", []int64{-5, -yearMs, math.MinInt64, 0, 1}},
	{"beyond the last time", []int64{event.MaxMs, event.MaxMs + 1, math.MaxInt64, math.MaxInt64, dayStart}},
}

func TestStampsGrowWhateverTheWallDoes(t *testing.T) {
	for _, tt := range walls {
		t.Run(tt.name, func(t *testing.T) {
			var c clock
			last := event.Stamp(0)
			for i, ms := range tt.ms {
				got := c.tick(ms)
				if i > 0 && got <= last {
					t.Errorf("tick %d at %d: got %d, want more than %d", i, ms, got, last)
				}
				if got < event.StampAt(ms) {
					t.Errorf("tick %d at %d: got %d, want at least %d", i, ms, got, event.StampAt(ms))
				}
				last = got
			}
		})
	}
}

func TestRecordNeverRefusesBecauseOfAClock(t *testing.T) {
	for _, tt := range walls {
		t.Run(tt.name, func(t *testing.T) {
			r := New(numbered(1))
			last := event.Stamp(0)
			for i, ms := range tt.ms {
				e := record(t, r, &event.Sorted{Size: 1, N: 1}, ms)
				if i > 0 && e.Stamp <= last {
					t.Errorf("entry %d: got stamp %d after %d", i, e.Stamp, last)
				}
				if want := min(max(ms, 0), event.MaxMs); e.WallMs != want {
					t.Errorf("entry %d: got wall time %d, want %d", i, e.WallMs, want)
				}
				last = e.Stamp
			}
			if got := sortedOf(r); got != int64(len(tt.ms)) {
				t.Errorf("got %d sorted, want %d", got, len(tt.ms))
			}
		})
	}
}

func TestRecordWithTheLastStampThereIs(t *testing.T) {
	me := numbered(1)
	first := remade(t, &event.Event{Replica: me.Replica, Seq: 1, Session: testSession, Phone: me.Phone,
		Stamp: ^event.Stamp(0), Fact: &event.Sorted{Size: 1, N: 1}})
	r := New(me)
	if _, refused := r.Load([]*event.Event{first}, Now{WallMs: dayStart}); len(refused) > 0 {
		t.Fatalf("load: refused %v", refused[0].Fault)
	}
	for range 3 {
		if e := record(t, r, &event.Sorted{Size: 1, N: 1}, dayStart); e.Stamp != ^event.Stamp(0) {
			t.Errorf("got stamp %d, want the last one", e.Stamp)
		}
	}
	if got := sortedOf(r); got != 4 {
		t.Errorf("got %d sorted, want 4", got)
	}
}

func TestStampsOfOthers(t *testing.T) {
	tests := []struct {
		name    string
		aheadMs int64
		adopted bool
	}{
		{"a year behind", -yearMs, false},
		{"just behind", -1, false},
		{"just ahead", 1, true},
		{"a minute ahead", maxSkewMs, true},
		{"more than a minute ahead", maxSkewMs + 1, false},
		{"a year ahead", yearMs, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r, other := New(numbered(1)), New(numbered(2))
			own := record(t, r, &event.Sorted{Size: 1, N: 1}, dayStart)
			theirs := record(t, other, &event.Sorted{Size: 1, N: 1}, dayStart+tt.aheadMs)
			take(t, r, dayStart, theirs)
			next := record(t, r, &event.Sorted{Size: 1, N: 1}, dayStart)
			want := own.Stamp + 1
			if tt.adopted {
				want = theirs.Stamp + 1
			}
			if next.Stamp != want {
				t.Errorf("got stamp %d, want %d", next.Stamp, want)
			}
			if got := sortedOf(r); got != 3 {
				t.Errorf("got %d sorted, want 3 whatever the stamps", got)
			}
		})
	}
}

func TestOneWrongClockPullsNobodyAlong(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var c clock
		latest, last := int64(0), event.Stamp(0)
		for range rapid.IntRange(1, 40).Draw(rt, "steps") {
			ms := dayStart + rapid.Int64Range(-2*yearMs, 2*yearMs).Draw(rt, "wall")
			latest = max(latest, ms)
			if rapid.Bool().Draw(rt, "adopt") {
				c.adopt(event.Stamp(rapid.Uint64().Draw(rt, "any stamp")), ms)
				c.adopt(event.StampAt(ms+rapid.Int64Range(-100_000, 100_000).Draw(rt, "skew")), ms)
				continue
			}
			got := c.tick(ms)
			if got <= last {
				rt.Fatalf("got %d after %d", got, last)
			}
			if got.Ms() > latest+maxSkewMs {
				rt.Fatalf("got a stamp %d ms ahead of every wall clock reading", got.Ms()-latest)
			}
			last = got
		}
	})
}
