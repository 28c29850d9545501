package syncengine

import (
	"bytes"
	"encoding/hex"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// pack gathers events in as many packed frames as they take.
func pack(t failer, events []*event.Event) (frames [][]byte) {
	t.Helper()
	for len(events) > 0 {
		var p Packer
		for p.Len() < len(events) && p.Add(events[p.Len()]) {
		}
		if p.Len() == 0 || len(p.buf) > maxPacked || p.Len() > MaxFrameEvents {
			t.Fatalf("got %d events in %d bytes, want some, within the bounds of a frame", p.Len(), len(p.buf))
		}
		frames, events = append(frames, p.buf), events[p.Len():]
	}
	return frames
}

// unpacked is the events of packed rows and the fault that ended them.
func unpacked(packed []byte) (out []*event.Event, err error) {
	err = unpack(packed, func(e *event.Event) error {
		out = append(out, e)
		return nil
	})
	return out, err
}

// sameEvents checks that events came out as they went in.
func sameEvents(t failer, got, want []*event.Event) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("got %d events, want %d", len(got), len(want))
	}
	for i, e := range got {
		if !bytes.Equal(e.Body, want[i].Body) || e.Hash != want[i].Hash || e.Ref() != want[i].Ref() {
			t.Fatalf("event %d: got %v with %x, want %v with %x", i, e.Ref(), e.Body, want[i].Ref(), want[i].Body)
		}
	}
}

// packedBack packs events, unpacks them, and returns their packed size.
func packedBack(t failer, events []*event.Event) (size int) {
	t.Helper()
	var back []*event.Event
	for _, frame := range pack(t, events) {
		got, err := unpacked(frame)
		if err != nil {
			t.Fatalf("unpack: %v", err)
		}
		back, size = append(back, got...), size+len(frame)
	}
	sameEvents(t, back, events)
	return size
}

func TestAnyDayComesBackFromItsRows(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 40)
		byReplica := make(map[event.ReplicaID][]*event.Event)
		var turns []event.ReplicaID
		for _, e := range d.events() {
			byReplica[e.Replica] = append(byReplica[e.Replica], e)
			turns = append(turns, e.Replica)
		}
		for i := len(turns) - 1; i > 0; i-- { // chains alternate, each in its order
			j := d.pick(i + 1)
			turns[i], turns[j] = turns[j], turns[i]
		}
		var woven []*event.Event
		for _, id := range turns {
			woven, byReplica[id] = append(woven, byReplica[id][0]), byReplica[id][1:]
		}
		packedBack(rt, woven)
		packedBack(rt, shuffled(d.pick, woven)) // costs bytes, loses nothing
	})
}

// Whatever an envelope says, also what no clock ever shows.
func TestAnyEnvelopeComesBackFromItsRow(t *testing.T) {
	numbers := []uint64{0, 1, 2, 255, 1 << 16, 1<<16 - 1, 1<<48 - 1, 1 << 48, 1 << 62, 1<<63 - 1, 1 << 63, 1<<64 - 1}
	rapid.Check(t, func(rt *rapid.T) {
		number := rapid.OneOf(rapid.SampledFrom(numbers), rapid.Uint64(), rapid.Uint64Range(0, 70_000))
		var events []*event.Event
		var a author
		for range rapid.IntRange(1, 12).Draw(rt, "length") {
			a.id = event.ReplicaID{9}
			e := *a.next(rt, &event.Sorted{Size: 1, N: 1})
			e.Stamp, e.SinceMs = event.Stamp(number.Draw(rt, "stamp")), number.Draw(rt, "since")
			e.WallMs = int64(number.Draw(rt, "wall")) // a body may say more than 63 bits
			e.Start[0] = rapid.ByteRange(0, 2).Draw(rt, "start")
			e.Late = rapid.Bool().Draw(rt, "late")
			a.head = remade(rt, &e)
			events = append(events, a.head)
		}
		packedBack(rt, events)
	})
}

// goldens are the bodies of every kind and version that there ever was.
func goldens(t testing.TB) (out []*event.Event) {
	t.Helper()
	files, err := filepath.Glob("../shared/event/testdata/*.hex")
	if err != nil || len(files) < 25 {
		t.Fatalf("got %d golden files, %v, want one of every kind", len(files), err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		body, err := hex.DecodeString(strings.Join(strings.Fields(string(text)), ""))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		e, err := event.Decode(body)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out = append(out, e)
	}
	return out
}

// Unknown kinds and keys too: a chain of every rest there is, told in rows.
func TestEveryKindComesBackFromItsRow(t *testing.T) {
	all := goldens(t)
	packedBack(t, all)
	events := chainOf(t, 9, 1)
	size, whole := 0, 0
	for _, e := range append(all, all...) {
		if e.Seq == 1 {
			continue // its rest names the session
		}
		if e.Fact.Kind() == 200 {
			e = bodyOf(t, e, "\xac\x00\x05\x01\x48", "\xab\x01\x48") // no row can say an entry before the first
		}
		rest, entries := e.Rest()
		last := events[len(events)-1]
		next := event.Event{Replica: last.Replica, Seq: last.Seq + 1, Prev: last.Hash, Stamp: last.Stamp + 1, WallMs: dayStart}
		body := next.Join(nil, rest, entries)
		made, err := event.Decode(body)
		if err != nil {
			t.Fatalf("%v: %v", e.Fact.Kind(), err)
		}
		events, size, whole = append(events, made), size+len(rest), whole+len(body)
	}
	if got, most := packedBack(t, events), size/2+10*len(events)+150; got > most || most > whole {
		t.Errorf("got %d bytes, want at most %d, far below the %d of the bodies", got, most, whole)
	}
}

// bodyOf is an event whose body is e's with other bytes in place of some; pairs
// are as for strings.NewReplacer.
func bodyOf(t failer, e *event.Event, pairs ...string) *event.Event {
	t.Helper()
	out, err := event.Decode([]byte(strings.NewReplacer(pairs...).Replace(string(e.Body))))
	if err != nil || bytes.Equal(out.Body, e.Body) {
		t.Fatalf("altered body: got %v, want another event", err)
	}
	return out
}

// grown is e with more entries behind its body.
func grown(t failer, e *event.Event, entries int, more string) *event.Event {
	t.Helper()
	body := append(bytes.Clone(e.Body), more...)
	body[0] += byte(entries)
	out, err := event.Decode(body)
	if err != nil {
		t.Fatalf("grown body: %v", err)
	}
	return out
}

func TestWhatNoRowCanSayTravelsWhole(t *testing.T) {
	c, other := chainOf(t, 9, 5), chainOf(t, 8, 4)
	fork := *c[2]
	fork.Late = true
	skip := *c[1]
	skip.Seq += 4
	many := ""
	for key := byte(24); key < 24+17; key++ {
		many += string([]byte{0x18, key, 0x01})
	}
	tests := []struct {
		name   string
		events []*event.Event
		whole  int
	}{
		{"nothing", nil, 0},
		{"a chain", c, 1},
		{"a chain from its middle", c[2:], 1},
		{"two chains by turns", []*event.Event{c[0], other[0], c[1], other[1], other[2], c[2], c[3], other[3]}, 2},
		{"a gap", []*event.Event{c[0], c[1], c[3], c[4]}, 2},
		{"a gap in the numbers alone", []*event.Event{c[0], remade(t, &skip)}, 2},
		{"backwards", []*event.Event{c[2], c[1], c[0]}, 3},
		{"the same twice", []*event.Event{c[1], c[1]}, 2},
		{"both branches of a fork", []*event.Event{c[1], c[2], remade(t, &fork), c[3]}, 3},
		{"an unknown entry", []*event.Event{c[0], grown(t, c[1], 1, "\x0d\x05")}, 1},
		{"as many entries as a rest has", []*event.Event{c[0], grown(t, c[1], 14, many[:3*14])}, 1},
		{"more entries than a rest has", []*event.Event{c[0], grown(t, c[1], 15, many[:3*15])}, 2},
		{"late, and said to be not", []*event.Event{c[0], grown(t, c[1], 1, "\x0c\xf4")}, 1},
		{"a wall of zero, said", []*event.Event{c[0], bodyOf(t, c[1], "\xa6\x01\x48", "\xa7\x01\x48", "\x08\x18\x28\x09", "\x05\x00\x08\x18\x28\x09")}, 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			packedBack(t, tt.events)
			var p Packer
			whole := 0
			for _, e := range tt.events {
				at := len(p.buf)
				if !p.Add(e) {
					t.Fatalf("%d: not added", e.Seq)
				}
				if p.buf[at] == rowWhole {
					whole++
				}
			}
			if whole != tt.whole {
				t.Errorf("got %d whole bodies, want %d", whole, tt.whole)
			}
		})
	}
}

func TestAPackerKeepsToItsBounds(t *testing.T) {
	long := func(n, apart int) (out []*event.Event) {
		a := &author{id: event.ReplicaID{9, 7: 9}}
		for i := range n {
			out = append(out, a.next(t, &event.Note{Text: strings.Repeat("語", 600-i%apart)}))
		}
		return out
	}
	tests := []struct {
		name   string
		events []*event.Event
		frames int
		fill   func(frame []byte, n, bodies int) bool // of the first
	}{
		{"events", chainOf(t, 9, MaxFrameEvents+3), 2, func(_ []byte, n, _ int) bool { return n == MaxFrameEvents }},
		{"bytes", long(300, 300), 2, func(frame []byte, _, _ int) bool { return len(frame) > maxPacked-2000 }},
		{"bytes of bodies", long(1400, 1), 2, func(_ []byte, _, bodies int) bool { return bodies > maxUnpacked-2000 }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			packedBack(t, tt.events)
			frames := pack(t, tt.events)
			first, err := unpacked(frames[0])
			bodies := 0
			for _, e := range first {
				bodies += len(e.Body)
			}
			if err != nil || len(frames) != tt.frames || !tt.fill(frames[0], len(first), bodies) {
				t.Errorf("got %d frames, the first %d bytes with %d events of %d bytes, %v", len(frames), len(frames[0]), len(first), bodies, err)
			}
		})
	}
}

// What was not added leaves no trace: the same packer takes a smaller event.
func TestARefusedEventLeavesNoTrace(t *testing.T) {
	a := &author{id: event.ReplicaID{9, 7: 9}}
	var p Packer
	var in []*event.Event
	for last := a.next(t, &event.Left{}); p.Add(last); last = a.next(t, &event.Note{Text: strings.Repeat("語", 700-len(in))}) {
		in = append(in, last)
	}
	a.head = in[len(in)-1]
	small := a.next(t, &event.Sorted{Size: 1, N: 1})
	if !p.Add(small) {
		t.Fatalf("at %d of %d bytes: got no room for one tap, want it added", len(p.buf), maxPacked)
	}
	got, err := unpacked(p.buf)
	if err != nil {
		t.Fatal(err)
	}
	sameEvents(t, got, append(in, small))
	if p.Len() != len(in)+1 {
		t.Errorf("len: got %d, want %d", p.Len(), len(in)+1)
	}
}

func TestNumbersOfRows(t *testing.T) {
	for _, v := range []int64{0, 1, -1, 63, -64, 64, 8191, -8192, math.MaxInt64, math.MinInt64} {
		u := unpacker{in: appendUvarint(nil, zigzag(v))}
		if got := u.difference(); got != v || u.broken || len(u.in) != 0 {
			t.Errorf("got %d, broken %v, %d bytes left, want %d", got, u.broken, len(u.in), v)
		}
	}
}
