package bridge

import (
	"testing"

	"github.com/fxamacker/cbor/v2"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

// worker drives an Engine as a phone's worker does, without a browser.
type worker struct {
	t      *testing.T
	engine Engine
	own    [][]byte // what this phone kept
	others [][]byte
}

var testSession = event.SessionID{9}

// answers are the duties of one call, decoded.
type answers struct {
	keep    [][]any
	others  []any
	answers [][]any
	show    [][]any
	truth   []any
	entries []any
	send    [][]byte
	trouble []any
	mint    bool
	wakeAt  uint64
}

func lists(v any) (out [][]any) {
	for _, one := range v.([]any) {
		out = append(out, one.([]any))
	}
	return out
}

func (w *worker) call(kind CallType, more map[uint64]any) answers {
	w.t.Helper()
	in := map[uint64]any{1: uint64(kind), 3: int64(1_800_000_000_000), 4: uint64(1000)}
	for k, v := range more {
		in[k] = v
	}
	mode, err := cbor.CoreDetEncOptions().EncMode()
	if err != nil {
		w.t.Fatal(err)
	}
	frame, err := mode.Marshal(in)
	if err != nil {
		w.t.Fatal(err)
	}
	var out []any
	if err := cbor.Unmarshal(w.engine.Handle(frame), &out); err != nil {
		w.t.Fatal(err)
	}
	a := answers{keep: lists(out[0]), others: out[1].([]any), answers: lists(out[2]), show: lists(out[3]),
		truth: out[4].([]any), entries: out[5].([]any), trouble: out[8].([]any), mint: out[9].(bool), wakeAt: out[10].(uint64)}
	for _, one := range out[7].([]any) {
		a.send = append(a.send, one.([]byte))
	}
	for _, one := range a.others {
		w.others = append(w.others, one.([]byte))
	}
	return a
}

func (w *worker) boot() answers {
	w.engine = Engine{}
	return w.call(CallBoot, w.bootWith(nil))
}

// bootWith is what a boot says, and some more.
func (w *worker) bootWith(more map[uint64]any) map[uint64]any {
	replica, phone, start := [8]byte{7}, [16]byte{7}, [8]byte{1}
	in := map[uint64]any{5: testSession[:], 6: replica[:], 7: phone[:], 8: start[:], 9: append(append([][]byte{}, w.own...), w.others...)}
	for k, v := range more {
		in[k] = v
	}
	return in
}

func (w *worker) tap(number uint64, fact event.Fact) answers {
	body := event.Encode(&event.Event{Replica: event.ReplicaID{1}, Seq: 1, Fact: fact})
	var whole map[uint64]any
	if err := cbor.Unmarshal(body, &whole); err != nil {
		w.t.Fatal(err)
	}
	return w.call(CallTap, map[uint64]any{2: number, 10: uint64(fact.Kind()), 11: whole[9]})
}

func (w *worker) kept(a answers, ok bool) answers {
	kind := CallKept
	if !ok {
		kind = CallKeepFailed
	}
	last := a.keep[len(a.keep)-1]
	if ok {
		w.own = append(w.own, last[1].([]byte))
	}
	return w.call(kind, map[uint64]any{15: last[0]})
}

func (w *worker) frame(m syncengine.Message) answers {
	return w.call(CallFrame, map[uint64]any{13: syncengine.EncodeMessage(m)})
}

// Keep, then show, then send: nothing of a tap leaves the engine before it is kept.
func TestKeepThenShowThenSend(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	w.call(CallLink, map[uint64]any{14: true})
	w.frame(syncengine.Welcome{})
	a := w.tap(5, &event.Sorted{Size: 2, N: 3})
	if len(a.keep) != 1 || len(a.show) != 0 || len(a.send) != 0 || len(a.answers) != 0 {
		t.Fatalf("a tap: got %+v, want only something to keep", a)
	}
	second := w.tap(6, &event.Sorted{Size: 1, N: 1})
	first := w.kept(a, true)
	if got := bodies(t, first.send); len(got) != 1 {
		t.Errorf("kept the first of two: sent %d bodies, want 1", len(got))
	}
	if len(first.show) != 0 {
		t.Errorf("kept the first of two: shown %d sections, want none before the second is kept", len(first.show))
	}
	if len(first.answers) != 1 || first.answers[0][0] != uint64(5) || first.answers[0][1] == "" {
		t.Errorf("answers: got %v, want the reference of tap 5", first.answers)
	}
	last := w.kept(second, true)
	if len(last.show) == 0 || len(bodies(t, last.send)) != 1 {
		t.Errorf("kept both: got %d sections, %d bodies", len(last.show), len(bodies(t, last.send)))
	}
	if last.truth[1] != uint64(2) {
		t.Errorf("unsent: got %v, want 2 until the server has stored them", last.truth[1])
	}
	acked := w.frame(syncengine.Ack{Stored: syncengine.Vector{refOf(t, w.own[1])}})
	if acked.truth[1] != uint64(0) {
		t.Errorf("acknowledged: got %v unsent", acked.truth[1])
	}
}

// What could not be kept counts as in memory, is sent all the same, and is kept
// when the disk takes it.
func TestKeepFailed(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	w.call(CallLink, map[uint64]any{14: true})
	w.frame(syncengine.Welcome{})
	failed := w.kept(w.tap(1, &event.Sorted{Size: 2, N: 1}), false)
	if failed.truth[2] != uint64(1) || len(failed.show) == 0 || len(bodies(t, failed.send)) != 1 {
		t.Errorf("failed: got truth %v, %d sections, %d bodies", failed.truth, len(failed.show), len(bodies(t, failed.send)))
	}
	again := w.kept(w.tap(2, &event.Sorted{Size: 2, N: 1}), true)
	if again.truth[2] != uint64(0) {
		t.Errorf("kept again: got %v in memory, want 0", again.truth[2])
	}
}

// A start without network shows what was kept, own and others'.
func TestBootFromWhatWasKept(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	lead := syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{3}, Phone: event.PhoneID{3}, Start: event.StartID{3}})
	e, err := lead.Record(&event.Budget{Grafts: 900}, false, syncengine.Now{WallMs: 1_800_000_000_000})
	if err != nil {
		t.Fatal(err)
	}
	w.frame(message(t, e.Body))
	w.kept(w.tap(1, &event.Sorted{Size: 2, N: 4}), true)
	booted := w.boot()
	for _, section := range booted.show {
		if section[0] == uint64(1) {
			headline := section[2].([]any)
			if headline[1] != uint64(900) || headline[2] != uint64(896) {
				t.Errorf("headline: got %v, want a budget of 900 and 896 to take", headline[:3])
			}
		}
	}
	if booted.wakeAt != 1_800_000_005_000 {
		t.Errorf("wake at: got %d, want five seconds on", booted.wakeAt)
	}
	if booted.truth[0] != uint64(1) {
		t.Errorf("written: got %v, want 1", booted.truth[0])
	}
}

// A bad tap is answered in a code and changes nothing; a bad call too.
func TestBadTaps(t *testing.T) {
	w := &worker{t: t}
	if a := w.call(CallTick, nil); len(a.answers) != 1 {
		t.Errorf("before boot: got %v, want a fault", a.answers)
	}
	w.boot()
	for name, test := range map[string]struct {
		fact event.Fact
		code string
	}{
		"no such zone": {&event.Placed{Zone: event.Ref{Replica: event.ReplicaID{1}, Seq: 1}, Size: 1, N: 1}, "zone-missing"},
		"too many":     {&event.Sorted{Size: 1, N: 501}, "count-range"},
	} {
		a := w.tap(9, test.fact)
		if len(a.keep) != 0 || len(a.answers) != 1 || a.answers[0][2].([]any)[0] != test.code {
			t.Errorf("%s: got %+v, want %s", name, a.answers, test.code)
		}
	}
	var out []any
	if err := cbor.Unmarshal(w.engine.Handle([]byte{0xff}), &out); err != nil || len(out[2].([]any)) != 1 {
		t.Errorf("bytes that are no call: got %v, %v", out, err)
	}
}

// refOf names the event of a body.
func refOf(t *testing.T, body []byte) event.Ref {
	t.Helper()
	e, err := event.Decode(body)
	if err != nil {
		t.Fatal(err)
	}
	return e.Ref()
}

// copyOf is what a copy of a phone went on with behind its first n events.
func copyOf(t *testing.T, own [][]byte, n int) *event.Event {
	t.Helper()
	copied := syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{7}, Phone: event.PhoneID{7}})
	var events []*event.Event
	for _, body := range own[:n] {
		e, err := event.Decode(body)
		if err != nil {
			t.Fatal(err)
		}
		events = append(events, e)
	}
	copied.Load(events, syncengine.Now{})
	e, err := copied.Record(&event.Sorted{Size: 4, N: 9}, false, syncengine.Now{WallMs: 1_800_000_000_000})
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// A phone whose id is used elsewhere asks for a new one, says why, and still
// offers what it counted.
func TestMint(t *testing.T) {
	tests := []struct {
		name    string
		welcome func(own [][]byte) syncengine.Vector
		events  func(own [][]byte) [][]byte // told after the welcome
		mint    bool
		sent    int
	}{
		{"an empty server", func([][]byte) syncengine.Vector { return nil }, nil, false, 3},
		{"a server that has all", func(own [][]byte) syncengine.Vector { return syncengine.Vector{refOf(t, own[2])} }, nil, false, 0},
		{"a server that knows more of it", func([][]byte) syncengine.Vector {
			return syncengine.Vector{{Replica: event.ReplicaID{7}, Seq: 4, Check: [8]byte{1}}}
		}, nil, true, 3},
		{"a server that knows another", func(own [][]byte) syncengine.Vector { return syncengine.Vector{copyOf(t, own, 1).Ref()} }, nil, true, 3},
		{"its own events, told back", func(own [][]byte) syncengine.Vector { return syncengine.Vector{refOf(t, own[2])} },
			func(own [][]byte) [][]byte { return own }, false, 0},
		{"a copy's event is told", func(own [][]byte) syncengine.Vector { return syncengine.Vector{refOf(t, own[2])} },
			func(own [][]byte) [][]byte { return [][]byte{copyOf(t, own, 3).Body} }, true, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := &worker{t: t}
			w.boot()
			for n := range uint64(3) {
				w.kept(w.tap(n, &event.Sorted{Size: 1, N: 1}), true)
			}
			w.call(CallLink, map[uint64]any{14: true})
			a := w.frame(syncengine.Welcome{Vector: tt.welcome(w.own)})
			if got := len(bodies(t, a.send)); got != tt.sent {
				t.Errorf("sent: got %d, want %d", got, tt.sent)
			}
			if tt.events != nil {
				a = w.frame(message(t, tt.events(w.own)...))
			}
			if said := len(a.trouble) > 0 && a.trouble[0] == "history-split"; a.mint != tt.mint || said != tt.mint {
				t.Errorf("got mint %v, trouble %v, want %v", a.mint, a.trouble, tt.mint)
			}
			more := w.kept(w.tap(9, &event.Sorted{Size: 1, N: 1}), true)
			if len(more.answers) != 1 || len(bodies(t, more.send)) != 1 {
				t.Errorf("one more tap: got %v, %d sent, want it answered and sent", more.answers, len(bodies(t, more.send)))
			}
		})
	}
}

// Own events on the disk that two copies wrote are found at boot, and all kept.
func TestMintAtBoot(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	for n := range uint64(2) {
		w.kept(w.tap(n, &event.Sorted{Size: 1, N: 1}), true)
	}
	w.own = append(w.own, copyOf(t, w.own, 1).Body)
	if a := w.boot(); !a.mint || a.truth[0] != uint64(3) {
		t.Errorf("got mint %v, written %v, want true, 3", a.mint, a.truth[0])
	}
}

// What a server had stored is remembered over a start without a network.
func TestHeardAtBoot(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	for n := range uint64(3) {
		w.kept(w.tap(n, &event.Sorted{Size: 1, N: 1}), true)
	}
	w.call(CallLink, map[uint64]any{14: true})
	epoch := [16]byte{5}
	w.frame(syncengine.Welcome{Epoch: epoch})
	told := w.frame(syncengine.LinksMessage{Stored: syncengine.Vector{refOf(t, w.own[1])}})
	heard := told.truth[6].([]byte)
	if v, ok := syncengine.ReadVector(heard); !ok || len(v) != 1 || v[0] != refOf(t, w.own[1]) || string(told.truth[7].([]byte)) != string(epoch[:]) {
		t.Fatalf("to be kept: got %v, %v under %x", v, ok, told.truth[7])
	}
	if again := w.call(CallTick, nil); len(again.truth[6].([]byte)) != 0 {
		t.Errorf("a tick: got %x to be kept, want nothing new", again.truth[6])
	}
	for name, test := range map[string]struct {
		heard  []byte
		unsent uint64
	}{"as it was": {heard, 1}, "nothing": {[]byte{}, 3}, "torn": {heard[:len(heard)-1], 3}} {
		booted := w.call(CallBoot, w.bootWith(map[uint64]any{17: int64(77), 18: test.heard, 19: epoch[:]}))
		if booted.truth[0] != uint64(3) || booted.truth[1] != test.unsent || booted.truth[5] != uint64(77) || booted.truth[4] != false {
			t.Errorf("%s: got %v, want 3 written, %d unsent, heard at 77, not up", name, booted.truth[:6], test.unsent)
		}
		up := w.call(CallLink, map[uint64]any{14: true})
		m, err := syncengine.DecodeMessage(up.send[0])
		if err != nil {
			t.Fatal(err)
		}
		hello := m.(syncengine.Hello)
		if want := 3 - int(test.unsent); len(hello.Heard) != want/2 || hello.Epoch != epoch || hello.Head != refOf(t, w.own[2]) {
			t.Errorf("%s: hello: got heard %v, epoch %x, head %v", name, hello.Heard, hello.Epoch, hello.Head)
		}
	}
}

// A history of another that the server does not have is offered as soon as it
// turns out that the server's went another way.
func TestAnotherHistoryIsOffered(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	other := func() *syncengine.Replica {
		return syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{3}, Phone: event.PhoneID{3}})
	}
	record := func(r *syncengine.Replica, n uint32) *event.Event {
		e, err := r.Record(&event.Sorted{Size: 1, N: n}, false, syncengine.Now{WallMs: 1_800_000_000_000})
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	one, two := other(), other()
	here := record(one, 5)
	w.frame(message(t, here.Body))
	there := []*event.Event{record(two, 6), record(two, 7)}
	w.call(CallLink, map[uint64]any{14: true})
	a := w.frame(syncengine.Welcome{Vector: syncengine.Vector{there[1].Ref()}})
	if got := len(bodies(t, a.send)); got != 0 {
		t.Errorf("sent to a server that may have gone on: got %d, want 0", got)
	}
	a = w.frame(message(t, there[0].Body, there[1].Body))
	found := false
	for _, body := range bodies(t, a.send) {
		found = found || string(body) == string(here.Body)
	}
	if !found {
		t.Errorf("sent once the server told its own: got %d bodies, want the one that it lacks among them", len(a.send))
	}
}
