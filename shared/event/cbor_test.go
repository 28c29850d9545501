package event_test

import (
	"bytes"
	"maps"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// value draws a value of the subset that nests at most depth deep.
func value(depth int) *rapid.Generator[any] {
	edges := []uint64{0, 23, 24, 255, 256, 65535, 65536, 1<<32 - 1, 1 << 32, 1<<63 - 1, math.MaxUint64}
	number := rapid.OneOf(rapid.Uint64(), rapid.SampledFrom(edges))
	return rapid.Custom(func(t *rapid.T) any {
		most := 6
		if depth == 0 {
			most = 4
		}
		switch rapid.IntRange(0, most).Draw(t, "type") {
		case 0:
			return number.Draw(t, "uint")
		case 1:
			return -1 - int64(number.Draw(t, "negative")>>1)
		case 2:
			return append([]byte{}, rapid.SliceOfN(rapid.Byte(), 0, 300).Draw(t, "bytes")...)
		case 3:
			return rapid.StringN(0, 80, -1).Draw(t, "text")
		case 4:
			return rapid.Bool().Draw(t, "bool")
		case 5:
			return append([]any{}, rapid.SliceOfN(value(depth-1), 0, 5).Draw(t, "array")...)
		}
		return rapid.MapOfN(number, value(depth-1), 0, 5).Draw(t, "map")
	})
}

func write(w *event.Writer, v any) {
	switch v := v.(type) {
	case uint64:
		w.Uint(v)
	case int64:
		w.Int(v)
	case []byte:
		w.Bytes(v)
	case string:
		w.Text(v)
	case bool:
		w.Bool(v)
	case []any:
		w.Array(len(v))
		for _, one := range v {
			write(w, one)
		}
	case map[uint64]any:
		w.Map(len(v))
		for _, key := range slices.Sorted(maps.Keys(v)) {
			w.Uint(key)
			write(w, v[key])
		}
	}
}

func same[T comparable](t rapid.TB, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

// read walks r with the typed calls and expects v.
func read(t rapid.TB, r *event.Reader, v any) {
	t.Helper()
	switch v := v.(type) {
	case uint64:
		same(t, "uint", r.Uint(), v)
	case int64:
		same(t, "int", r.Int(), v)
	case []byte:
		same(t, "bytes", string(r.Bytes()), string(v))
	case string:
		same(t, "text", r.Text(), v)
	case bool:
		same(t, "bool", r.Bool(), v)
	case []any:
		same(t, "array", r.Array(), len(v))
		for _, one := range v {
			read(t, r, one)
		}
	case map[uint64]any:
		same(t, "map", r.Map(), len(v))
		for _, key := range slices.Sorted(maps.Keys(v)) {
			same(t, "key", r.Uint(), key)
			read(t, r, v[key])
		}
	}
}

func TestRandomValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := value(event.MaxDepth).Draw(t, "value")
		want := encode(t, v)
		w := event.NewWriter(nil)
		write(w, v)
		if !bytes.Equal(w.Out(), want) {
			t.Fatalf("writer: got %x, want %x", w.Out(), want)
		}
		agree(t, want)
		r := event.NewReader(want)
		if got := r.Raw(); !bytes.Equal(got, want) || r.Close() != nil {
			t.Fatalf("raw: got %x (%v), want %x", got, r.Err(), want)
		}
		r = event.NewReader(want)
		read(t, r, v)
		if err := r.Close(); err != nil {
			t.Fatalf("typed calls: %v", err)
		}
	})
}

// One byte more, less or changed: both sides still say the same.
func TestRandomDamage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := encode(t, value(event.MaxDepth).Draw(t, "value"))
		for range rapid.IntRange(1, 3).Draw(t, "changes") {
			at := rapid.IntRange(0, len(b)).Draw(t, "at")
			one := rapid.Byte().Draw(t, "byte")
			end := min(len(b), at+1)
			switch rapid.IntRange(0, 2).Draw(t, "how") {
			case 0:
				b = slices.Concat(b[:at], []byte{one}, b[end:])
			case 1:
				b = slices.Concat(b[:at], []byte{one}, b[at:])
			case 2:
				b = slices.Concat(b[:at], b[end:])
			}
		}
		agree(t, b)
	})
}

func TestRandomBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		agree(t, rapid.SliceOfN(rapid.Byte(), 0, 12).Draw(t, "bytes"))
	})
}

// Rows marked "A" are examples of RFC 8949, appendix A; the others follow from
// its section 4.2.1: the shortest head.
func TestUintEncodings(t *testing.T) {
	for _, c := range []struct {
		v    uint64
		want string
	}{
		{0, "00"},         // A
		{23, "17"},        // A
		{24, "1818"},      // A
		{100, "1864"},     // A
		{255, "18ff"},     //
		{256, "190100"},   //
		{1000, "1903e8"},  // A
		{65535, "19ffff"}, //
		{65536, "1a00010000"},
		{1_000_000, "1a000f4240"}, // A
		{1<<32 - 1, "1affffffff"},
		{1 << 32, "1b0000000100000000"},
		{1_000_000_000_000, "1b000000e8d4a51000"}, // A
		{1<<63 - 1, "1b7fffffffffffffff"},
		{1 << 63, "1b8000000000000000"},
		{math.MaxUint64, "1bffffffffffffffff"}, // A
	} {
		t.Run(c.want, func(t *testing.T) {
			want := unhex(c.want)
			w := event.NewWriter(nil)
			w.Uint(c.v)
			same(t, "writer", string(w.Out()), string(want))
			same(t, "other encoder", string(encode(t, c.v)), string(want))
			r := event.NewReader(want)
			same(t, "reader", r.Uint(), c.v)
			same(t, "close", r.Close(), nil)
			agree(t, want)
		})
	}
}

// Marks as above.
func TestNegativeEncodings(t *testing.T) {
	for _, c := range []struct {
		v    int64
		want string
	}{
		{-1, "20"},        // A
		{-10, "29"},       // A
		{-24, "37"},       //
		{-25, "3818"},     //
		{-100, "3863"},    // A
		{-256, "38ff"},    //
		{-257, "390100"},  //
		{-1000, "3903e7"}, // A
		{-65536, "39ffff"},
		{-65537, "3a00010000"},
		{-1 << 32, "3affffffff"},
		{-1<<32 - 1, "3b0000000100000000"},
		{math.MinInt64, "3b7fffffffffffffff"},
	} {
		t.Run(c.want, func(t *testing.T) {
			want := unhex(c.want)
			w := event.NewWriter(nil)
			w.Int(c.v)
			same(t, "writer", string(w.Out()), string(want))
			same(t, "other encoder", string(encode(t, c.v)), string(want))
			r := event.NewReader(want)
			same(t, "reader", r.Int(), c.v)
			same(t, "close", r.Close(), nil)
			agree(t, want)
		})
	}
}

// Canonical numbers that no signed 64 bits hold pass Raw, and Int refuses them.
func TestIntRefusesWhatItCannotHold(t *testing.T) {
	for _, c := range []struct{ name, bytes string }{
		{"2^63", "1b8000000000000000"},
		{"2^64-1", "1bffffffffffffffff"},
		{"-2^63-1", "3b8000000000000000"},
		{"-2^64", "3bffffffffffffffff"}, // RFC 8949, appendix A
		{"bytes", "4100"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := event.NewReader(unhex(c.bytes))
			same(t, "int", r.Int(), 0)
			same(t, "fault", whatOf(r.Err()), "damaged:type")
			agree(t, unhex(c.bytes))
		})
	}
}

func TestTypedCallsRefuseOtherTypes(t *testing.T) {
	calls := map[string]func(*event.Reader){
		"uint":  func(r *event.Reader) { r.Uint() },
		"bytes": func(r *event.Reader) { r.Bytes() },
		"text":  func(r *event.Reader) { _ = r.Text() },
		"array": func(r *event.Reader) { r.Array() },
		"map":   func(r *event.Reader) { r.Map() },
		"bool":  func(r *event.Reader) { r.Bool() },
	}
	values := map[string]string{"uint": "01", "negative": "20", "bytes": "4100", "text": "6161",
		"array": "8100", "map": "a10000", "bool": "f5"}
	for call, f := range calls {
		for name, bytes := range values {
			t.Run(call+" of "+name, func(t *testing.T) {
				r := event.NewReader(unhex(bytes))
				f(r)
				want := "damaged:type"
				if call == name {
					want = ""
				}
				same(t, "fault", whatOf(r.Err()), want)
			})
		}
	}
}

func TestFixed(t *testing.T) {
	for _, c := range []struct{ name, bytes, want string }{
		{"fits", "43010203", ""},
		{"shorter", "420102", "damaged:length"},
		{"longer", "4401020304", "damaged:length"},
		{"cut", "4301", "damaged:short"},
		{"text", "63616263", "damaged:type"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var into [3]byte
			r := event.NewReader(unhex(c.bytes))
			r.Fixed(into[:])
			same(t, "fault", whatOf(r.Close()), c.want)
			if c.want != "" {
				same(t, "into", into, [3]byte{})
			}
		})
	}
}

func TestTextRefusesOtherThanUTF8(t *testing.T) {
	for _, bytes := range []string{"61ff", "61c3", "62c080", "63eda080"} {
		r := event.NewReader(unhex(bytes))
		same(t, "text "+bytes, r.Text(), "")
		same(t, "fault of "+bytes, whatOf(r.Close()), "damaged:utf8")
	}
}

func TestFirstFaultSticks(t *testing.T) {
	r := event.NewReader(unhex("00 6161"))
	_ = r.Text()
	same(t, "first", whatOf(r.Err()), "damaged:type")
	same(t, "uint", r.Uint(), 0)
	same(t, "text", r.Text(), "")
	same(t, "bool", r.Bool(), false)
	same(t, "raw", string(r.Raw()), "")
	r.Refuse(event.NewReader(nil).Err())
	same(t, "close", whatOf(r.Close()), "damaged:type")
}

// Values that follow one another in one buffer, as a frame of bodies does.
func TestRawLeavesTheRest(t *testing.T) {
	r := event.NewReader(unhex("83010203 6161 f5 20"))
	for i, want := range []string{"83010203", "6161", "f5", "20"} {
		if got := r.Raw(); !bytes.Equal(got, unhex(want)) {
			t.Errorf("value %d: got %x, want %s", i, got, want)
		}
	}
	same(t, "close", r.Close(), nil)
}

func TestWriterAppends(t *testing.T) {
	w := event.NewWriter([]byte{0x82})
	w.Raw(unhex("6161"))
	w.Bool(false)
	same(t, "out", string(w.Out()), string(unhex("826161f4")))
}
