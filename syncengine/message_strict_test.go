package syncengine

import (
	"bytes"
	"reflect"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// One message has one encoding: a frame that could be read in two ways, or
// that says more than is kept of it, is refused.
func TestFramesThatCanBeReadInTwoWays(t *testing.T) {
	id := event.ReplicaID{9}
	tests := []struct {
		name  string
		frame []byte
	}{
		{"half a pair in the highest seqs", framed(3, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typeHello)
			w.Uint(4)
			w.Array(1)
			w.Uint(5) // the item of the list, or the key of the holes
			w.Array(0)
		})},
		{"a third of a hole", framed(3, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typeWelcome)
			w.Uint(5)
			w.Array(1)
			w.Uint(7) // the item of the list, or the key of the bytes
			w.Uint(9)
		})},
		{"a replica twice", framed(2, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typeHello)
			w.Uint(4)
			w.Array(4)
			for seq := range uint64(2) {
				w.Bytes(id[:])
				w.Uint(seq + 1)
			}
		})},
		{"a fault's kind beyond a byte", framed(3, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typeTrouble)
			w.Uint(2)
			w.Uint(256 + uint64(fault.Denied))
			w.Uint(3)
			w.Text("x")
		})},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, err := DecodeMessage(tt.frame)
			if !fault.Is(err, "frame-damaged") {
				t.Errorf("got %+v, %v, want frame-damaged", m, err)
			}
		})
	}
}

// A vector has one form: its holes ascend, lie apart and end below the highest
// seq, for that one is held.
func TestRefusedVectors(t *testing.T) {
	a, b := event.ReplicaID{1}, event.ReplicaID{2}
	tests := []struct {
		name  string
		holes []Span
		ok    bool
	}{
		{"none", nil, true},
		{"two replicas", []Span{{a, 1, 3}, {a, 5, 9}, {b, 2, 2}}, true},
		{"from zero", []Span{{a, 0, 3}}, false},
		{"ends before it begins", []Span{{a, 4, 3}}, false},
		{"up to the highest seq", []Span{{a, 4, 10}}, false},
		{"beyond the highest seq", []Span{{a, 4, 1<<64 - 1}}, false},
		{"of an unknown replica", []Span{{event.ReplicaID{3}, 1, 1}}, false},
		{"going down", []Span{{a, 5, 6}, {a, 2, 3}}, false},
		{"overlapping", []Span{{a, 2, 4}, {a, 4, 6}}, false},
		{"twice", []Span{{a, 2, 4}, {a, 2, 4}}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v := Vector{map[event.ReplicaID]uint64{a: 10, b: 4}, tt.holes}
			for _, m := range []Message{Hello{Vector: v}, Welcome{Vector: v}} {
				got, err := DecodeMessage(EncodeMessage(m))
				if tt.ok && err != nil || !tt.ok && !fault.Is(err, "frame-damaged") {
					t.Errorf("got %+v, %v, want accepted %v", got, err, tt.ok)
				}
			}
		})
	}
}

func FuzzDecodeMessage(f *testing.F) {
	for _, m := range messages() {
		frame := EncodeMessage(m)
		f.Add(frame)
		f.Add(withEntry(frame, func(w *event.Writer) { nest(w, 3) }))
		f.Add(frame[:len(frame)-1])
	}
	f.Add([]byte{})
	f.Add([]byte{0xA0})
	f.Fuzz(func(t *testing.T, frame []byte) {
		m, err := DecodeMessage(frame)
		if err != nil {
			code := fault.Of(err).Code
			if m != nil || code != "frame-damaged" && code != "frame-events" && code != "frame-long" {
				t.Fatalf("got %+v, %v", m, err)
			}
			return
		}
		once := EncodeMessage(m)
		if len(once) > MaxFrame {
			return // keys that the frame left out are written
		}
		again, err := DecodeMessage(once)
		if err != nil {
			t.Fatalf("%+v as %x: %v", m, once, err)
		}
		if reflect.TypeOf(again) != reflect.TypeOf(m) || !bytes.Equal(EncodeMessage(again), once) {
			t.Fatalf("got %+v, want %+v", again, m)
		}
	})
}
