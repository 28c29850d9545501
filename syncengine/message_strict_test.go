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
		{"two thirds of a head", framed(3, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typeHello)
			w.Uint(4)
			w.Array(2)
			w.Bytes(id[:])
			w.Uint(5) // the check is missing, or this is the key of the head
			w.Array(0)
		})},
		{"a head and a third", framed(2, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typeWelcome)
			w.Uint(4)
			w.Array(4)
			writeParts(w, event.Ref{Replica: id, Seq: 1})
			w.Bytes(id[:])
		})},
		{"a short check", framed(2, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typeAck)
			w.Uint(2)
			w.Array(3)
			w.Bytes(id[:])
			w.Uint(1)
			w.Bytes(id[:7])
		})},
		{"a head of two parts", framed(2, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typePong)
			w.Uint(2)
			w.Array(2)
			w.Bytes(id[:])
			w.Uint(1)
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

// A vector has one form: its heads ascend, none twice, none empty.
func TestRefusedVectors(t *testing.T) {
	a, b := event.ReplicaID{1}, event.ReplicaID{2}
	at := func(id event.ReplicaID, seq uint64, check byte) event.Ref {
		return event.Ref{Replica: id, Seq: seq, Check: [8]byte{check}}
	}
	tests := []struct {
		name string
		v    Vector
		ok   bool
	}{
		{"none", nil, true},
		{"two replicas", Vector{at(a, 10, 1), at(b, 4, 1)}, true},
		{"two histories of one, as long", Vector{at(a, 10, 1), at(a, 10, 2)}, true},
		{"two histories of one", Vector{at(a, 3, 9), at(a, 10, 2)}, true},
		{"the last seq", Vector{at(a, event.MaxSeq, 0)}, true},
		{"as many as there can be", heads(MaxHeads), true},
		{"seq 0", Vector{at(a, 0, 1)}, false},
		{"beyond the last seq", Vector{at(a, event.MaxSeq+1, 1)}, false},
		{"replicas going down", Vector{at(b, 4, 1), at(a, 10, 1)}, false},
		{"seqs going down", Vector{at(a, 10, 1), at(a, 4, 1)}, false},
		{"checks going down", Vector{at(a, 10, 2), at(a, 10, 1)}, false},
		{"twice", Vector{at(a, 10, 1), at(a, 10, 1)}, false},
		{"too many", heads(MaxHeads + 1), false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for name, m := range map[string]Message{"hello": Hello{Vector: tt.v}, "heard": Hello{Heard: tt.v},
				"welcome": Welcome{Vector: tt.v}, "ack": Ack{Stored: tt.v}, "links": LinksMessage{Stored: tt.v}} {
				got, err := DecodeMessage(EncodeMessage(m))
				if tt.ok && err != nil || !tt.ok && !fault.Is(err, "frame-damaged") {
					t.Errorf("%s: got %v, %v, want accepted %v", name, got != nil, err, tt.ok)
				}
			}
			if _, ok := ReadVector(WriteVector(tt.v)); ok != tt.ok {
				t.Errorf("kept by a phone: got %v, want %v", ok, tt.ok)
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
			if m != nil || code != "frame-damaged" && code != "frame-long" {
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
