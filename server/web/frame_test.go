package web_test

import (
	"bytes"
	"encoding/binary"
	"slices"
	"testing"

	"github.com/gorilla/websocket"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// deep is a message with an unknown key whose value nests too deep.
func deep() []byte {
	w := event.NewWriter(nil)
	w.Map(2)
	w.Uint(1)
	w.Uint(7)
	w.Uint(99)
	for range 10_000 {
		w.Array(1)
	}
	w.Uint(0)
	return w.Out()
}

// manyEvents is a message of one body and of small rows behind it, each the
// same count once more.
func manyEvents(body []byte, n int) []byte {
	rows := append(binary.AppendUvarint([]byte{64}, uint64(len(body))), body...)
	rest := []byte{32, 0, 2, 5, 8, 24, 40, 9, 0xa0} // of a session, at the same millisecond
	rows = append(rows, rest...)
	return syncengine.EncodeMessage(syncengine.Events{Rows: append(rows, bytes.Repeat([]byte{0, 0, 0}, n-2)...)})
}

// badFrames are frames that end a conversation, made by a phone with one good event.
var badFrames = []struct {
	name  string
	frame func(good []byte) []byte
	code  fault.Code
}{
	{"not a message", func([]byte) []byte { return []byte{0xff, 0x00} }, "frame-damaged"},
	{"no bytes", func([]byte) []byte { return nil }, "frame-damaged"},
	{"more behind a message", func(g []byte) []byte { return append(eventsFrame(g), 0) }, "frame-damaged"},
	{"a message that is cut", func(g []byte) []byte { f := eventsFrame(g); return f[:len(f)-1] }, "frame-damaged"},
	{"nested too deep", func([]byte) []byte { return deep() }, "frame-damaged"},
	{"4,097 events", func(g []byte) []byte { return manyEvents(g, 4097) }, "frame-events"},
	{"a body that is no event", func([]byte) []byte { return eventsFrame([]byte("tap")) }, "frame-damaged"},
	{"an empty body", func([]byte) []byte { return eventsFrame(nil) }, "frame-damaged"},
	{"a good event and one that is none", func(g []byte) []byte { return eventsFrame(g, g[:len(g)-1]) }, "frame-damaged"},
	{"a row that is none", func(g []byte) []byte { return manyEvents(g[:len(g)-1], 2) }, "frame-damaged"},
	{"an event that is too long", func([]byte) []byte { return eventsFrame(make([]byte, event.MaxBody+1)) }, "frame-damaged"},
}

// A bad frame stores nothing; what was good in it comes in again on the next
// connection.
func TestBadFramesEndTheConversation(t *testing.T) {
	r := newRig(t)
	for _, test := range badFrames {
		t.Run(test.name, func(t *testing.T) {
			pass, me := r.pass()
			before := len(r.stored())
			c := r.met(pass, me)
			c.t = t
			e := c.record(&event.Sorted{Size: 1, N: 1})
			c.send(test.frame(e.Body))
			c.trouble(test.code)
			same(t, "stored", len(r.stored()), before)

			again := r.socket(pass, me)
			again.t = t
			has := func(ref event.Ref) bool { return ref.Replica == me.Replica }
			same(t, "whether the server has any of it", slices.ContainsFunc(again.greet().Vector, has), false)
			again.events(e.Body)
			same(t, "acknowledged", again.ack().Stored[0], e.Ref())
			if all := r.stored(); !bytes.Equal(all[len(all)-1], e.Body) {
				t.Errorf("stored: got %x, want %x", all[len(all)-1], e.Body)
			}
		})
	}
}

// A phone whose frames are spoilt on the way gets every count in by itself.
func TestPhoneGetsTheRestIn(t *testing.T) {
	r := newRig(t)
	for i, test := range badFrames {
		t.Run(test.name, func(t *testing.T) {
			p := r.phone("Ash")
			e := tap(t, p, &event.Sorted{Size: 1, N: 1})
			p.SendRaw(test.frame(e.Body))
			sorts(t, p, 2)
			inRoom(t, p)
			same(t, "refused", len(p.Refused()), 0)
			same(t, "sorted", r.sortedInRoom(), int64(3*(i+1)))
		})
	}
}

// longMessage is a well-formed message of a later version, of so many bytes.
func longMessage(size int) []byte {
	const head = 10
	w := event.NewWriter(nil)
	w.Map(2)
	w.Uint(1)
	w.Uint(7)
	w.Uint(99)
	w.Bytes(make([]byte, size-head))
	return w.Out()
}

func TestLongestFrame(t *testing.T) {
	r := newRig(t)
	long := longMessage(syncengine.MaxFrame + 1)
	same(t, "bytes", len(long), syncengine.MaxFrame+1)
	p := r.phone("Ash")
	for name, frame := range map[string][]byte{"one byte too long": long, "a megabyte": make([]byte, 1<<20)} {
		t.Run(name, func(t *testing.T) {
			c := r.joined()
			c.t = t
			_ = c.ws.WriteMessage(websocket.BinaryMessage, frame) // the server may hang up before its end
			c.closes()
			sorts(t, p, 1) // the server lives on
			inRoom(t, p)
		})
	}
	c := r.joined()
	c.send(longMessage(syncengine.MaxFrame))
	c.events(c.record(&event.Sorted{Size: 1, N: 1}).Body)
	same(t, "acknowledged after the longest frame", c.ack().Stored[0].Seq, 1)
}

func TestLongHelloIsHungUpOn(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	c := r.socket(pass, me)
	_ = c.ws.WriteMessage(websocket.BinaryMessage, longMessage(syncengine.MaxFrame+1))
	c.closes()
	r.met(pass, me)
}

func TestWallOnlyReads(t *testing.T) {
	r := newRig(t)
	wall := r.met(practice.Pass{}, syncengine.Identity{})
	e := r.joined().record(&event.Sorted{Size: 1, N: 1})
	before := len(r.stored())
	wall.events(e.Body)
	wall.trouble("reads-only")
	same(t, "stored", len(r.stored()), before)
	_, err := practice.NewWall(r.api, r.session, now).Tap(&event.Sorted{Size: 1, N: 1}, false)
	if !fault.Is(err, "reads-only") {
		t.Errorf("a wall that taps: got %v, want reads-only", err)
	}
}

func TestEventsOfWhoHasNotJoined(t *testing.T) {
	r := newRig(t)
	c := r.joined()
	stranger := syncengine.New(syncengine.Identity{Session: r.session, Replica: event.ReplicaID{8}, Phone: event.PhoneID{8}})
	strange, err := stranger.Record(&event.Sorted{Size: 2, N: 3}, false, now())
	if err != nil {
		t.Fatal(err)
	}
	own := c.record(&event.Sorted{Size: 1, N: 1})
	before := len(r.stored())
	c.events(strange.Body, own.Body)
	ack := c.ack()
	same(t, "acknowledged", len(ack.Stored), 1)
	same(t, "its own", ack.Stored[0], own.Ref())
	if len(ack.Refused) != 1 {
		t.Fatalf("refused: got %v, want one", ack.Refused)
	}
	same(t, "refused replica", ack.Refused[0].Replica, strange.Replica)
	same(t, "refused seq", ack.Refused[0].Seq, 1)
	same(t, "refused code", ack.Refused[0].Fault.Code, "not-enrolled")
	same(t, "stored", len(r.stored()), before+1)

	shown, err := r.api.Room(bounded(t), "A") // now it joins, and any phone may bring what it wrote
	if err != nil {
		t.Fatal(err)
	}
	_, err = r.phoneAPI().Join(bounded(t), shown.Code, event.PhoneID{8}, strange.Replica)
	if err != nil {
		t.Fatal(err)
	}
	c.events(strange.Body)
	same(t, "brought by another phone", c.ack().Stored[0], strange.Ref())
	same(t, "sorted", r.sortedInRoom(), 4)
}

// A message of a later version is passed over, and the conversation goes on.
func TestUnknownMessagesArePassedOver(t *testing.T) {
	r := newRig(t)
	c := r.joined()
	c.send(syncengine.EncodeMessage(syncengine.Unknown{Type: 1 << 40}))
	c.send(syncengine.EncodeMessage(syncengine.Events{}))
	c.events(c.record(&event.Sorted{Size: 1, N: 1}).Body)
	same(t, "acknowledged", c.ack().Stored[0].Seq, 1)
}

// Two histories under one identity are both stored and counted, and a copy that
// comes back finds out that it is one.
func TestSplitHistory(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	one, other := r.met(pass, me), r.met(pass, me)
	first := one.record(&event.Sorted{Size: 1, N: 1})
	one.events(first.Body)
	one.ack()
	second := other.record(&event.Sorted{Size: 2, N: 9})
	other.events(second.Body)
	ack := other.ack()
	same(t, "refused", len(ack.Refused), 0)
	same(t, "acknowledged", ack.Stored[0], second.Ref())
	same(t, "sorted", r.sortedInRoom(), 10)

	p := practice.NewPhone("a third copy", r.phoneAPI(), pass, me, now)
	sorts(t, p, 2)
	stay(t, p)
	inRoom(t, p)
	holds(t, p, len(r.stored()))
	same(t, "refused", len(p.Refused()), 0)
	same(t, "sorted by all", r.sortedInRoom(), 12)
	same(t, "split histories", p.Settled().Session.Splits, 1)
}
