package bridge

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

// FuzzHandle: whatever a worker or a server says, the engine answers and goes on
// counting.
func FuzzHandle(f *testing.F) {
	session := event.SessionID{1}
	for _, m := range []syncengine.Message{syncengine.Welcome{Epoch: [16]byte{1}, FrameBytes: 9, FrameEvents: 9}, syncengine.Ping{},
		syncengine.LinksMessage{NowMs: 5}, syncengine.Ack{Stored: syncengine.Vector{{Replica: event.ReplicaID{1}, Seq: 1}}}} {
		f.Add(byte(CallFrame), syncengine.EncodeMessage(m))
	}
	f.Add(byte(CallCarryIn), []byte("rootledger counts"))
	f.Add(byte(CallTap), event.EncodeFact(&event.Sorted{Size: 1, N: 2}))
	f.Add(byte(CallQuery), []byte{})
	f.Add(byte(0), []byte{0xa1, 1, 1})
	f.Fuzz(func(t *testing.T, kind byte, raw []byte) {
		var g Engine
		boot := Call{Type: CallBoot, Session: session, Replica: event.ReplicaID{1}, Phone: event.PhoneID{1}, Start: event.StartID{1}, RealMs: 1_800_000_000_000}
		if d := g.Do(boot); len(d.Answers) > 0 {
			t.Fatalf("boot: %v", d.Answers[0].Fault)
		}
		if kind == 0 {
			g.Handle(raw)
		} else {
			g.Do(Call{Type: CallType(kind), Kind: event.KindSorted, Fact: raw, Frame: raw, File: raw, Seq: uint64(len(raw)), Up: true})
		}
		if g.Replica() == nil {
			t.Fatal("the engine forgot who it is")
		}
		if g.Replica().Me().Replica != boot.Replica {
			return // it was told to start over as another one
		}
		before := g.Replica().State().Events()
		if d := g.Do(Call{Type: CallTap, Tap: 7, Kind: event.KindSorted, Fact: event.EncodeFact(&event.Sorted{Size: 1, N: 1})}); len(d.Keep) != 1 {
			t.Fatalf("a tap after it: got %v", d.Answers)
		}
		if got := g.Replica().State().Events(); got != before+1 {
			t.Fatalf("events: got %d, want %d", got, before+1)
		}
	})
}
