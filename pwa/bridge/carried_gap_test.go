package bridge

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

// A carrier that was away since before the file: what it carries waits for what
// only the room has. It is kept, is not taken for stored when that comes, and
// goes over then.
func TestCarriedCountsThatWait(t *testing.T) {
	ash := syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{3}, Phone: event.PhoneID{3}, Start: event.StartID{3}})
	var all []*event.Event
	for range 6 {
		e, err := ash.Record(&event.Sorted{Size: 1, N: 1}, false, syncengine.Now{WallMs: 1_800_000_000_000})
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, e)
	}
	room := syncengine.Vector{all[2].Ref()}
	file := ash.Parcel(ash.Know(room, nobody))
	g := new(Engine)
	g.Do(Call{Type: CallBoot, Session: testSession, Replica: event.ReplicaID{7}, Phone: event.PhoneID{7}, Start: event.StartID{1}, RealMs: 1})
	if d := g.Do(Call{Type: CallCarryIn, File: file}); len(d.Others) != 3 || d.Carried != 3 {
		t.Errorf("got %d to keep, %d carried, want 3", len(d.Others), d.Carried)
	}
	if d := g.Do(Call{Type: CallCarryIn, File: file}); len(d.Others) != 0 || d.Carried != 0 {
		t.Errorf("a second time: got %d to keep, %d carried, want none", len(d.Others), d.Carried)
	}
	g.Do(Call{Type: CallLink, Up: true})
	var first syncengine.Packer
	for _, e := range all[:3] {
		first.Add(e)
	}
	sent := 0
	for _, m := range []syncengine.Message{syncengine.Welcome{Vector: room}, first.Message()} {
		for _, frame := range g.Do(Call{Type: CallFrame, Frame: syncengine.EncodeMessage(m)}).Send {
			decoded, err := syncengine.DecodeMessage(frame)
			if err != nil {
				t.Fatal(err)
			}
			if events, ok := decoded.(syncengine.Events); ok {
				some, err := events.Unpack()
				if err != nil {
					t.Fatal(err)
				}
				sent += len(some)
			}
		}
	}
	if sent != 3 {
		t.Errorf("sent: got %d, want the 3 that were carried", sent)
	}
	for _, e := range all[3:] {
		if g.replica.Holds(g.stored, e.Ref()) {
			t.Errorf("%d counts as in the room", e.Seq)
		}
	}
}
