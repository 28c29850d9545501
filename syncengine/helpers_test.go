package syncengine

import (
	"bytes"
	"encoding/json"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// dayStart is when every made-up day begins, in ms since 1970.
const dayStart = 1_800_000_000_000

const (
	minuteMs = 60_000
	yearMs   = 365 * 24 * 60 * minuteMs
)

// failer is what a check needs of a test, plain or of random cases.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

// numbered is the identity of the n-th replica of the test session.
func numbered(n byte) Identity {
	return Identity{testSession, event.ReplicaID{n, 7: n}, event.PhoneID{n, 15: n}, event.StartID{n}}
}

// wallIdentity only reads.
func wallIdentity() Identity { return Identity{Session: testSession} }

// nobody is taken to hold more than what it says.
func nobody(event.ReplicaID) bool { return false }

// anybody may hold more than what is here.
func anybody(event.ReplicaID) bool { return true }

// shuffled is a copy of events in an order that pick chooses.
func shuffled(pick func(int) int, events []*event.Event) []*event.Event {
	out := append([]*event.Event(nil), events...)
	for i := len(out) - 1; i > 0; i-- {
		j := pick(i + 1)
		out[i], out[j] = out[j], out[i]
	}
	return out
}

// take lets a replica receive events, none of which may be refused.
func take(t failer, r *Replica, wallMs int64, events ...*event.Event) []*event.Event {
	t.Helper()
	fresh, refused := r.Receive(events, Now{WallMs: wallMs})
	for _, one := range refused {
		t.Fatalf("refused %v:%d: %v", one.Replica, one.Seq, one.Fault)
	}
	return fresh
}

// record writes a fact down, which must not be refused.
func record(t failer, r *Replica, fact event.Fact, wallMs int64) *event.Event {
	t.Helper()
	e, err := r.Record(fact, false, Now{WallMs: wallMs, SinceMs: uint64(max(0, wallMs-dayStart))})
	if err != nil {
		t.Fatalf("%v: %v", fact.Kind(), err)
	}
	return e
}

// viewJSON is the bytes of what r draws at nowMs.
func viewJSON(t failer, r *Replica, nowMs int64) []byte {
	t.Helper()
	out, err := json.Marshal(r.View(nowMs, nil))
	if err != nil {
		t.Fatalf("view: %v", err)
	}
	return out
}

// sameBytes shows the first place where two texts part.
func sameBytes(t failer, what string, got, want []byte) {
	t.Helper()
	if bytes.Equal(got, want) {
		return
	}
	at := 0
	for at < len(got) && at < len(want) && got[at] == want[at] {
		at++
	}
	from := max(0, at-60)
	t.Fatalf("%s: got …%s…, want …%s…", what, got[from:min(len(got), at+60)], want[from:min(len(want), at+60)])
}

// wantCode checks the code of a refusal.
func wantCode(t failer, what string, err error, code fault.Code) {
	t.Helper()
	if !fault.Is(err, code) {
		t.Errorf("%s: got %v, want %s", what, err, code)
	}
}

// author writes events as another program could: linked, but no bound is checked.
type author struct {
	id   event.ReplicaID
	head *event.Event
}

// next is the author's next event and becomes its head.
func (a *author) next(t failer, fact event.Fact) *event.Event {
	t.Helper()
	e := &event.Event{Replica: a.id, Seq: 1, Session: testSession, Phone: event.PhoneID{a.id[0], 15: 1}, Fact: fact}
	if a.head != nil {
		e.Seq, e.Prev, e.Session, e.Phone = a.head.Seq+1, a.head.Hash, event.SessionID{}, event.PhoneID{}
	}
	e.Stamp = event.StampAt(dayStart) + event.Stamp(e.Seq)
	a.head = remade(t, e)
	return a.head
}

// remade is e after its body went over the network.
func remade(t failer, e *event.Event) *event.Event {
	t.Helper()
	out, err := event.Decode(event.Encode(e))
	if err != nil {
		t.Fatalf("hand-made event: %v", err)
	}
	return out
}

// chainOf is n linked events of one author.
func chainOf(t testing.TB, id byte, n int) []*event.Event {
	t.Helper()
	a := &author{id: event.ReplicaID{id, 7: id}}
	out := make([]*event.Event, 0, n)
	for range n {
		out = append(out, a.next(t, &event.Sorted{Size: 1, N: 1}))
	}
	return out
}
