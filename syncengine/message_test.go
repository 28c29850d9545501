package syncengine

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// messages is one of each type, every field set.
func messages() map[string]Message {
	a, b := event.ReplicaID{1, 7: 9}, event.ReplicaID{2}
	head := event.Ref{Replica: a, Seq: 300, Check: [8]byte{0xAA, 7: 1}}
	vector := Vector{head, {Replica: a, Seq: 300, Check: [8]byte{0xAB}}, {Replica: b, Seq: 70_000, Check: [8]byte{7: 5}}}
	heard := Vector{{Replica: b, Seq: 69_999, Check: [8]byte{3}}}
	return map[string]Message{
		"hello":   Hello{Protocol: 1, Session: testSession, Vector: vector, Head: head, Epoch: [16]byte{3, 15: 4}, Heard: heard},
		"welcome": Welcome{Epoch: [16]byte{5}, Vector: vector, FrameBytes: MaxFrame, FrameEvents: MaxFrameEvents},
		"events":  Events{[]byte{1, 2, 3}},
		"ack": Ack{Vector{{Replica: a, Seq: 9}, {Replica: b, Seq: 1 << 33, Check: [8]byte{9}}},
			[]Refusal{{a, 10, fault.New(fault.TooMuch, "histories-many").WithInt("max", MaxLines)}, {b, 2, fault.New(fault.Denied, "other-session")}}},
		"links":   LinksMessage{[]LinkState{{a, dayStart, true}, {b, -1, false}}, dayStart + 5, vector},
		"ping":    Ping{},
		"pong":    Pong{head, event.StartID{4, 7: 1}, dayStart + 9, 77},
		"trouble": Trouble{fault.New(fault.Unavailable, "shutting-down")},
		"unknown": Unknown{4711},
	}
}

func decoded(t failer, frame []byte) Message {
	t.Helper()
	m, err := DecodeMessage(frame)
	if err != nil {
		t.Fatalf("decode %x: %v", frame, err)
	}
	return m
}

func TestMessagesRoundTrip(t *testing.T) {
	for name, m := range messages() {
		t.Run(name, func(t *testing.T) {
			if got := decoded(t, EncodeMessage(m)); !reflect.DeepEqual(got, m) {
				t.Errorf("got %+v, want %+v", got, m)
			}
		})
	}
}

func TestEmptyMessagesRoundTrip(t *testing.T) {
	for name, m := range map[string]Message{
		"hello": Hello{}, "welcome": Welcome{}, "events": Events{}, "ack": Ack{}, "links": LinksMessage{},
		"ping": Ping{}, "pong": Pong{}, "trouble": Trouble{new(fault.Fault)}, "unknown": Unknown{0},
	} {
		t.Run(name, func(t *testing.T) {
			frame := EncodeMessage(m)
			got := decoded(t, frame)
			if reflect.TypeOf(got) != reflect.TypeOf(m) || !bytes.Equal(EncodeMessage(got), frame) {
				t.Errorf("got %+v, want %+v", got, m)
			}
		})
	}
}

// drawVector is any vector: of some replicas one head, of some several.
func drawVector(rt *rapid.T) Vector {
	v := Vector{}
	for i := range rapid.IntRange(0, 6).Draw(rt, "replicas") {
		id := event.ReplicaID{byte(i), 7: rapid.Byte().Draw(rt, "id")}
		for range rapid.IntRange(1, 4).Draw(rt, "heads") {
			v = append(v, event.Ref{Replica: id, Seq: rapid.Uint64Range(1, event.MaxSeq).Draw(rt, "seq"), Check: [8]byte{rapid.Byte().Draw(rt, "check")}})
		}
	}
	slices.SortFunc(v, event.CompareRef)
	return slices.Compact(v)
}

func TestVectorsRoundTrip(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		want, other := drawVector(rt), drawVector(rt)
		hello := decoded(rt, EncodeMessage(Hello{Vector: want, Heard: other})).(Hello)
		for name, got := range map[string]Vector{
			"hello":   hello.Vector,
			"welcome": decoded(rt, EncodeMessage(Welcome{Vector: want})).(Welcome).Vector,
			"ack":     decoded(rt, EncodeMessage(Ack{Stored: want})).(Ack).Stored,
			"links":   decoded(rt, EncodeMessage(LinksMessage{Stored: want})).(LinksMessage).Stored,
		} {
			if !reflect.DeepEqual(got, want) {
				rt.Fatalf("%s: got %v, want %v", name, got, want)
			}
		}
		if !reflect.DeepEqual(hello.Heard, other) {
			rt.Fatalf("heard: got %v, want %v", hello.Heard, other)
		}
		if got, ok := ReadVector(WriteVector(want)); !ok || !reflect.DeepEqual(got, want) {
			rt.Fatalf("kept by a phone: got %v, %v, want %v", got, ok, want)
		}
	})
}

// What a phone kept of a vector may be torn, or nothing.
func TestReadVectorOfOtherBytes(t *testing.T) {
	whole := WriteVector(Vector{{Replica: event.ReplicaID{1}, Seq: 9, Check: [8]byte{2}}})
	tests := map[string][]byte{
		"nothing": nil, "an empty map": {0xA0}, "one byte more": append(slices.Clone(whole), 0),
		"a message": EncodeMessage(Ping{}), "seq 0": WriteVector(Vector{{Replica: event.ReplicaID{1}}}),
	}
	for n := range whole {
		tests[fmt.Sprintf("%d of %d bytes", n, len(whole))] = whole[:n]
	}
	for name, b := range tests {
		if got, ok := ReadVector(b); ok {
			t.Errorf("%s: got %v, want nothing that can be read", name, got)
		}
	}
}

// withEntry adds one entry behind all others: a key that nobody knows.
func withEntry(frame []byte, value func(*event.Writer)) []byte {
	out := append([]byte(nil), frame...)
	out[0]++
	w := event.NewWriter(out)
	w.Uint(4_000_000_000)
	value(w)
	return w.Out()
}

func TestUnknownKeysArePassedOver(t *testing.T) {
	values := map[string]func(*event.Writer){
		"number":    func(w *event.Writer) { w.Uint(5) },
		"below 0":   func(w *event.Writer) { w.Int(-500) },
		"bytes":     func(w *event.Writer) { w.Bytes([]byte{1, 2}) },
		"text":      func(w *event.Writer) { w.Text("später") },
		"truth":     func(w *event.Writer) { w.Bool(false) },
		"four deep": func(w *event.Writer) { nest(w, event.MaxDepth) },
		"map":       func(w *event.Writer) { w.Map(2); w.Uint(0); w.Uint(1); w.Uint(1); w.Array(0) },
	}
	for name, m := range messages() {
		for kind, value := range values {
			t.Run(name+", "+kind, func(t *testing.T) {
				if got := decoded(t, withEntry(EncodeMessage(m), value)); !reflect.DeepEqual(got, m) {
					t.Errorf("got %+v, want %+v", got, m)
				}
			})
		}
	}
}

// nest writes arrays of one item inside each other.
func nest(w *event.Writer, depth int) {
	for range depth {
		w.Array(1)
	}
	w.Uint(0)
}

// framed writes a map of n entries by hand.
func framed(n int, write func(*event.Writer)) []byte {
	w := event.NewWriter(nil)
	w.Map(n)
	write(w)
	return w.Out()
}

func TestRefusedFrames(t *testing.T) {
	hello := EncodeMessage(messages()["hello"])
	tests := []struct {
		name  string
		frame []byte
		code  fault.Code
	}{
		{"nothing", nil, "frame-damaged"},
		{"a number", []byte{0x01}, "frame-damaged"},
		{"an array", []byte{0x82, 0x01, 0x06}, "frame-damaged"},
		{"an empty map", []byte{0xA0}, "frame-damaged"},
		{"a first key of 2", framed(1, func(w *event.Writer) { w.Uint(2); w.Uint(typePing) }), "frame-damaged"},
		{"a type in words", framed(1, func(w *event.Writer) { w.Uint(1); w.Text("ping") }), "frame-damaged"},
		{"a key in words", framed(2, func(w *event.Writer) { w.Uint(1); w.Uint(typePing); w.Text("x"); w.Uint(0) }), "frame-damaged"},
		{"keys that go down", framed(3, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typeWelcome)
			w.Uint(8)
			w.Uint(1)
			w.Uint(7)
			w.Uint(1)
		}), "frame-damaged"},
		{"a key twice", framed(3, func(w *event.Writer) {
			w.Uint(1)
			w.Uint(typePing)
			w.Uint(9)
			w.Uint(1)
			w.Uint(9)
			w.Uint(1)
		}), "frame-damaged"},
		{"the type twice", framed(2, func(w *event.Writer) { w.Uint(1); w.Uint(typePing); w.Uint(1); w.Uint(typePing) }), "frame-damaged"},
		{"a longer head than needed", []byte{0xA1, 0x01, 0x18, 0x06}, "frame-damaged"},
		{"a map without an end", []byte{0xBF, 0x01, 0x06, 0xFF}, "frame-damaged"},
		{"a fraction", []byte{0xA2, 0x01, 0x06, 0x02, 0xF9, 0x3C, 0x00}, "frame-damaged"},
		{"null", []byte{0xA2, 0x01, 0x06, 0x02, 0xF6}, "frame-damaged"},
		{"trailing bytes", append(append([]byte(nil), hello...), 0), "frame-damaged"},
		{"a known key of another type", framed(2, func(w *event.Writer) { w.Uint(1); w.Uint(typeEvents); w.Uint(2); w.Uint(3) }), "frame-damaged"},
		{"a short id", framed(2, func(w *event.Writer) { w.Uint(1); w.Uint(typeHello); w.Uint(3); w.Bytes([]byte{1}) }), "frame-damaged"},
		{"more entries than bytes", []byte{0xBA, 0xFF, 0xFF, 0xFF, 0xFF, 0x01, 0x06}, "frame-damaged"},
		{"more rows than bytes", []byte{0xA2, 0x01, 0x03, 0x02, 0x5A, 0xFF, 0xFF, 0xFF, 0xFF}, "frame-damaged"},
		{"five deep in an unknown key", withEntry(hello, func(w *event.Writer) { nest(w, event.MaxDepth+1) }), "frame-damaged"},
		{"very deep in an unknown key", withEntry(hello, func(w *event.Writer) { nest(w, 100_000) }), "frame-damaged"},
		{"words that are not UTF-8", withEntry(hello, func(w *event.Writer) { w.Text("\xff") }), "frame-damaged"},
		{"too many bytes", EncodeMessage(Events{make([]byte, MaxFrame)}), "frame-long"},
		{"a byte too many", framedTo(MaxFrame + 1), "frame-long"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, err := DecodeMessage(tt.frame)
			wantCode(t, "frame", err, tt.code)
			if m != nil {
				t.Errorf("got message %+v beside the fault", m)
			}
		})
	}
}

// framedTo is an events message of exactly size bytes.
func framedTo(size int) []byte {
	overhead := len(EncodeMessage(Events{make([]byte, 70_000)})) - 70_000
	return EncodeMessage(Events{make([]byte, size-overhead)})
}

func TestFramesAtTheirBounds(t *testing.T) {
	if frame := framedTo(MaxFrame); len(frame) != MaxFrame || decoded(t, frame) == nil {
		t.Errorf("got %d bytes, want %d", len(frame), MaxFrame)
	}
}

func TestTruncatedAtEveryByte(t *testing.T) {
	for name, m := range messages() {
		frame := EncodeMessage(m)
		for n := range frame {
			if got, err := DecodeMessage(frame[:n]); !fault.Is(err, "frame-damaged") {
				t.Errorf("%s, %d of %d bytes: got %+v, %v, want frame-damaged", name, n, len(frame), got, err)
			}
		}
	}
}
