package event_test

import (
	"encoding"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

func idBytes(n int) *rapid.Generator[[]byte] { return rapid.SliceOfN(rapid.Byte(), n, n) }

func anyRef() *rapid.Generator[event.Ref] {
	return rapid.Custom(func(t *rapid.T) event.Ref {
		return event.Ref{
			Replica: event.ReplicaID(idBytes(8).Draw(t, "replica")),
			Seq:     rapid.Uint64Range(1, event.MaxSeq).Draw(t, "seq"),
			Check:   [8]byte(idBytes(8).Draw(t, "check")),
		}
	})
}

func TestRefText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := anyRef().Draw(t, "ref")
		got, ok := event.ParseRef(want.String())
		if !ok || got != want {
			t.Fatalf("parse %q: got %v %v, want %v true", want.String(), got, ok, want)
		}
		text, err := want.MarshalText()
		if err != nil || string(text) != want.String() {
			t.Fatalf("marshal: got %q %v, want %q", text, err, want.String())
		}
		got = event.Ref{Seq: 99}
		if err := got.UnmarshalText(text); err != nil || got != want {
			t.Fatalf("unmarshal: got %v %v, want %v", got, err, want)
		}
	})
}

func TestRefBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := anyRef().Draw(t, "ref")
		body := event.Encode(eventOf(&event.PassEnded{Pass: want}))
		e, err := event.Decode(body)
		if err != nil {
			t.Fatalf("decode: %v", err)
		}
		if f, ok := e.Fact.(*event.PassEnded); !ok || f.Pass != want {
			t.Fatalf("got %#v, want a pass %v", e.Fact, want)
		}
	})
}

// Any text that is read is the text that is written.
func TestRefTextIsTheOnlyOne(t *testing.T) {
	digits := rapid.StringOfN(rapid.SampledFrom([]rune("0123456789abcdefA:")), 16, 16, -1)
	number := rapid.OneOf(rapid.StringMatching(`[1-9][0-9]{0,13}`), rapid.StringMatching(`[0-9+-]{0,4}`))
	rapid.Check(t, func(t *rapid.T) {
		s := digits.Draw(t, "replica") + ":" + strings.TrimLeft(number.Draw(t, "seq"), "0") + ":" + digits.Draw(t, "check")
		if r, ok := event.ParseRef(s); ok && r.String() != s {
			t.Fatalf("parse %q: got %q, want the same or a refusal", s, r)
		}
	})
}

const goodRef = "0001020304050607:1:08090a0b0c0d0e0f"

func TestParseRefAccepts(t *testing.T) {
	for _, c := range []struct {
		name, text string
		seq        uint64
	}{
		{"first", goodRef, 1},
		{"zeros around", "0000000000000000:1:0000000000000000", 1},
		{"last seq", "ffffffffffffffff:1099511627776:ffffffffffffffff", event.MaxSeq},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, ok := event.ParseRef(c.text)
			if !ok || r.Seq != c.seq || r.String() != c.text {
				t.Errorf("got %v %v, want %s", r, ok, c.text)
			}
		})
	}
}

func TestParseRefRefuses(t *testing.T) {
	const replica, check = "0001020304050607", "08090a0b0c0d0e0f"
	for _, c := range []struct{ name, text string }{
		{"a word", "ref"},
		{"no seq", replica + "::" + check},
		{"no parts", replica + check},
		{"seq 0", replica + ":0:" + check},
		{"seq above the last", replica + ":1099511627777:" + check},
		{"seq that wraps at 64 bits", replica + ":18446744073709551617:" + check},
		{"seq of forty digits", replica + ":" + strings.Repeat("9", 40) + ":" + check},
		{"signed seq", replica + ":+1:" + check},
		{"negative seq", replica + ":-1:" + check},
		{"hexadecimal seq", replica + ":a:" + check},
		{"seq with a space", replica + ": 1:" + check},
		{"seq in other digits", replica + ":\u0661:" + check},
		{"short replica", replica[1:] + ":1:" + check},
		{"long replica", "0" + replica + ":1:" + check},
		{"short check", replica + ":1:" + check[1:]},
		{"long check", replica + ":1:" + check + "0"},
		{"capital digits", strings.ToUpper(goodRef)},
		{"replica that is not hexadecimal", "g" + replica[1:] + ":1:" + check},
		{"check that is not hexadecimal", replica + ":1:" + check[:15] + "g"},
		{"other first separator", replica + "-1:" + check},
		{"other second separator", replica + ":1-" + check},
		{"other separators", strings.ReplaceAll(goodRef, ":", "-")},
		{"a part behind", goodRef + ":1"},
		{"a space before", " " + goodRef},
		{"a line end behind", goodRef + "\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if r, ok := event.ParseRef(c.text); ok {
				t.Errorf("parse: got %v, want a refusal", r)
			}
			want := event.Ref{Seq: 99}
			r := want
			same(t, "unmarshal", whatOf(r.UnmarshalText([]byte(c.text))), "damaged:ref")
			same(t, "ref after it", r, want)
		})
	}
}

// String never writes a leading zero, so ParseRef reads none.
func TestParseRefRefusesLeadingZeros(t *testing.T) {
	for _, seq := range []string{"01", "00001", "01099511627776"} {
		text := "0001020304050607:" + seq + ":08090a0b0c0d0e0f"
		if r, ok := event.ParseRef(text); ok {
			t.Errorf("parse %q: got %v, want a refusal", text, r)
		}
	}
}

func TestZeroRef(t *testing.T) {
	zero := event.Ref{Replica: event.ReplicaID{1}, Check: [8]byte{2}}
	same(t, "is zero", zero.IsZero(), true)
	same(t, "text", zero.String(), "")
	same(t, "one is zero", refTo(1).IsZero(), false)
	_, ok := event.ParseRef("")
	same(t, "parse of nothing", ok, false)
	r := refTo(1)
	same(t, "unmarshal of nothing", r.UnmarshalText(nil), nil)
	same(t, "ref after it", r, event.Ref{})
}

func TestIDText(t *testing.T) {
	type id interface {
		encoding.TextMarshaler
		String() string
	}
	for _, c := range []struct {
		name string
		id   id
		into encoding.TextUnmarshaler
		want string
	}{
		{"replica", event.ReplicaID{0, 1, 0xab, 7: 0xff}, new(event.ReplicaID), "0001ab00000000ff"},
		{"session", event.SessionID{0x9f, 15: 0x10}, new(event.SessionID), "9f000000000000000000000000000010"},
		{"phone", event.PhoneID{15: 0x0a}, new(event.PhoneID), "0000000000000000000000000000000a"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, err := c.id.MarshalText()
			same(t, "marshal", err, nil)
			same(t, "text", string(text), c.want)
			same(t, "string", c.id.String(), c.want)
			same(t, "unmarshal", c.into.UnmarshalText(text), nil)
			same(t, "read back", c.into.(id).String(), c.want)
			for _, bad := range []string{"", c.want[1:], c.want + "0", "g" + c.want[1:], c.want[:1] + " " + c.want[2:], "A" + c.want[1:]} {
				same(t, "unmarshal of "+bad, whatOf(c.into.UnmarshalText([]byte(bad))), "damaged:id")
			}
		})
	}
	text, err := event.StartID{0xde, 0xad}.MarshalText()
	same(t, "start", string(text), "dead000000000000")
	same(t, "start's error", err, nil)
	same(t, "hash", event.Hash{0xbe, 31: 0xef}.String(), "be"+strings.Repeat("00", 30)+"ef")
}
