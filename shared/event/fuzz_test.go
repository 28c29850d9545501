package event_test

import (
	"bytes"
	"crypto/sha256"
	"reflect"
	"testing"

	"rootledger/shared/event"
)

func FuzzReader(f *testing.F) {
	for _, fact := range goldenFacts {
		f.Add(readGolden(f, goldenName(fact.Kind())))
	}
	f.Add(readGolden(f, unknownGolden))
	for _, c := range refused {
		if b := unhex(c.bytes); len(b) < 100 {
			f.Add(b)
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) { agree(t, b) })
}

func FuzzDecode(f *testing.F) {
	known := make(map[event.Kind]map[any]any)
	for _, fact := range goldenFacts {
		body := readGolden(f, goldenName(fact.Kind()))
		known[fact.Kind()] = layoutOf(f, body)[uint64(9)].(map[any]any)
		f.Add(body)
		f.Add(event.Encode(eventOf(event.New(fact.Kind()))))
	}
	f.Add(readGolden(f, unknownGolden))
	f.Add(readGolden(f, extraGolden))
	f.Fuzz(func(t *testing.T, body []byte) {
		kept := bytes.Clone(body)
		e, err := event.Decode(body)
		if err != nil {
			if e != nil || codeOf(err) != "damaged" {
				t.Fatalf("refused: got %v, %v, want no event and damage", e, err)
			}
			return
		}
		agree(t, body)
		if !bytes.Equal(e.Body, kept) || e.Hash != sha256.Sum256(kept) {
			t.Fatalf("body: got %x with hash %s, want the input %x", e.Body, e.Hash, kept)
		}
		for _, need := range e.Needs(nil) {
			if need.Ref.IsZero() || need.Kind == 0 {
				t.Fatalf("needs: got %+v, want a reference and a kind", need)
			}
		}
		_, unread := e.Fact.(*event.Unread)
		if unread && e.Valid() == nil {
			t.Fatal("valid: got no fault, want one for an unread fact")
		}
		again := event.Encode(e)
		sameEvent(t, e, again, unread)
		const wall = 1 << 63 // larger than Event holds
		layout := layoutOf(t, body)
		if ms, _ := layout[uint64(5)].(uint64); unread || ms >= wall {
			return
		}
		if want := encode(t, pruned(layout, known[e.Fact.Kind()])); !bytes.Equal(again, want) {
			t.Fatalf("encoded again: got %x, want %x", again, want)
		}
	})
}

// sameEvent decodes what e was encoded to and expects e again; of an unread
// fact only the kind is left.
func sameEvent(t *testing.T, e *event.Event, again []byte, unread bool) {
	t.Helper()
	got, err := event.Decode(again)
	if err != nil {
		t.Fatalf("decode of %x: %v", again, err)
	}
	if got.Fact.Kind() != e.Fact.Kind() {
		t.Fatalf("kind: got %v, want %v", got.Fact.Kind(), e.Fact.Kind())
	}
	want := *e
	want.Body, want.Hash = got.Body, got.Hash
	if unread {
		want.Fact = got.Fact
	}
	if !reflect.DeepEqual(got, &want) {
		t.Fatalf("decoded again: got %+v of %#v, want %+v of %#v", got, got.Fact, &want, want.Fact)
	}
}

func layoutOf(t testing.TB, body []byte) map[any]any {
	t.Helper()
	var layout map[any]any
	if err := otherDec.Unmarshal(body, &layout); err != nil {
		t.Fatalf("other decoder: %v", err)
	}
	return layout
}

// pruned is a body's layout without what this version does not write: keys
// that it does not know, and zero values. known has every key of the fact.
func pruned(layout, known map[any]any) map[any]any {
	out := make(map[any]any)
	for key, v := range layout {
		if key.(uint64) >= 1 && key.(uint64) <= 12 && !isZero(v) {
			out[key] = v
		}
	}
	fact := make(map[any]any)
	for key, v := range layout[uint64(9)].(map[any]any) {
		if _, ok := known[key]; ok && !isZero(v) {
			fact[key] = v
		}
	}
	out[uint64(9)] = fact
	return out
}

func isZero(v any) bool {
	switch v := v.(type) {
	case uint64:
		return v == 0
	case bool:
		return !v
	case string:
		return v == ""
	case []any:
		return len(v) == 0
	case []byte:
		return len(bytes.Trim(v, "\x00")) == 0
	}
	return false
}
