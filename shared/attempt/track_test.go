package attempt

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// written is an event of one replica, whose stamps grow with its seqs.
func written(seq uint64) *event.Event { return &event.Event{Seq: seq, Stamp: event.Stamp(seq)} }

// shot and reading are the marks of a track in the tests: seq is their place.
func shot(n int64) mark { return mark{n: n} }

func up(counter string, value uint32) mark {
	return mark{reading: &event.Reading{Counter: counter, Direction: event.Up, Value: value}}
}

func down(counter string, value uint32) mark {
	return mark{reading: &event.Reading{Counter: counter, Direction: event.Down, Value: value}}
}

func at(region event.Ref, m mark) mark {
	m.region = region
	return m
}

// tracked folds marks in order and undoes some, by seq from 1.
func tracked(marks []mark, undone ...uint64) *track {
	k := newTrack()
	for i, m := range marks {
		m.event = written(uint64(i + 1))
		k.add(m, 1)
	}
	for _, seq := range undone {
		m := marks[seq-1]
		m.event = written(seq)
		k.add(m, -1)
	}
	return k
}

func total(by map[event.Ref]int64) int64 {
	var n int64
	for _, one := range by {
		n += one
	}
	return n
}

// Wanted numbers: computed from the definitions.
func TestTrack(t *testing.T) {
	tests := []struct {
		name             string
		marks            []mark
		undone           []uint64
		punched, against int64
	}{
		{"nothing", nil, nil, 0, 0},
		{"shots alone", []mark{shot(5), shot(3)}, nil, 8, 0},
		{"a baseline alone", []mark{up("a", 100)}, nil, 0, 0},
		{"shots before and after a single reading", []mark{shot(5), up("a", 100), shot(3)}, nil, 8, 0},
		{"before, between and after", []mark{shot(5), up("a", 100), shot(10), up("a", 112), shot(3)}, nil, 20, 0},
		{"between three readings", []mark{up("a", 0), shot(4), up("a", 5), shot(6), up("a", 9)}, nil, 9, 0},
		{"a counter that runs down", []mark{down("b", 2500), shot(9), down("b", 2300)}, nil, 200, 0},
		{"two counters", []mark{up("a", 0), down("b", 2500), up("a", 10), down("b", 2490)}, nil, 20, 0},
		{"a shot inside one of two counters", []mark{up("a", 0), shot(4), up("b", 10), shot(5), up("b", 20)}, nil, 14, 0},
		{"the other counter closes later", []mark{up("a", 0), shot(4), up("b", 10), shot(5), up("b", 20), up("a", 7)}, nil, 17, 0},
		{"a shot after the last of both", []mark{up("a", 0), up("b", 0), up("b", 3), up("a", 2), shot(8)}, nil, 13, 0},
		{"against its direction", []mark{up("a", 100), up("a", 90), up("a", 95)}, nil, -5, 10},
		{"against a falling one", []mark{down("b", 50), down("b", 70)}, nil, -20, 20},
		{"the later reading's direction counts", []mark{up("a", 50), down("a", 40)}, nil, 10, 0},
		{"a counter that stands still", []mark{up("a", 5), shot(2), up("a", 5)}, nil, 0, 0},

		{"the middle reading undone", []mark{up("a", 0), shot(7), up("a", 50), shot(8), up("a", 120)}, []uint64{3}, 120, 0},
		{"a wrong middle reading undone", []mark{up("a", 0), up("a", 900), up("a", 120)}, []uint64{2}, 120, 0},
		{"the first reading undone", []mark{up("a", 0), shot(7), up("a", 50), shot(8), up("a", 60)}, []uint64{1}, 17, 0},
		{"the last reading undone", []mark{up("a", 0), shot(7), up("a", 50), shot(8), up("a", 60)}, []uint64{5}, 58, 0},
		{"all readings but one undone", []mark{up("a", 0), shot(7), up("a", 50), shot(8), up("a", 60)}, []uint64{1, 3}, 15, 0},
		{"all readings undone", []mark{up("a", 0), shot(7), up("a", 50)}, []uint64{3, 1}, 7, 0},
		{"a covered shot undone", []mark{up("a", 0), shot(7), up("a", 50)}, []uint64{2}, 50, 0},
		{"a free shot undone", []mark{shot(7), up("a", 0), up("a", 50), shot(2)}, []uint64{4}, 57, 0},
		{"a step the wrong way undone", []mark{up("a", 100), up("a", 90)}, []uint64{2}, 0, 0},
		{"one counter undone, the other covers", []mark{up("a", 0), up("b", 0), shot(9), up("b", 4), up("a", 6)}, []uint64{1}, 4, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			k := tracked(tt.marks, tt.undone...)
			if got, against := total(k.fresh().punched), total(k.against); got != tt.punched || against != tt.against {
				t.Errorf("got %d punched, %d against, want %d, %d", got, against, tt.punched, tt.against)
			}
			for _, seq := range tt.undone {
				m := tt.marks[seq-1]
				m.event = written(seq)
				k.add(m, 1)
			}
			if again := tracked(tt.marks).fresh(); !reflect.DeepEqual(k.fresh().punched, again.punched) {
				t.Errorf("brought back: got %v, want %v", k.punched, again.punched)
			}
		})
	}
}

func TestAStepBelongsToTheRegionOfTheLaterReading(t *testing.T) {
	k := tracked([]mark{at(left, up("a", 0)), at(left, shot(5)), at(left, up("a", 30)), at(right, up("a", 70)), at(right, up("a", 65)), at(right, shot(2))})
	k.fresh()
	if k.punched[left] != 30 || k.punched[right] != 37 || k.against[right] != 5 || k.against[left] != 0 {
		t.Errorf("got %v, against %v, want 30 and 37, against 5 on the right", k.punched, k.against)
	}
}

func TestEachReplicaReadsItsOwnCounters(t *testing.T) {
	tally, pass := begun(event.Pulled)
	read := func(replica byte, seq uint64, value uint32) {
		tally.Add(made(replica, seq, 1, &event.Reading{Pass: pass, Counter: "a", Direction: event.Up, Value: value}), 1)
	}
	read(2, 1, 0)
	read(3, 1, 5000)
	read(2, 2, 40)
	read(3, 2, 5060)
	tally.Add(made(4, 1, 1, &event.Fired{Pass: pass, N: 7}), 1)
	if got := tally.Passes()[0].Total; got.Punched != 107 || got.Against != 0 {
		t.Errorf("got %d punched, %d against, want 107, 0", got.Punched, got.Against)
	}
}

func TestEachPassReadsItsOwnCounters(t *testing.T) {
	tally, first := begun(event.Pulled)
	e := made(1, 2, 2, &event.PassBegun{Mode: event.Pulled})
	tally.Add(e, 1)
	for i, pass := range []event.Ref{first, e.Ref(), first, e.Ref()} {
		tally.Add(made(2, uint64(i+1), 1, &event.Reading{Pass: pass, Counter: "a", Direction: event.Up, Value: uint32(10 * i)}), 1)
	}
	for _, p := range tally.Passes() {
		if p.Total.Punched != 20 {
			t.Errorf("pass %v: got %d punched, want 20", p.Ref, p.Total.Punched)
		}
	}
}

func drawMarks(rt *rapid.T) []mark {
	out := make([]mark, rapid.IntRange(1, 14).Draw(rt, "marks"))
	for i := range out {
		counter := rapid.SampledFrom([]string{"", "", "a", "b"}).Draw(rt, "counter")
		value := rapid.Uint32Range(0, 60).Draw(rt, "value")
		switch counter {
		case "":
			out[i] = shot(int64(value))
		case "a":
			out[i] = up(counter, value)
		case "b":
			out[i] = down(counter, value)
		}
		out[i].region = rapid.SampledFrom([]event.Ref{{}, left, right}).Draw(rt, "region")
		out[i].event = written(uint64(2*i + 1))
	}
	return out
}

func TestAnyOrderGivesTheSameTrack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		marks := drawMarks(rt)
		undone := make([]bool, len(marks))
		want := newTrack()
		for i, m := range marks {
			undone[i] = rapid.Bool().Draw(rt, "undone")
			if !undone[i] {
				want.add(m, 1)
			}
		}
		order := rapid.Permutation(marks).Draw(rt, "order")
		got := newTrack()
		for _, m := range order {
			got.add(m, 1)
			if undone[m.event.Seq/2] {
				got.add(m, -1)
			}
			if rapid.IntRange(0, 3).Draw(rt, "twice over") == 0 { // undone and brought back, or the other way
				sign := int64(1)
				if !undone[m.event.Seq/2] {
					sign = -1
				}
				got.add(m, sign)
				got.add(m, -sign)
			}
		}
		got.fresh()
		for _, region := range []event.Ref{{}, left, right} {
			if got.punched[region] != want.punched[region] || got.against[region] != want.against[region] {
				rt.Fatalf("region %v: got %d, against %d, want %d, %d", region.Seq,
					got.punched[region], got.against[region], want.punched[region], want.against[region])
			}
		}
	})
}

// Two copies of a phone count and read the same counters: whichever comes first,
// their readings stand in the order of their stamps.
func TestTwoCopiesGiveTheSameTrack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		marks := drawMarks(rt)
		for i := range marks { // the same seqs on both branches, and at times the same stamps
			e := *marks[i].event
			e.Seq, e.Hash = uint64(1+i/2), event.Hash{byte(i % 2), byte(i)}
			e.Stamp = event.Stamp(i/2) + event.Stamp(rapid.IntRange(0, 1).Draw(rt, "later"))
			marks[i].event = &e
		}
		order := rapid.Permutation(slices.Clone(marks)).Draw(rt, "order")
		slices.SortFunc(marks, func(a, b mark) int { return event.Compare(a.event, b.event) })
		want, got := newTrack(), newTrack()
		for _, m := range marks {
			want.add(m, 1)
		}
		for i, m := range order {
			got.add(m, 1)
			if i%3 == 0 {
				got.fresh() // somebody looks in between
			}
		}
		if want.stale {
			rt.Fatal("in order: stale")
		}
		if !reflect.DeepEqual(got.fresh().punched, want.punched) || !reflect.DeepEqual(got.against, want.against) {
			rt.Fatalf("got  %v, %v\nwant %v, %v", got.punched, got.against, want.punched, want.against)
		}
	})
}
