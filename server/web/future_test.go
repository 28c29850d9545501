package web_test

import (
	"bytes"
	"crypto/sha256"
	"sync"
	"testing"

	"rootledger/server/export"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// later writes events as a version that is not made yet would.
type later struct {
	me   syncengine.Identity
	id   event.SessionID
	seq  uint64
	prev event.Hash
}

// next is a body with a fact that a test writes, and keys that this version
// does not know.
func (l *later) next(kind uint64, fact func(w *event.Writer)) []byte {
	l.seq++
	w := event.NewWriter(nil)
	w.Map(11)
	bytesAt := func(key uint64, b []byte) {
		w.Uint(key)
		w.Bytes(b)
	}
	uintAt := func(key, n uint64) {
		w.Uint(key)
		w.Uint(n)
	}
	bytesAt(1, l.me.Replica[:])
	uintAt(2, l.seq)
	if l.seq > 1 {
		bytesAt(3, l.prev[:])
	}
	uintAt(4, uint64(event.StampAt(now().WallMs)))
	uintAt(5, uint64(now().WallMs))
	bytesAt(6, []byte{1, 2, 3, 4, 5, 6, 7, 8})
	uintAt(7, 5)
	uintAt(8, kind)
	w.Uint(9)
	fact(w)
	if l.seq == 1 {
		bytesAt(10, l.id[:])
		bytesAt(11, l.me.Phone[:])
	} else {
		uintAt(13, 1)
	}
	w.Uint(70_000) // a key of a later version
	w.Array(2)
	w.Text("later")
	w.Bool(true)
	body := w.Out()
	l.prev = sha256.Sum256(body)
	return body
}

// laterBodies are three events: of an unknown kind, of a known kind with more
// in it than is known, and of a known kind in another shape.
func laterBodies(session event.SessionID, me syncengine.Identity) [][]byte {
	l := &later{me: me, id: session}
	return [][]byte{
		l.next(200, func(w *event.Writer) {
			w.Map(1)
			w.Uint(1)
			w.Text("<a & b>")
		}),
		l.next(uint64(event.KindSorted), func(w *event.Writer) {
			w.Map(3)
			w.Uint(1)
			w.Uint(2)
			w.Uint(2)
			w.Uint(7)
			w.Uint(50)
			w.Text("later")
		}),
		l.next(uint64(event.KindSorted), func(w *event.Writer) {
			w.Map(1)
			w.Uint(1)
			w.Text("two hairs")
		}),
	}
}

// arrived collects bodies as they come to a phone.
type arrived struct {
	mu     sync.Mutex
	bodies [][]byte
}

func (a *arrived) take(events []*event.Event) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, e := range events {
		a.bodies = append(a.bodies, e.Body)
	}
}

func (a *arrived) last(n int) [][]byte {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.bodies[max(0, len(a.bodies)-n):]
}

func wantSameBodies(t *testing.T, what string, got, want [][]byte) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: got %d bodies, want %d", what, len(got), len(want))
	}
	for i := range want {
		if !bytes.Equal(got[i], want[i]) {
			t.Errorf("%s: body %d: got %x, want %x", what, i, got[i], want[i])
		}
	}
}

// What this version does not know is stored, forwarded and exported byte for
// byte, and shown as waiting.
func TestLaterVersionsPassThrough(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	var seen arrived
	otherPass, other := r.pass()
	phone := practice.NewPhone("Birch", r.phoneAPI(), otherPass, other, now)
	phone.OnEvents(seen.take)
	stay(t, phone)
	wall := r.wall()
	before := len(r.stored())
	holds(t, phone, before)

	want := laterBodies(r.session, me)
	c := r.met(pass, me)
	c.events(want...)
	ack := c.ack()
	same(t, "acknowledged", len(ack.Stored), 1)
	same(t, "acknowledged", ack.Stored[0], refOf(t, want[2]))
	same(t, "refused", len(ack.Refused), 0)
	wantSameBodies(t, "stored", r.stored()[before:], want)
	holds(t, phone, before+3)
	wantSameBodies(t, "forwarded", seen.last(3), want)
	holds(t, wall, before+3)
	view := wall.Settled()
	same(t, "waiting", view.Session.Waiting, 2)
	same(t, "events", view.Session.Events, int64(before+3))
	same(t, "sorted", view.Ledger.Sorted[1], 7)

	text, err := r.api.Sheet(bounded(t), r.session, "jsonl")
	if err != nil {
		t.Fatal(err)
	}
	events, err := export.ReadJSONLines(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	var exported [][]byte
	for _, e := range events {
		exported = append(exported, e.Body)
	}
	wantSameBodies(t, "exported", exported, r.stored())
	same(t, "not counted, on the sheet", r.sheetCell("session", "", "events not counted"), "2")
}

// Figures go on after something that is not understood.
func TestCountsGoOnBehindLaterEvents(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	c := r.met(pass, me)
	bodies := laterBodies(r.session, me)
	c.events(bodies...)
	c.ack()
	l := &later{me: me, id: r.session, seq: 3, prev: sha256.Sum256(bodies[2])}
	c.events(l.next(uint64(event.KindSorted), func(w *event.Writer) {
		w.Map(2)
		w.Uint(1)
		w.Uint(1)
		w.Uint(2)
		w.Uint(5)
	}))
	same(t, "acknowledged", c.ack().Stored[0].Seq, 4)
	same(t, "sorted", r.sortedInRoom(), 12)
}
