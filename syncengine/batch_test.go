package syncengine

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// batched is the next batch for a peer as it arrives there: as a frame within
// its bounds, unpacked.
func batched(t failer, from *Replica, peer *Peer) []*event.Event {
	t.Helper()
	batch := from.Batch(peer)
	frame := EncodeMessage(batch.Message())
	if len(frame) > MaxFrame || batch.Len() > MaxFrameEvents {
		t.Fatalf("got %d bytes and %d events, want at most %d and %d", len(frame), batch.Len(), MaxFrame, MaxFrameEvents)
	}
	events, err := decoded(t, frame).(Events).Unpack()
	if err != nil || len(events) != batch.Len() {
		t.Fatalf("got %d events, %v, want %d", len(events), err, batch.Len())
	}
	return events
}

// drain sends everything that to lacks in frames, each checked against its
// bounds, and returns how many frames it took.
func drain(t failer, from, to *Replica) int {
	t.Helper()
	frames, peer := 0, from.Know(to.Vector(), nobody)
	for events := batched(t, from, &peer); len(events) > 0; events = batched(t, from, &peer) {
		frames++
		for _, e := range events {
			if to.Event(e.Ref()) != nil {
				t.Fatalf("frame %d: %v:%d is held already", frames, e.Replica, e.Seq)
			}
			if fresh := take(t, to, dayStart, e); len(fresh) != 1 {
				t.Fatalf("frame %d: %v:%d came before what it follows", frames, e.Replica, e.Seq)
			}
		}
	}
	return frames
}

// lacking is how many events of spans there are.
func lacking(t failer, spans []Span) (n int) {
	t.Helper()
	for _, span := range spans {
		if span.From > span.To {
			t.Fatalf("an empty span: %v", span)
		}
		n += int(span.To - span.From + 1)
	}
	return n
}

func TestBatchIsExactlyWhatIsLacking(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		from, to := New(wallIdentity()), New(wallIdentity())
		want := 0
		for id := byte(1); id <= 3; id++ {
			c := chainOf(t, id, rapid.IntRange(0, 12).Draw(rt, "length"))
			held := rapid.IntRange(0, len(c)).Draw(rt, "held")
			take(rt, from, dayStart, c...)
			take(rt, to, dayStart, c[:held]...)
			want += len(c) - held
		}
		peer := from.Know(to.Vector(), nobody)
		if got := lacking(rt, from.Missing(&peer)); got != want {
			rt.Fatalf("missing: got %d events in %v, want %d", got, from.Missing(&peer), want)
		}
		if events := batched(rt, from, &peer); len(events) != want {
			rt.Fatalf("got %d events, want %d", len(events), want)
		}
		if left := from.Missing(&peer); len(left) != 0 {
			rt.Fatalf("after the batch: got %v missing, want nothing", left)
		}
		drain(rt, from, to)
		if !reflect.DeepEqual(to.Vector(), from.Vector()) {
			rt.Fatalf("vector: got %v, want %v", to.Vector(), from.Vector())
		}
		sameBytes(rt, "view", viewJSON(rt, to, dayStart), viewJSON(rt, from, dayStart))
	})
}

func TestMissingKeepsToWhatIsLinked(t *testing.T) {
	c := chainOf(t, 9, 6)
	r := New(wallIdentity())
	take(t, r, dayStart, c[0], c[1], c[2], c[4]) // the fourth is missing, the fifth aside
	id := c[0].Replica
	foreign := func(seq uint64) event.Ref { return event.Ref{Replica: id, Seq: seq, Check: [8]byte{1}} }
	all := []Span{{id, 0, 1, 3}}
	tests := []struct {
		name  string
		peer  Vector
		ahead func(event.ReplicaID) bool
		want  []Span
	}{
		{"an empty peer", nil, anybody, all},
		{"a peer with one", Vector{c[0].Ref()}, anybody, []Span{{id, 0, 2, 3}}},
		{"a peer with all that is linked", Vector{c[2].Ref()}, nobody, nil},
		{"a peer with more, that may have gone on", Vector{c[5].Ref()}, anybody, nil},
		{"a peer with more, that can not have gone on", Vector{c[5].Ref()}, nobody, all},
		{"a peer with what is aside here", Vector{c[4].Ref()}, anybody, nil},
		{"another history, as long", Vector{foreign(3)}, anybody, all},
		{"another history, shorter", Vector{foreign(2)}, anybody, all},
		{"this history and another, longer", Vector{c[1].Ref(), foreign(7)}, anybody, []Span{{id, 0, 3, 3}}},
		{"two others, longer", Vector{foreign(7), foreign(8)}, anybody, all},
		{"every seq there is", Vector{foreign(event.MaxSeq)}, anybody, nil},
		{"an unknown replica", Vector{{Replica: event.ReplicaID{5}, Seq: 9}, c[1].Ref()}, anybody, []Span{{id, 0, 3, 3}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			peer := r.Know(tt.peer, tt.ahead)
			if got := r.Missing(&peer); !reflect.DeepEqual(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestBatchKeepsToTheBytesOfAFrame(t *testing.T) {
	a := &author{id: event.ReplicaID{9, 7: 9}}
	from, to := New(wallIdentity()), New(wallIdentity())
	for i := range 400 {
		take(t, from, dayStart, a.next(t, &event.Note{Text: fmt.Sprint(i) + strings.Repeat("語", 500)}))
	}
	peer := from.Know(to.Vector(), nobody)
	first := EncodeMessage(from.Batch(&peer).Message())
	if len(first) > MaxFrame || len(first) < MaxFrame-2_000 {
		t.Errorf("a full frame: got %d bytes, want a little below %d", len(first), MaxFrame)
	}
	if frames := drain(t, from, to); frames < 3 {
		t.Errorf("got %d frames, want 3 or more", frames)
	}
	if got, want := to.Vector(), (Vector{a.head.Ref()}); !reflect.DeepEqual(got, want) {
		t.Errorf("vector: got %v, want %v", got, want)
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
	var peer Peer
	for i, want := range []int{MaxFrameEvents, 10, 0} {
		if events := batched(t, from, &peer); len(events) != want {
			t.Fatalf("batch %d: got %d events, want %d", i, len(events), want)
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
			var peer Peer
			if tt.held > 0 {
				r.Raise(&peer, r.Own(tt.held).Ref())
			}
			got := map[event.ReplicaID]int{}
			for _, e := range batched(t, r, &peer) {
				got[e.Replica]++
			}
			if got[own] != tt.own || got[others] != tt.ofThese {
				t.Errorf("got %d own and %d of another, want %d and %d", got[own], got[others], tt.own, tt.ofThese)
			}
			upTo := tt.held + uint64(tt.own)
			for seq := uint64(1); seq <= 5; seq++ {
				if has := peer.Has(Place{own, 0, seq}); has != (seq <= upTo) {
					t.Errorf("the peer has %d: got %v, want %v", seq, has, seq <= upTo)
				}
			}
			r.HoldBack(0)
			if written, left := r.Mine(&peer); written != 5 || left != 5-int64(upTo) {
				t.Errorf("mine: got %d written, %d lacking, want 5, %d", written, left, 5-upTo)
			}
			if rest := r.Batch(&peer).Len(); rest != 5-int(upTo) {
				t.Errorf("let go: got %d more, want %d", rest, 5-upTo)
			}
		})
	}
}

func TestBodiesAreForwardedAsTheyCame(t *testing.T) {
	c := chainOf(t, 9, 3)
	from := New(wallIdentity())
	take(t, from, dayStart, c...)
	var peer Peer
	sameEvents(t, batched(t, from, &peer), c)
	last := c[2].Ref()
	for name, ref := range map[string]event.Ref{
		"beyond the last":  {Replica: last.Replica, Seq: 4, Check: last.Check},
		"before the first": {Replica: last.Replica, Seq: 0, Check: last.Check},
		"another check":    {Replica: last.Replica, Seq: 3, Check: [8]byte{1}},
		"another replica":  {Replica: event.ReplicaID{1}, Seq: 3, Check: last.Check},
	} {
		if e := from.Event(ref); e != nil {
			t.Errorf("%s: got %v, want none", name, e)
		}
	}
	if e := from.Event(last); e != c[2] {
		t.Errorf("the last: got %v, want it", e)
	}
}

// A vector comes from outside. Whatever it claims, the answer is a batch of
// what is held here, and the batches end.
func TestBatchForAnAbsurdVector(t *testing.T) {
	id := event.ReplicaID{9, 7: 9}
	c := chainOf(t, 9, 5)
	at := func(seq uint64) event.Ref { return event.Ref{Replica: id, Seq: seq, Check: [8]byte{byte(seq)}} }
	tests := []struct {
		name string
		peer Vector
	}{
		{"a head beyond every seq", Vector{at(1<<64 - 1)}},
		{"a head at zero", Vector{at(0)}},
		{"the same head twice", Vector{c[2].Ref(), c[2].Ref()}},
		{"going down", Vector{at(9), at(7), c[4].Ref(), c[0].Ref()}},
		{"an event and the one before it", Vector{c[3].Ref(), c[4].Ref()}},
		{"a replica of zeros", Vector{{Seq: 3}}},
	}
	for _, tt := range tests {
		for name, ahead := range map[string]func(event.ReplicaID) bool{"": nobody, ", may be ahead": anybody} {
			t.Run(tt.name+name, func(t *testing.T) {
				from := New(wallIdentity())
				take(t, from, dayStart, c...)
				peer := from.Know(tt.peer, ahead)
				sent := 0
				for batch := from.Batch(&peer); batch.Len() > 0; batch = from.Batch(&peer) {
					if sent += batch.Len(); sent > len(c) {
						t.Fatalf("sent %d events of %d", sent, len(c))
					}
				}
				if gaps := from.Gaps(tt.peer); len(gaps) > len(tt.peer) {
					t.Errorf("gaps: got %v", gaps)
				}
			})
		}
	}
}

// heads is a vector of so many histories, each with the longest seq there is.
func heads(n int) Vector {
	v := make(Vector, n)
	for i := range v {
		v[i] = event.Ref{Replica: event.ReplicaID{byte(i >> 8), byte(i), 7: 1}, Seq: event.MaxSeq, Check: [8]byte{0xFF}}
	}
	return v
}

// The largest vectors that a replica can have fit every message that carries them.
func TestTheLargestVectorsFitAFrame(t *testing.T) {
	v := heads(MaxHeads)
	links := LinksMessage{NowMs: event.MaxMs, Stored: v}
	for i := range MaxReplicas {
		links.Links = append(links.Links, LinkState{event.ReplicaID{byte(i >> 8), byte(i)}, event.MaxMs, true})
	}
	for name, m := range map[string]Message{
		"hello":   Hello{Protocol: Protocol, Session: testSession, Vector: v, Head: v[0], Heard: v},
		"welcome": Welcome{Vector: v, FrameBytes: MaxFrame, FrameEvents: MaxFrameEvents},
		"ack":     Ack{Stored: v},
		"links":   links,
	} {
		t.Run(name, func(t *testing.T) {
			frame := EncodeMessage(m)
			if len(frame) > MaxFrame {
				t.Errorf("got %d bytes, want at most %d", len(frame), MaxFrame)
			}
			if got, err := DecodeMessage(frame); err != nil || !bytes.Equal(EncodeMessage(got), frame) {
				t.Errorf("got %v, want it back", err)
			}
		})
	}
	if got, ok := ReadVector(WriteVector(v)); !ok || !reflect.DeepEqual(got, v) {
		t.Errorf("kept by a phone: got %d heads, %v, want it back", len(got), ok)
	}
}

// What is kept aside is in no vector: a hello stays as short as what is linked.
func TestWhatIsAsideIsNotClaimed(t *testing.T) {
	r := New(wallIdentity())
	for id := byte(1); id <= 3; id++ {
		c := chainOf(t, id, 1+MaxAside/2)
		take(t, r, dayStart, c[0])
		take(t, r, dayStart, c[2:]...)
	}
	hello := decoded(t, EncodeMessage(r.Hello([16]byte{}, nil))).(Hello)
	if len(hello.Vector) != 3 {
		t.Fatalf("got %d heads, want 3", len(hello.Vector))
	}
	for _, ref := range hello.Vector {
		if ref.Seq != 1 {
			t.Errorf("%v: got %d claimed, want 1", ref.Replica, ref.Seq)
		}
	}
}
