package syncengine

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// drain sends everything that to lacks in frames, each checked against its
// bounds, and returns how many frames it took.
func drain(t failer, from, to *Replica, peer Vector) int {
	t.Helper()
	frames := 0
	for bodies := from.Batch(&peer); len(bodies) > 0; bodies = from.Batch(&peer) {
		frames++
		frame := EncodeMessage(Events{bodies})
		if len(frame) > MaxFrame || len(bodies) > MaxFrameEvents {
			t.Fatalf("frame %d: got %d bytes and %d events, want at most %d and %d", frames, len(frame), len(bodies), MaxFrame, MaxFrameEvents)
		}
		m, err := DecodeMessage(frame)
		if err != nil {
			t.Fatalf("frame %d: %v", frames, err)
		}
		for _, body := range m.(Events).Bodies {
			e, err := event.Decode(body)
			if err != nil {
				t.Fatalf("frame %d: %v", frames, err)
			}
			if to.Vector().Has(e.Replica, e.Seq) {
				t.Fatalf("frame %d: %v:%d is held already", frames, e.Replica, e.Seq)
			}
			take(t, to, dayStart, e)
		}
	}
	return frames
}

func TestBatchFillsExactlyTheHoles(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		from, to := New(wallIdentity()), New(wallIdentity())
		want := 0
		for id := byte(1); id <= 3; id++ {
			c := chainOf(t, id, rapid.IntRange(0, 12).Draw(rt, "length"))
			take(rt, from, dayStart, c...)
			for _, e := range c {
				if rapid.Bool().Draw(rt, "held") {
					take(rt, to, dayStart, e)
				} else {
					want++
				}
			}
		}
		lacking := 0
		for _, span := range from.Missing(to.Vector()) {
			if span.From > span.To {
				rt.Fatalf("an empty span: %v", span)
			}
			lacking += int(span.To - span.From + 1)
		}
		if lacking != want {
			rt.Fatalf("missing: got %d events in %v, want %d", lacking, from.Missing(to.Vector()), want)
		}
		peer := to.Vector()
		bodies := from.Batch(&peer)
		if len(bodies) != want {
			rt.Fatalf("got %d bodies, want %d", len(bodies), want)
		}
		for id, n := range from.Vector().Highest {
			if peer.UpTo(id) != n {
				rt.Fatalf("after the batch: got %v up to %d, want %d", id, peer.UpTo(id), n)
			}
		}
		if len(peer.Holes) != 0 || len(from.Missing(peer)) != 0 {
			rt.Fatalf("after the batch: got %v, want no holes", peer)
		}
		drain(rt, from, to, to.Vector())
		sameBytes(rt, "view", viewJSON(rt, to, dayStart), viewJSON(rt, from, dayStart))
	})
}

func TestMissingKeepsToWhatIsLinked(t *testing.T) {
	c := chainOf(t, 9, 6)
	r := New(wallIdentity())
	take(t, r, dayStart, c[0], c[1], c[4])
	id := c[0].Replica
	tests := []struct {
		name string
		peer Vector
		want []Span
	}{
		{"an empty peer", Vector{}, []Span{{id, 1, 2}}},
		{"a peer with one", Vector{Highest: map[event.ReplicaID]uint64{id: 1}}, []Span{{id, 2, 2}}},
		{"a peer with more", Vector{Highest: map[event.ReplicaID]uint64{id: 4}}, nil},
		{"a hole that is held in part", Vector{map[event.ReplicaID]uint64{id: 6}, []Span{{id, 2, 5}}}, []Span{{id, 2, 2}}},
		{"a hole that is not held", Vector{map[event.ReplicaID]uint64{id: 6}, []Span{{id, 3, 5}}}, nil},
		{"a hole from zero", Vector{map[event.ReplicaID]uint64{id: 6}, []Span{{id, 0, 1}}}, []Span{{id, 1, 1}}},
		{"every seq there is", Vector{Highest: map[event.ReplicaID]uint64{id: 1<<64 - 1}}, nil},
		{"an unknown replica", Vector{Highest: map[event.ReplicaID]uint64{{5}: 9, id: 2}}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := r.Missing(tt.peer); !reflect.DeepEqual(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestBatchKeepsToTheBytesOfAFrame(t *testing.T) {
	a := &author{id: event.ReplicaID{9, 7: 9}}
	from, to := New(wallIdentity()), New(wallIdentity())
	for i := range 400 {
		take(t, from, dayStart, a.next(t, &event.Note{Text: strings.Repeat("語", 500-i%7)}))
	}
	peer := to.Vector()
	first := EncodeMessage(Events{from.Batch(&peer)})
	if len(first) > MaxFrame || len(first) < MaxFrame-2_000 {
		t.Errorf("a full frame: got %d bytes, want a little below %d", len(first), MaxFrame)
	}
	if frames := drain(t, from, to, to.Vector()); frames < 3 {
		t.Errorf("got %d frames, want 3 or more", frames)
	}
	if got := to.Head(a.id); got != from.Head(a.id) {
		t.Errorf("head: got %+v, want %+v", got, from.Head(a.id))
	}
}

func TestAFrameTakesWhatFits(t *testing.T) {
	for last := range 40 { // the free bytes, fewer and fewer
		var f Frame
		for f.Add(make([]byte, 1000)) {
		}
		f.Add(make([]byte, MaxFrame-f.size-frameOverhead-bodyOverhead-20+last))
		if frame := EncodeMessage(Events{f.Bodies}); len(frame) > MaxFrame {
			t.Errorf("%d bytes before the end: got a frame of %d bytes, want at most %d", 20-last, len(frame), MaxFrame)
		}
	}
	var small Frame
	for small.Add(nil) {
	}
	if len(small.Bodies) != MaxFrameEvents {
		t.Errorf("got %d bodies, want %d", len(small.Bodies), MaxFrameEvents)
	}
}

// smallest is a chain of the shortest bodies that there can be.
func smallest(t testing.TB, n int) []*event.Event {
	t.Helper()
	out := make([]*event.Event, 0, n)
	for i := range n {
		e := &event.Event{Replica: event.ReplicaID{9}, Seq: uint64(i + 1), Fact: &event.Left{}}
		if i == 0 {
			e.Session, e.Phone = testSession, event.PhoneID{9}
		} else {
			e.Prev = out[i-1].Hash
		}
		out = append(out, remade(t, e))
	}
	return out
}

func TestBatchKeepsToTheEventsOfAFrame(t *testing.T) {
	from := New(wallIdentity())
	take(t, from, dayStart, smallest(t, MaxFrameEvents+10)...)
	var peer Vector
	for i, want := range []int{MaxFrameEvents, 10, 0} {
		bodies := from.Batch(&peer)
		if len(bodies) != want {
			t.Fatalf("batch %d: got %d events, want %d", i, len(bodies), want)
		}
		if frame := EncodeMessage(Events{bodies}); len(frame) > MaxFrame {
			t.Fatalf("batch %d: got %d bytes", i, len(frame))
		}
	}
}

func TestHoldBackKeepsOwnEventsFromASeqOn(t *testing.T) {
	r := New(numbered(1))
	for range 5 {
		record(t, r, &event.Sorted{Size: 1, N: 1}, dayStart)
	}
	take(t, r, dayStart, chainOf(t, 9, 3)...)
	own, others := r.Me().Replica, event.ReplicaID{9, 7: 9}
	for _, tt := range []struct {
		name         string
		from         uint64
		held         uint64 // what the peer has of it already
		own, ofThese int
	}{
		{"nothing", 0, 0, 5, 3},
		{"the last", 5, 0, 4, 3},
		{"from the third on", 3, 1, 1, 3},
		{"what the peer has already", 3, 4, 0, 3},
		{"all", 1, 0, 0, 3},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r.HoldBack(tt.from)
			peer := Vector{Highest: map[event.ReplicaID]uint64{own: tt.held}}
			got := map[event.ReplicaID]int{}
			for _, e := range decodeAll(t, r.Batch(&peer)) {
				got[e.Replica]++
			}
			if got[own] != tt.own || got[others] != tt.ofThese {
				t.Errorf("got %d own and %d of another, want %d and %d", got[own], got[others], tt.own, tt.ofThese)
			}
			if want := tt.held + uint64(tt.own); peer.Highest[own] != want {
				t.Errorf("the peer: got %d, want %d", peer.Highest[own], want)
			}
		})
	}
}

func TestBodiesAreForwardedAsTheyCame(t *testing.T) {
	c := chainOf(t, 9, 3)
	from := New(wallIdentity())
	take(t, from, dayStart, c...)
	var peer Vector
	for i, body := range from.Batch(&peer) {
		if !bytes.Equal(body, c[i].Body) {
			t.Errorf("body %d: got %x, want %x", i+1, body, c[i].Body)
		}
	}
	if e := from.Event(c[0].Replica, 4); e != nil {
		t.Errorf("beyond the last: got %v, want none", e)
	}
	if e := from.Event(c[0].Replica, 0); e != nil {
		t.Errorf("before the first: got %v, want none", e)
	}
}

// A vector comes from outside. Whatever it claims, the answer is a batch of
// what is held here, or the frame is refused.
func TestBatchForAnAbsurdVector(t *testing.T) {
	id := event.ReplicaID{9, 7: 9}
	tests := []struct {
		name string
		peer Vector
	}{
		{"highest beyond every seq", Vector{Highest: map[event.ReplicaID]uint64{id: 1<<64 - 1}}},
		{"a hole from zero", Vector{map[event.ReplicaID]uint64{id: 3}, []Span{{id, 0, 2}}}},
		{"a hole that ends before it begins", Vector{map[event.ReplicaID]uint64{id: 3}, []Span{{id, 3, 1}}}},
		{"a hole to the end of all numbers", Vector{map[event.ReplicaID]uint64{id: 3}, []Span{{id, 2, 1<<64 - 1}}}},
		{"a hole above the highest", Vector{map[event.ReplicaID]uint64{id: 1}, []Span{{id, 3, 4}}}},
		{"the same hole twice", Vector{map[event.ReplicaID]uint64{id: 4}, []Span{{id, 2, 2}, {id, 2, 2}}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			defer func() {
				if r := recover(); r != nil {
					t.Errorf("panic: %v", r)
				}
			}()
			from := New(wallIdentity())
			take(t, from, dayStart, chainOf(t, 9, 5)...)
			m, err := DecodeMessage(EncodeMessage(Hello{Protocol: Protocol, Session: testSession, Vector: tt.peer}))
			if err != nil {
				return
			}
			peer := m.(Hello).Vector
			for i := range 10 {
				if len(from.Batch(&peer)) == 0 {
					return
				}
				if i == 9 {
					t.Errorf("the batches never end")
				}
			}
		})
	}
}

// Gaps that a peer provokes must not make the hello too long to be read.
func TestHelloFitsAFrame(t *testing.T) {
	r := New(wallIdentity())
	for id := byte(1); id <= 5; id++ {
		var odd []*event.Event
		for i, e := range chainOf(t, id, 2*MaxAside) {
			if i%2 == 1 {
				odd = append(odd, e)
			}
		}
		take(t, r, dayStart, odd...)
	}
	frame := EncodeMessage(r.Hello([16]byte{}))
	if len(frame) > MaxFrame {
		t.Errorf("got %d bytes, want at most %d", len(frame), MaxFrame)
	}
	m, err := DecodeMessage(frame)
	if err != nil {
		t.Fatalf("got %v, want a hello", err)
	}
	for id := byte(1); id <= 5; id++ {
		for seq := uint64(1); seq < 2*MaxAside; seq += 58 { // some of those that are missing
			if v := m.(Hello).Vector; v.Has(event.ReplicaID{id, 7: id}, seq) {
				t.Fatalf("%d:%d is claimed and is not here", id, seq)
			}
		}
	}
}
