package bridge

import (
	"bytes"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// bodies is what the frames of some duties carry.
func bodies(t *testing.T, send [][]byte) (out [][]byte) {
	t.Helper()
	for _, frame := range send {
		m, err := syncengine.DecodeMessage(frame)
		if err != nil {
			t.Fatal(err)
		}
		if packed, ok := m.(syncengine.Events); ok {
			events, err := packed.Unpack()
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range events {
				out = append(out, e.Body)
			}
		}
	}
	return out
}

// message carries the events of bodies.
func message(t *testing.T, bodies ...[]byte) syncengine.Events {
	t.Helper()
	var batch syncengine.Packer
	for _, body := range bodies {
		e, err := event.Decode(body)
		if err != nil || !batch.Add(e) {
			t.Fatalf("not added: %v", err)
		}
	}
	return batch.Message()
}

// Damaged rows are told in words, nothing of them is taken, and what comes next is.
func TestDamagedEventsArePassedOver(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	other := syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{3}, Phone: event.PhoneID{3}})
	var told [][]byte
	for range 2 {
		e, err := other.Record(&event.Sorted{Size: 1, N: 5}, false, syncengine.Now{WallMs: 1_800_000_000_000})
		if err != nil {
			t.Fatal(err)
		}
		told = append(told, e.Body)
	}
	good := message(t, told...)
	a := w.frame(syncengine.Events{Rows: good.Rows[:len(good.Rows)-1]})
	if len(a.trouble) == 0 || a.trouble[0] != "frame-damaged" || len(a.others) != 0 {
		t.Errorf("damaged: got trouble %v, %d events to keep, want frame-damaged and none", a.trouble, len(a.others))
	}
	if a = w.frame(good); len(a.trouble) != 0 || len(a.others) != 2 {
		t.Errorf("whole: got trouble %v, %d events to keep, want 2", a.trouble, len(a.others))
	}
}

// A message of a later version changes nothing, and neither does an unknown key.
func TestLaterMessagesArePassedOver(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	w.call(CallLink, map[uint64]any{14: true})
	later := event.NewWriter(nil)
	later.Map(3)
	later.Uint(1)
	later.Uint(4711)
	later.Uint(2)
	later.Text("what nobody knows yet")
	later.Uint(9)
	later.Bool(true)
	ping := event.NewWriter(nil)
	ping.Map(2)
	ping.Uint(1)
	ping.Uint(6)
	ping.Uint(9)
	ping.Text("what nobody knows yet")
	for name, tt := range map[string]struct {
		frame []byte
		sent  int
	}{"an unknown type": {later.Out(), 0}, "a ping with an unknown key": {ping.Out(), 1}} {
		a := w.call(CallFrame, map[uint64]any{13: tt.frame})
		if len(a.trouble) != 0 || len(a.answers) != 0 || len(a.send) != tt.sent {
			t.Errorf("%s: got trouble %v, answers %v, %d sent, want %d sent", name, a.trouble, a.answers, len(a.send), tt.sent)
		}
	}
}

// A server of another version says so; every count stays on the phone, and is
// sent to the next one that understands it.
func TestAnotherProtocolKeepsTheCounts(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	w.kept(w.tap(1, &event.Sorted{Size: 1, N: 1}), true)
	w.call(CallLink, map[uint64]any{14: true})
	a := w.frame(syncengine.Trouble{Fault: fault.New(fault.Invalid, "protocol-version").WithInt("got", 2).WithInt("want", 1)})
	if len(a.trouble) == 0 || a.trouble[0] != "protocol-version" {
		t.Errorf("got trouble %v, want protocol-version", a.trouble)
	}
	w.call(CallLink, map[uint64]any{14: false})
	if more := w.kept(w.tap(2, &event.Sorted{Size: 1, N: 1}), true); len(more.answers) != 1 || len(more.send) != 0 {
		t.Errorf("a tap afterwards: got %v, %d sent, want it answered and kept here", more.answers, len(more.send))
	}
	w.call(CallLink, map[uint64]any{14: true})
	got := bodies(t, w.frame(syncengine.Welcome{}).send)
	if len(got) != 2 || !bytes.Equal(got[0], w.own[0]) || !bytes.Equal(got[1], w.own[1]) {
		t.Errorf("to a server that understands: got %d, want both", len(got))
	}
}

// A crowd's messages are taken in without a drawing each; the next call shows
// all that they brought.
func TestQuietFramesAreShownLater(t *testing.T) {
	w := &worker{t: t}
	w.boot()
	other := syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{3}, Phone: event.PhoneID{3}})
	for range 3 {
		e, err := other.Record(&event.Sorted{Size: 1, N: 5}, false, syncengine.Now{WallMs: 1_800_000_000_000})
		if err != nil {
			t.Fatal(err)
		}
		a := w.call(CallFrame, map[uint64]any{13: syncengine.EncodeMessage(message(t, e.Body)), 27: true})
		if len(a.show) > 0 || len(a.truth) > 0 || len(a.others) != 1 {
			t.Errorf("shown %v, truth %v, kept %d; want nothing shown, one kept", a.show, a.truth, len(a.others))
		}
	}
	a := w.call(CallTick, nil)
	if len(a.show) == 0 || len(a.truth) == 0 {
		t.Errorf("shown %v, truth %v by the next call, want what the frames brought", a.show, a.truth)
	}
	if got := w.engine.Replica().View(1_800_000_000_000, nil).Ledger.Holding[0]; got != 15 {
		t.Errorf("%d singles held, want 15", got)
	}
	w.kept(w.tap(1, &event.Sorted{Size: 1, N: 1}), true)
	ack := syncengine.EncodeMessage(syncengine.Ack{Stored: syncengine.Vector{w.engine.Replica().Head()}})
	if a = w.call(CallFrame, map[uint64]any{13: ack, 27: true}); len(a.truth) == 0 {
		t.Errorf("an acknowledgement that came quietly told nothing: who counted waits for it")
	}
}
