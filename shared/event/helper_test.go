package event_test

import (
	"encoding/hex"
	"math/big"
	"strings"
	"testing"

	"github.com/fxamacker/cbor/v2"
	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// The second opinion on every byte: a general CBOR library, held to the core
// deterministic encoding requirements of RFC 8949, section 4.2.1.
var (
	otherEnc = must(cbor.CoreDetEncOptions().EncMode())
	otherDec = must(cbor.DecOptions{
		DupMapKey:        cbor.DupMapKeyEnforcedAPF,
		IndefLength:      cbor.IndefLengthForbidden,
		TagsMd:           cbor.TagsForbidden,
		UTF8:             cbor.UTF8RejectInvalid,
		MaxNestedLevels:  64,
		MaxArrayElements: 1 << 30,
		MaxMapPairs:      1 << 30,
	}.DecMode())
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func unhex(s string) []byte { return must(hex.DecodeString(strings.ReplaceAll(s, " ", ""))) }

// encode is the other library's encoding of v.
func encode(t rapid.TB, v any) []byte {
	t.Helper()
	b, err := otherEnc.Marshal(v)
	if err != nil {
		t.Fatalf("other encoder: %v", err)
	}
	return b
}

// accepted says whether b is one canonical value of the subset, in the eyes of
// the other library: it decodes, encodes to the same bytes, and holds nothing
// that is outside the subset.
func accepted(b []byte) bool {
	var v any
	if otherDec.Unmarshal(b, &v) != nil || !inSubset(v, event.MaxDepth) {
		return false
	}
	again, err := otherEnc.Marshal(v)
	return err == nil && string(again) == string(b)
}

// inSubset takes what the other library decodes into; a big integer is a
// negative one below 64 bits.
func inSubset(v any, depth int) bool {
	switch v := v.(type) {
	case uint64, int64, []byte, string, bool:
		return true
	case big.Int:
		return v.Sign() < 0 && v.BitLen() <= 65
	case []any:
		for _, one := range v {
			if !inSubset(one, depth-1) {
				return false
			}
		}
		return depth > 0
	case map[any]any:
		for key, one := range v {
			if _, ok := key.(uint64); !ok || !inSubset(one, depth-1) {
				return false
			}
		}
		return depth > 0
	}
	return false
}

// agree holds our reader to the other library: both take b, or neither does.
func agree(t rapid.TB, b []byte) {
	t.Helper()
	r := event.NewReader(b)
	raw := r.Raw()
	err := r.Close()
	if got, want := err == nil, accepted(b); got != want {
		t.Fatalf("%x: got accepted %v (%v), want %v", b, got, err, want)
	}
	if err == nil && string(raw) != string(b) {
		t.Fatalf("raw: got %x, want %x", raw, b)
	}
}

// whatOf is the fault's code and, for damage, what is damaged: "damaged:short".
func whatOf(err error) string {
	f := fault.Of(err)
	if f == nil {
		return ""
	}
	for _, a := range f.Args {
		if a.Name == "what" {
			return string(f.Code) + ":" + a.Value
		}
	}
	return string(f.Code)
}

func codeOf(err error) fault.Code {
	if f := fault.Of(err); f != nil {
		return f.Code
	}
	return ""
}

// refTo is a made-up reference, a different one for every n above zero.
func refTo(n byte) event.Ref {
	return event.Ref{
		Replica: event.ReplicaID{n, 1, 2, 3, 4, 5, 6, 7},
		Seq:     uint64(n),
		Check:   [8]byte{n, 0xc1, 0xc2, 0xc3, 0xc4, 0xc5, 0xc6, 0xc7},
	}
}

func refsTo(n int) []event.Ref {
	out := make([]event.Ref, n)
	for i := range out {
		out[i] = refTo(byte(i + 1))
	}
	return out
}

// eventOf is a complete event around a fact: the first of its replica when the
// fact opens a session, else the seventh.
func eventOf(fact event.Fact) *event.Event {
	const noon = 1_800_014_400_000 // 2027-01-15 12:00 UTC
	e := &event.Event{
		Replica: event.ReplicaID{0x11, 0x12, 0x13, 0x14, 0x15, 0x16, 0x17, 0x18},
		Seq:     7,
		Stamp:   event.StampAt(noon) + 3,
		WallMs:  noon - 250,
		Start:   event.StartID{0x21, 0x22, 0x23, 0x24, 0x25, 0x26, 0x27, 0x28},
		SinceMs: 3_600_000,
		Late:    fact.Kind().Counts(),
		Fact:    fact,
	}
	if fact.Kind() != event.KindOpened {
		for i := range e.Prev {
			e.Prev[i] = 0x80 + byte(i)
		}
		return e
	}
	e.Seq = 1
	for i := range e.Session {
		e.Session[i], e.Phone[i] = 0x31+byte(i), 0x51+byte(i)
	}
	return e
}

func sealed(t testing.TB, fact event.Fact) *event.Event {
	t.Helper()
	e := eventOf(fact)
	if err := e.Seal(); err != nil {
		t.Fatalf("seal: %v", err)
	}
	return e
}
