package event_test

import (
	"bytes"
	"crypto/sha256"
	"math"
	"reflect"
	"strings"
	"testing"

	"rootledger/shared/event"
)

// first turns a layout into that of a replica's first event.
func first(body map[uint64]any) {
	of := eventOf(&event.Opened{})
	delete(body, 3)
	body[2], body[10], body[11] = uint64(1), of.Session[:], of.Phone[:]
}

func TestDecodeAcceptsEnvelopes(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(body map[uint64]any)
	}{
		{"as it is", func(map[uint64]any) {}},
		{"first", first},
		{"last seq", func(b map[uint64]any) { b[2] = uint64(event.MaxSeq) }},
		{"no times", func(b map[uint64]any) {
			for key := uint64(4); key <= 7; key++ {
				delete(b, key)
			}
		}},
		{"times written as zero", func(b map[uint64]any) {
			b[4], b[5], b[6], b[7] = uint64(0), uint64(0), make([]byte, 8), uint64(0)
		}},
		{"largest stamp", func(b map[uint64]any) { b[4] = uint64(math.MaxUint64) }},
		{"absent values written as zero", func(b map[uint64]any) {
			b[10], b[11], b[12] = make([]byte, 16), make([]byte, 16), false
		}},
		{"largest kind", func(b map[uint64]any) { b[8] = uint64(math.MaxUint16) }},
		{"nested as deep as allowed", func(b map[uint64]any) { b[13] = []any{[]any{[]any{}}} }},
		{"fact nested as deep as allowed", func(b map[uint64]any) { b[9] = map[uint64]any{1: []any{[]any{}}} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			layout := envelope(11)
			c.change(layout)
			body := encode(t, layout)
			e, err := event.Decode(body)
			if err != nil {
				t.Fatalf("got %v, want no fault", err)
			}
			same(t, "body", string(e.Body), string(body))
			same(t, "hash", e.Hash, event.Hash(sha256.Sum256(body)))
			same(t, "ref", e.Ref(), event.Ref{Replica: e.Replica, Seq: e.Seq, Check: [8]byte(e.Hash[:8])})
		})
	}
}

func TestDecodeRefusesEnvelopes(t *testing.T) {
	set := func(key uint64, v any) func(map[uint64]any) { return func(b map[uint64]any) { b[key] = v } }
	drop := func(key uint64) func(map[uint64]any) { return func(b map[uint64]any) { delete(b, key) } }
	both := func(f, g func(map[uint64]any)) func(map[uint64]any) { return func(b map[uint64]any) { f(b); g(b) } }
	some := []byte("0123456789abcdef")
	for _, c := range []struct {
		name   string
		change func(map[uint64]any)
		want   string
	}{
		{"no seq", drop(2), "damaged:envelope"},
		{"seq 0", set(2, uint64(0)), "damaged:envelope"},
		{"seq above the last", set(2, uint64(event.MaxSeq+1)), "damaged:envelope"},
		{"no prev", drop(3), "damaged:envelope"},
		{"prev of zeros", set(3, make([]byte, 32)), "damaged:envelope"},
		{"no kind", drop(8), "damaged:envelope"},
		{"kind 0", set(8, uint64(0)), "damaged:envelope"},
		{"no fact", drop(9), "damaged:fact"},
		{"first with prev", both(first, set(3, bytes.Repeat(some, 2))), "damaged:envelope"},
		{"first without session", both(first, drop(10)), "damaged:envelope"},
		{"first without phone", both(first, drop(11)), "damaged:envelope"},
		{"later with session", set(10, some), "damaged:envelope"},
		{"later with phone", set(11, some), "damaged:envelope"},

		{"short replica", set(1, some[:7]), "damaged:length"},
		{"long replica", set(1, some[:9]), "damaged:length"},
		{"short prev", set(3, some), "damaged:length"},
		{"negative seq", set(2, int64(-1)), "damaged:type"},
		{"text for a stamp", set(4, "now"), "damaged:type"},
		{"negative wall time", set(5, int64(-1)), "damaged:type"},
		{"number for late", set(12, uint64(1)), "damaged:type"},
		{"kind above 16 bits", set(8, uint64(1<<16+11)), "damaged:range"},

		{"too deep", set(13, []any{[]any{[]any{[]any{}}}}), "damaged:depth"},
		{"fact too deep", set(9, map[uint64]any{1: []any{[]any{[]any{}}}}), "damaged:depth"},
		{"float in an unknown key", set(13, 1.5), "damaged:form"},
		{"null in an unknown key", set(13, nil), "damaged:type"},
		{"null in the fact", set(9, map[uint64]any{1: nil}), "damaged:type"},
		{"text key in the fact", set(9, map[string]any{"1": true}), "damaged:type"},
	} {
		t.Run(c.name, func(t *testing.T) {
			layout := envelope(11)
			c.change(layout)
			e, err := event.Decode(encode(t, layout))
			if e != nil || whatOf(err) != c.want {
				t.Errorf("got %v %q, want %q", e, whatOf(err), c.want)
			}
		})
	}
}

// An event's place is its replica and its seq: one without a replica has none.
func TestDecodeRefusesNoReplica(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(map[uint64]any)
	}{
		{"absent", func(b map[uint64]any) { delete(b, 1) }},
		{"zeros", func(b map[uint64]any) { b[1] = make([]byte, 8) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			layout := envelope(11)
			c.change(layout)
			if _, err := event.Decode(encode(t, layout)); whatOf(err) != "damaged:envelope" {
				t.Errorf("got %q, want damaged:envelope", whatOf(err))
			}
		})
	}
}

func TestDecodeRefusesBytes(t *testing.T) {
	body := sealed(t, &event.Note{Text: "x"}).Body
	for n := range body {
		if _, err := event.Decode(body[:n]); whatOf(err) != "damaged:short" {
			t.Errorf("first %d of %d bytes: got %q, want damaged:short", n, len(body), whatOf(err))
		}
	}
	for _, c := range []struct{ name, bytes, want string }{
		{"a byte behind", string(body) + "\x00", "damaged:trailing"},
		{"not a map", "\x80", "damaged:type"},
		{"known key twice", "\xa2\x02\x07\x02\x07", "damaged:order"},
		{"unknown key twice", "\xa2\x00\x07\x00\x07", "damaged:order"},
		{"keys that descend", "\xa2\x02\x07\x01\x40", "damaged:order"},
		{"text key", "\xa1\x611\x07", "damaged:type"},
		{"empty map", "\xa0", "damaged:fact"},
		{"too long", strings.Repeat("\xa0", event.MaxBody+1), "damaged:long"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, err := event.Decode([]byte(c.bytes))
			if e != nil || whatOf(err) != c.want {
				t.Errorf("got %v %q, want %q", e, whatOf(err), c.want)
			}
		})
	}
}

func TestDecodeLongestBody(t *testing.T) {
	layout := envelope(200)
	pad := event.MaxBody - len(encode(t, layout)) - 4 // a key below 24 and a head of three bytes
	layout[13] = make([]byte, pad)
	body := encode(t, layout)
	same(t, "length", len(body), event.MaxBody)
	if _, err := event.Decode(body); err != nil {
		t.Errorf("at the bound: got %v, want no fault", err)
	}
	layout[13] = make([]byte, pad+1)
	_, err := event.Decode(encode(t, layout))
	same(t, "above the bound", whatOf(err), "damaged:long")
}

// What Seal lets pass, Decode reads back as it was; Seal refuses all else.
func TestSealedReadsBack(t *testing.T) {
	far := event.Ref{Replica: event.ReplicaID{1}, Seq: event.MaxSeq + 1}
	opening := eventOf(&event.Opened{})
	for _, c := range []struct {
		name   string
		fact   event.Fact
		change func(*event.Event)
		want   string
	}{
		{"nothing changed", &event.Ended{}, func(*event.Event) {}, ""},
		{"last seq", &event.Ended{}, func(e *event.Event) { e.Seq = event.MaxSeq }, ""},
		{"largest times", &event.Ended{}, func(e *event.Event) {
			e.Stamp, e.WallMs, e.SinceMs = math.MaxUint64, math.MaxInt64, math.MaxUint64
		}, ""},
		{"no times", &event.Ended{}, func(e *event.Event) {
			e.Stamp, e.WallMs, e.SinceMs, e.Start = 0, 0, 0, event.StartID{}
		}, ""},
		{"seq 0", &event.Ended{}, func(e *event.Event) { e.Seq = 0 }, "damaged:envelope"},
		{"seq above the last", &event.Ended{}, func(e *event.Event) { e.Seq = event.MaxSeq + 1 }, "damaged:envelope"},
		{"wall time before 1970", &event.Ended{}, func(e *event.Event) { e.WallMs = -1 }, "damaged:envelope"},
		{"no replica", &event.Ended{}, func(e *event.Event) { e.Replica = event.ReplicaID{} }, "damaged:envelope"},
		{"first without session and phone", &event.Ended{}, func(e *event.Event) { e.Seq, e.Prev = 1, event.Hash{} }, "damaged:envelope"},
		{"first with prev", &event.Ended{}, func(e *event.Event) {
			e.Seq, e.Session, e.Phone = 1, opening.Session, opening.Phone
		}, "damaged:envelope"},
		{"later without prev", &event.Ended{}, func(e *event.Event) { e.Prev = event.Hash{} }, "damaged:envelope"},
		{"later with session", &event.Ended{}, func(e *event.Event) { e.Session = opening.Session }, "damaged:envelope"},
		{"zero reference in a list", &event.Restore{Target: refTo(1), Voids: make([]event.Ref, 1)}, func(*event.Event) {}, "damaged:envelope"},
		{"zero edit to replace", &event.Yield{PerMille: 1, Supersedes: make([]event.Ref, 1)}, func(*event.Event) {}, "damaged:envelope"},
		{"reference above the last seq", &event.PassEnded{Pass: far}, func(*event.Event) {}, "damaged:envelope"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := eventOf(c.fact)
			c.change(e)
			same(t, "seal", whatOf(e.Seal()), c.want)
			if c.want != "" {
				same(t, "body", len(e.Body), 0)
				return
			}
			got, err := event.Decode(e.Body)
			if err != nil {
				t.Fatalf("sealed, but decode: %v", err)
			}
			if !reflect.DeepEqual(got, e) {
				t.Errorf("got %#v at %d, want %#v at %d", got.Fact, got.WallMs, e.Fact, e.WallMs)
			}
		})
	}
}
