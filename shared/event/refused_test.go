package event_test

import (
	"strings"
	"testing"

	"rootledger/shared/event"
)

// What deterministic encoding forbids (RFC 8949, section 4.2.1), what the
// subset leaves out, and what is not CBOR at all.
var refused = []struct{ name, bytes, want string }{
	{"nothing", "", "short"},

	{"uint of one byte, 0", "1800", "form"},
	{"uint of one byte, 23", "1817", "form"},
	{"uint of two bytes, 0", "190000", "form"},
	{"uint of two bytes, 255", "1900ff", "form"},
	{"uint of four bytes, 23", "1a00000017", "form"},
	{"uint of four bytes, 65535", "1a0000ffff", "form"},
	{"uint of eight bytes, 0", "1b0000000000000000", "form"},
	{"uint of eight bytes, 2^32-1", "1b00000000ffffffff", "form"},
	{"negative of one byte, -24", "3817", "form"},
	{"negative of two bytes, -256", "3900ff", "form"},
	{"negative of four bytes, -65536", "3a0000ffff", "form"},
	{"negative of eight bytes, -2^32", "3b00000000ffffffff", "form"},
	{"bytes with a long head", "580100", "form"},
	{"text with a long head", "780161", "form"},
	{"array with a long head", "980100", "form"},
	{"map with a long head", "b8010000", "form"},
	{"key with a long head", "a1180100", "form"},
	{"long head inside", "82001800", "form"},

	{"reserved 28", "1c", "form"},
	{"reserved 29", "3d", "form"},
	{"reserved 30", "5e", "form"},
	{"indefinite bytes", "5f4100ff", "form"},
	{"indefinite text", "7f6161ff", "form"},
	{"indefinite array", "9f00ff", "form"},
	{"indefinite map", "bf0000ff", "form"},
	{"indefinite array inside", "819fff", "form"},
	{"break alone", "ff", "form"},

	{"keys that descend", "a202000100", "order"},
	{"keys that descend at 24", "a21818001700", "order"},
	{"key twice", "a201000100", "order"},
	{"key 0 twice", "a200000000", "order"},
	{"key twice inside", "81a205000500", "order"},
	{"text key", "a1616100", "type"},
	{"negative key", "a12000", "type"},
	{"bytes key", "a1410000", "type"},
	{"bool key", "a1f500", "type"},
	{"array key", "a18000", "type"},
	{"text key after a number", "a20000616100", "type"},

	{"float of 16 bits", "f93c00", "form"},
	{"float of 32 bits", "fa47c35000", "form"},
	{"float of 64 bits", "fb3ff199999999999a", "form"},
	{"not a number", "f97e00", "form"},
	{"tag of a time", "c11a514b67b0", "type"},
	{"tag of a big number", "c249010000000000000000", "type"},
	{"tag that says cbor", "d9d9f700", "type"},
	{"null", "f6", "type"},
	{"undefined", "f7", "type"},
	{"simple 16", "f0", "type"},
	{"simple 255", "f8ff", "form"},
	{"false in two bytes", "f814", "form"},
	{"null inside", "81f6", "type"},

	{"text of a lone byte", "61ff", "utf8"},
	{"text of a cut rune", "61c3", "utf8"},
	{"text of a long form", "62c080", "utf8"},
	{"text of a surrogate", "63eda080", "utf8"},
	{"text above the last rune", "64f4908080", "utf8"},
	{"text inside", "a10061ff", "utf8"},

	{"bytes longer than the rest", "4200", "short"},
	{"text longer than the rest", "6261", "short"},
	{"array longer than the rest", "8200", "short"},
	{"map longer than the rest", "a20000", "short"},
	{"map without its last value", "a100", "short"},
	{"bytes of 2^62", "5b4000000000000000", "short"},
	{"text of 2^62", "7b4000000000000000", "short"},
	{"array of 2^62", "9b4000000000000000", "short"},
	{"map of 2^62", "bb4000000000000000", "short"},
	{"bytes of 2^64-1", "5bffffffffffffffff", "short"},
	{"array of 2^64-1", "9bffffffffffffffff", "short"},
	{"map of 2^64-1", "bbffffffffffffffff", "short"},
	{"array of 2^62 with items", "9b4000000000000000 00 01 02", "short"},

	{"arrays one too deep", strings.Repeat("81", event.MaxDepth) + "80", "depth"},
	{"maps one too deep", strings.Repeat("a100", event.MaxDepth) + "a0", "depth"},
	{"arrays and maps one too deep", "81a1008181a0", "depth"},
	{"arrays far too deep", strings.Repeat("81", 10_000) + "80", "depth"},

	{"a value behind", "0000", "trailing"},
	{"a byte behind an array", "810000", "trailing"},
	{"a break behind", "80ff", "trailing"},
}

func TestRefused(t *testing.T) {
	for _, c := range refused {
		t.Run(c.name, func(t *testing.T) {
			b := unhex(c.bytes)
			r := event.NewReader(b)
			r.Raw()
			if got, want := whatOf(r.Close()), "damaged:"+c.want; got != want {
				t.Errorf("got %q, want %q", got, want)
			}
			agree(t, b)
		})
	}
}

func TestAcceptedAtTheEdge(t *testing.T) {
	for _, c := range []struct{ name, bytes string }{
		{"empty bytes", "40"},
		{"empty text", "60"},
		{"empty array", "80"},
		{"empty map", "a0"},
		{"arrays as deep as allowed", strings.Repeat("81", event.MaxDepth-1) + "80"},
		{"maps as deep as allowed", strings.Repeat("a100", event.MaxDepth-1) + "a0"},
		{"a number in the deepest array", strings.Repeat("81", event.MaxDepth) + "00"},
		{"deep again and again", "83" + strings.Repeat(strings.Repeat("81", event.MaxDepth-2)+"80", 3)},
		{"keys 23, 24, 255, 256", "a4170018180018ff0019010000"},
		{"the largest key", "a11bffffffffffffffff00"},
		{"text of the last rune", "64f48fbfbf"},
		{"text of a zero byte", "6100"},
		{"-2^64", "3bffffffffffffffff"},
		{"array of 24", "9818" + strings.Repeat("00", 24)},
		{"bytes of 256", "590100" + strings.Repeat("00", 256)},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := unhex(c.bytes)
			r := event.NewReader(b)
			r.Raw()
			if err := r.Close(); err != nil {
				t.Errorf("got %v, want no fault", err)
			}
			agree(t, b)
		})
	}
}

func TestTruncatedAtEveryByte(t *testing.T) {
	whole := encode(t, map[uint64]any{
		1: []any{uint64(1 << 40), int64(-1 << 20), "grün", []byte{1, 2, 3}, true},
		2: map[uint64]any{300: []any{}, 70_000: false},
		9: strings.Repeat("x", 300),
	})
	agree(t, whole)
	for n := range whole {
		r := event.NewReader(whole[:n])
		r.Raw()
		if got := whatOf(r.Close()); got != "damaged:short" {
			t.Errorf("first %d of %d bytes: got %q, want damaged:short", n, len(whole), got)
		}
		agree(t, whole[:n])
	}
}

// A number of items that can not follow costs no memory: a fault's own few
// allocations, and nothing that grows with the number.
func TestHugeLengthsAllocateNothing(t *testing.T) {
	const faultOnly = 8
	calls := map[string]struct {
		bytes string
		read  func(*event.Reader)
	}{
		"raw array":   {"9b4000000000000000", func(r *event.Reader) { r.Raw() }},
		"raw map":     {"bb4000000000000000", func(r *event.Reader) { r.Raw() }},
		"raw bytes":   {"5b4000000000000000", func(r *event.Reader) { r.Raw() }},
		"raw text":    {"7b4000000000000000", func(r *event.Reader) { r.Raw() }},
		"array":       {"9b4000000000000000", func(r *event.Reader) { r.Array() }},
		"array 2^64":  {"9bffffffffffffffff", func(r *event.Reader) { r.Array() }},
		"map":         {"bb4000000000000000", func(r *event.Reader) { r.Map() }},
		"map 2^64":    {"bbffffffffffffffff", func(r *event.Reader) { r.Map() }},
		"map of half": {"a2000000", func(r *event.Reader) { r.Map() }},
		"bytes":       {"5b4000000000000000", func(r *event.Reader) { r.Bytes() }},
		"text":        {"7b4000000000000000", func(r *event.Reader) { _ = r.Text() }},
	}
	for name, c := range calls {
		t.Run(name, func(t *testing.T) {
			b := unhex(c.bytes)
			var last error
			got := testing.AllocsPerRun(10, func() {
				r := event.NewReader(b)
				c.read(r)
				last = r.Err()
			})
			if got > faultOnly {
				t.Errorf("allocations: got %v, want at most %d", got, faultOnly)
			}
			same(t, "fault", whatOf(last), "damaged:short")
		})
	}
}
