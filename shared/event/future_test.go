package event_test

import (
	"crypto/sha256"
	"reflect"
	"testing"

	"rootledger/shared/event"
)

// Bodies of a later version of the format, made by the other library.

const (
	unknownGolden = "200-unknown.v1"
	extraGolden   = "33-attempt-extra.v1"
)

func unknownBody(t testing.TB) []byte {
	body := envelope(200)
	body[0] = uint64(5)
	body[9] = map[uint64]any{0: "first", 1: []any{uint64(1), int64(-2)}, 900: map[uint64]any{7: []byte{1, 2, 3}}}
	body[13] = map[uint64]any{1: "new in the envelope"}
	body[70_000] = []any{true, int64(-1), []byte{}}
	return encode(t, body)
}

func extraBody(t testing.TB) []byte {
	pass := refTo(5)
	body := envelope(33)
	body[9] = map[uint64]any{0: "first", 1: []any{pass.Replica[:], pass.Seq, pass.Check[:]}, 3: uint64(1), 4: uint64(9),
		5: int64(-40), 24: []any{uint64(1)}, 1000: map[uint64]any{1: "later"}}
	return encode(t, body)
}

func decodeGolden(t *testing.T, name string) *event.Event {
	t.Helper()
	body := readGolden(t, name)
	e, err := event.Decode(body)
	if err != nil {
		t.Fatalf("decode: %v", err)
	}
	if string(e.Body) != string(body) {
		t.Errorf("body: got %x, want %x", e.Body, body)
	}
	same(t, "hash", e.Hash, event.Hash(sha256.Sum256(body)))
	want := eventOf(&event.Ended{})
	want.Fact, want.Body, want.Hash = e.Fact, e.Body, e.Hash
	if !reflect.DeepEqual(e, want) {
		t.Errorf("envelope: got %+v, want %+v", e, want)
	}
	return e
}

func TestUnknownKindIsKept(t *testing.T) {
	compareGolden(t, unknownGolden, unknownBody(t))
	e := decodeGolden(t, unknownGolden)
	if want := (&event.Unread{Of: 200}); !reflect.DeepEqual(e.Fact, event.Fact(want)) {
		t.Errorf("fact: got %#v, want %#v", e.Fact, want)
	}
	same(t, "kind", e.Fact.Kind().String(), "kind 200")
	same(t, "valid", codeOf(e.Valid()), "kind-unknown")
	same(t, "seal", codeOf(e.Seal()), "kind-unknown")
	same(t, "needs", len(e.Needs(nil)), 0)
}

func TestUnknownKeysArePassedOver(t *testing.T) {
	compareGolden(t, extraGolden, extraBody(t))
	e := decodeGolden(t, extraGolden)
	want := &event.Attempt{Pass: refTo(5), Outcome: event.Intact, N: 9}
	if !reflect.DeepEqual(e.Fact, event.Fact(want)) {
		t.Errorf("fact: got %#v, want %#v", e.Fact, want)
	}
	same(t, "valid", e.Valid(), nil)
}

// No key is special: the largest one is as unknown as any other.
func TestLargestKeyIsPassedOver(t *testing.T) {
	const largest = 1<<64 - 1
	t.Run("envelope", func(t *testing.T) {
		body := envelope(11)
		body[largest] = true
		if _, err := event.Decode(encode(t, body)); err != nil {
			t.Errorf("got %v, want no fault", err)
		}
	})
	t.Run("fact", func(t *testing.T) {
		body := envelope(71)
		body[9] = map[uint64]any{1: true, largest: true}
		e, err := event.Decode(encode(t, body))
		if err != nil {
			t.Fatalf("got %v, want no fault", err)
		}
		if want := event.Fact(&event.Resumed{Room: true}); !reflect.DeepEqual(e.Fact, want) {
			t.Errorf("fact: got %#v, want %#v", e.Fact, want)
		}
	})
}

// Known kinds in a shape that this version does not expect: kept, not read.
func TestStrangeFactsAreUnread(t *testing.T) {
	pass := refTo(5)
	good := []any{pass.Replica[:], pass.Seq, pass.Check[:]}
	for _, c := range []struct {
		name string
		kind uint64
		fact any
	}{
		{"number for a map", 33, uint64(1)},
		{"array for a map", 33, []any{}},
		{"text for a number", 33, map[uint64]any{1: good, 3: "intact", 4: uint64(1)}},
		{"negative number", 33, map[uint64]any{1: good, 3: uint64(1), 4: int64(-1)}},
		{"outcome above 8 bits", 33, map[uint64]any{1: good, 3: uint64(257), 4: uint64(1)}},
		{"count above 32 bits", 33, map[uint64]any{1: good, 3: uint64(1), 4: uint64(1<<32 + 1)}},
		{"reference of two parts", 31, map[uint64]any{1: good[:2]}},
		{"reference of four parts", 31, map[uint64]any{1: append(good[:3:3], uint64(1))}},
		{"reference with a short replica", 31, map[uint64]any{1: []any{pass.Replica[:7], pass.Seq, pass.Check[:]}}},
		{"reference with a long check", 31, map[uint64]any{1: []any{pass.Replica[:], pass.Seq, make([]byte, 9)}}},
		{"reference to seq 0", 31, map[uint64]any{1: []any{pass.Replica[:], uint64(0), pass.Check[:]}}},
		{"reference above the last seq", 31, map[uint64]any{1: []any{pass.Replica[:], uint64(event.MaxSeq + 1), pass.Check[:]}}},
		{"number for a flag", 71, map[uint64]any{1: uint64(1)}},
		{"bytes for a text", 72, map[uint64]any{1: []byte("note")}},
		{"number for a list", 10, map[uint64]any{3: uint64(1)}},
		{"station above 8 bits", 10, map[uint64]any{3: []any{uint64(256)}}},
		{"text in a list", 42, map[uint64]any{3: []any{"1"}}},
		{"mix above 16 bits", 21, map[uint64]any{5: uint64(1 << 16)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			body := envelope(c.kind)
			body[9] = c.fact
			e, err := event.Decode(encode(t, body))
			if err != nil {
				t.Fatalf("decode: %v", err)
			}
			if want := event.Fact(&event.Unread{Of: event.Kind(c.kind)}); !reflect.DeepEqual(e.Fact, want) {
				t.Errorf("fact: got %#v, want %#v", e.Fact, want)
			}
			same(t, "valid", codeOf(e.Valid()), "kind-unknown")
		})
	}
}
