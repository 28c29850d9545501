package syncengine

import (
	"bytes"
	"encoding/hex"
	"errors"
	"reflect"
	"strings"
	"testing"

	"rootledger/shared/event"
)

// wholeRow is the row of a whole body.
func wholeRow(body []byte) []byte {
	return append(appendUvarint([]byte{rowWhole}, uint64(len(body))), body...)
}

// refusedRows follow the whole body of a chain's first event, whose stamp is
// dayStart with counter 1, and whose wall, since and start are zero.
var refusedRows = []struct{ name, row string }{
	{"nothing but flags", "00"},
	{"a flag without meaning", "a0 00 02 05 08 18 28 09 a0"},
	{"a whole body with another flag", "60 00 02 05 08 18 28 09 a0"},
	{"a whole body of no bytes", "40 00"},
	{"a whole body longer than what is left", "40 05 a0"},
	{"a whole body that is none", "40 01 a0"},
	{"an unknown replica", "21 01 00 02 05 08 18 28 09 a0"},
	{"another replica that is the same", "21 00 00 02 05 08 18 28 09 a0"},
	{"an unknown rest", "00 00 00"},
	{"a number with a byte too many", "20 80 00 02 05 08 18 28 09 a0"},
	{"a number with a bit too many", "20 80 80 80 80 80 80 80 80 80 02 02 05 08 18 28 09 a0"},
	{"a number without an end", "20 80 80 80 80 80 80 80 80 80 80 02 05 08 18 28 09 a0"},
	{"a time before 1970", "20 81 80 80 80 80 80 80 80 80 01 02 05 08 18 28 09 a0"},
	{"a time before 1970, its wall after", "24 81 c0 e2 85 e3 68 82 c0 e2 85 e3 68 02 05 08 18 28 09 a0"},
	{"a time beyond a stamp", "20 80 80 80 80 80 80 80 80 40 02 05 08 18 28 09 a0"},
	{"the usual counter, told", "22 00 02 02 05 08 18 28 09 a0"},
	{"a counter beyond a stamp", "22 00 80 80 04 02 05 08 18 28 09 a0"},
	{"a wall that did not change", "24 00 00 02 05 08 18 28 09 a0"},
	{"a wall before 1970", "24 00 01 02 05 08 18 28 09 a0"},
	{"a since that did not change", "30 00 00 02 05 08 18 28 09 a0"},
	{"a start that did not change", "28 00 00 00 00 00 00 00 00 00 02 05 08 18 28 09 a0"},
	{"a start that is cut", "28 00 00 00 01"},
	{"a rest longer than what is left", "20 00 02 06 08 18 28 09 a0"},
	{"a rest of no entries", "20 00 00 05 08 18 28 09 a0"},
	{"a rest of too many entries", "20 00 11 05 08 18 28 09 a0"},
	{"a rest of fewer entries than it says", "20 00 03 05 08 18 28 09 a0"},
	{"a rest of more entries than it says", "20 00 01 05 08 18 28 09 a0"},
	{"a rest of no bytes", "20 00 02 00"},
	{"a rest that begins before the kind", "20 00 03 07 07 01 08 18 28 09 a0"},
	{"a rest without a fact", "20 00 01 03 08 18 28"},
	{"a rest with a session", "20 00 03 17 08 18 28 09 a0 0a 50 01 01 01 01 01 01 01 01 01 01 01 01 01 01 01 01"},
}

func TestRefusedRows(t *testing.T) {
	c := chainOf(t, 9, 2)
	for _, tt := range refusedRows {
		t.Run(tt.name, func(t *testing.T) {
			row, err := hex.DecodeString(strings.ReplaceAll(tt.row, " ", ""))
			if err != nil {
				t.Fatal(err)
			}
			got, err := unpacked(append(wholeRow(c[0].Body), row...))
			wantCode(t, "after a whole body", err, "frame-damaged")
			sameEvents(t, got, c[:1])
			got, err = unpacked(row)
			wantCode(t, "at the start", err, "frame-damaged")
			sameEvents(t, got, nil)
		})
	}
	const good = "\x20\x00\x02\x05\x08\x18\x28\x09\xa0"
	if got, err := unpacked(append(wholeRow(c[0].Body), good...)); err != nil || len(got) != 2 {
		t.Errorf("the row that all of these spoil: got %d events, %v, want 2", len(got), err)
	}
}

func TestUnpackKeepsToItsBounds(t *testing.T) {
	full := pack(t, chainOf(t, 9, MaxFrameEvents))[0]
	got, err := unpacked(append(full, 0, 0, 0))
	wantCode(t, "one event too many", err, "frame-events")
	if len(got) != MaxFrameEvents {
		t.Errorf("got %d events, want %d before the fault", len(got), MaxFrameEvents)
	}

	a := &author{id: event.ReplicaID{9, 7: 9}}
	note := &event.Note{Text: strings.Repeat("語", 600)}
	small := pack(t, []*event.Event{a.next(t, note), a.next(t, note)})[0]
	small = append(small, bytes.Repeat([]byte{0, 0, 0}, MaxFrameEvents-2)...)
	got, err = unpacked(small)
	wantCode(t, "a few bytes for very many", err, "frame-long")
	bodies := 0
	for _, e := range got {
		bodies += len(e.Body)
	}
	if bodies > maxUnpacked || bodies < maxUnpacked-2*event.MaxBody {
		t.Errorf("got %d bytes of bodies, want at most and about %d", bodies, maxUnpacked)
	}

	long := wholeRow(make([]byte, event.MaxBody+1))
	_, err = unpacked(long)
	wantCode(t, "a body that is too long", err, "frame-damaged")
	rest := append([]byte{0x20, 0, 2}, appendUvarint(nil, event.MaxBody+1)...)
	_, err = unpacked(append(append(wholeRow(chainOf(t, 9, 1)[0].Body), rest...), make([]byte, event.MaxBody+1)...))
	wantCode(t, "a rest that is too long", err, "frame-damaged")

	w := event.NewWriter(nil)
	w.Map(2)
	w.Uint(1)
	w.Uint(typeEvents)
	w.Uint(2)
	w.Bytes(make([]byte, maxPacked))
	if got := len(w.Out()); got > MaxFrame {
		t.Errorf("a full message: got %d bytes, want at most %d", got, MaxFrame)
	}
}

// mixed is two phones by turns, one of which starts anew and is told a note.
func mixed(t testing.TB) []*event.Event {
	t.Helper()
	one, two := newTapper(1, 0, sortingTaps()[:2]), newTapper(2, 900, extractionTaps()[:1])
	events := taps(t, 8, one, two)
	e := *one.tap(t, dayStart+9_000)
	e.Start, e.SinceMs, e.Late = event.StartID{5}, 12, true
	one.head = remade(t, &e)
	one.facts = []event.Fact{&event.Note{Text: "the room is cold"}}
	return append(events, one.head, one.tap(t, dayStart+9_400), two.tap(t, dayStart+9_500), one.tap(t, dayStart+9_600))
}

// One event takes no more memory than it needs, many share some.
func TestSlabs(t *testing.T) {
	for _, tt := range []struct {
		name           string
		unpacked, want int
	}{
		{"the first", 0, 130},
		{"after a few", 700, 700},
		{"after many", 1 << 20, maxSlab},
	} {
		u := unpacker{unpacked: tt.unpacked}
		if u.reserve(130); cap(u.slab) != tt.want {
			t.Errorf("%s: got a slab of %d bytes, want %d", tt.name, cap(u.slab), tt.want)
		}
	}
}

func TestCutRows(t *testing.T) {
	events := mixed(t)
	ends := map[int]int{0: 0} // after so many bytes, so many events
	var p Packer
	for i, e := range events {
		p.Add(e)
		ends[len(p.buf)] = i + 1
	}
	for at := range len(p.buf) {
		got, err := unpacked(p.buf[:at])
		n, whole := ends[at]
		if whole {
			if err != nil {
				t.Fatalf("cut after event %d: %v", n, err)
			}
			sameEvents(t, got, events[:n])
			continue
		}
		wantCode(t, "cut inside a row", err, "frame-damaged")
		sameEvents(t, got, events[:len(got)])
	}
}

// checkUnpacked holds whatever rows are accepted to what they may give: events
// that are their bodies, within bounds, which Packer tells in as few bytes.
func checkUnpacked(t failer, packed []byte) {
	t.Helper()
	got, err := unpacked(packed)
	var p Packer
	for i, e := range got {
		alone, err := event.Decode(e.Body)
		if err != nil || !reflect.DeepEqual(alone, e) || cap(e.Body) != len(e.Body) {
			t.Fatalf("event %d: got %+v, want %+v, %v", i, e, alone, err)
		}
		if !p.Add(e) {
			t.Fatalf("event %d of %d in %d bytes: found no room in a packer", i, len(got), len(packed))
		}
	}
	if len(p.buf) > len(packed) {
		t.Fatalf("packed again: got %d bytes, want at most %d", len(p.buf), len(packed))
	}
	back, again := unpacked(p.buf)
	if again != nil {
		t.Fatalf("packed again: %v", again)
	}
	sameEvents(t, back, got)
	for _, code := range []string{"frame-damaged", "frame-events", "frame-long"} {
		if err == nil || strings.HasPrefix(err.Error(), code) {
			return
		}
	}
	t.Fatalf("got %v, want a fault of the frame", err)
}

func TestFlippedRows(t *testing.T) {
	packed := pack(t, mixed(t))[0]
	refused := 0
	for bit := range 8 * len(packed) {
		flipped := bytes.Clone(packed)
		flipped[bit/8] ^= 1 << (bit % 8)
		checkUnpacked(t, flipped)
		if _, err := unpacked(flipped); err != nil {
			refused++
		}
	}
	if refused < len(packed) {
		t.Errorf("got %d of %d flips refused, want at least an eighth", refused, 8*len(packed))
	}
}

func TestUnpackLeavesItsInputAlone(t *testing.T) {
	events := mixed(t)
	packed := pack(t, events)[0]
	kept := bytes.Clone(packed)
	got, err := unpacked(packed)
	if err != nil || !bytes.Equal(packed, kept) {
		t.Fatalf("got %v, want the input as it was", err)
	}
	clear(packed)
	sameEvents(t, got, events)
}

func TestUnpackStopsWhereItsCallerDoes(t *testing.T) {
	stop, n := errors.New("stop"), 0
	err := unpack(pack(t, mixed(t))[0], func(*event.Event) error {
		if n++; n == 3 {
			return stop
		}
		return nil
	})
	if err != stop || n != 3 {
		t.Errorf("got %v after %d, want %v after 3", err, n, stop)
	}
}

// The corpus in testdata/fuzz holds packed days and rows that were refused.
func FuzzUnpack(f *testing.F) {
	f.Add(pack(f, mixed(f))[0])
	f.Add(pack(f, goldens(f))[0])
	f.Fuzz(func(t *testing.T, packed []byte) {
		if len(packed) <= maxPacked {
			checkUnpacked(t, packed)
		}
	})
}
