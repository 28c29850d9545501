package hub_test

import (
	"testing"
	"time"

	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/syncengine"
)

// A room with a budget gives the phone at the punch half of what is left, keeps
// that, and gives no more until half of it is gone; phones write no shares.
func TestTheRoomSharesOut(t *testing.T) {
	d := newDesk(t)
	office, ash := d.phone(1), d.counter(2)
	office.offer(office.tap(&event.Joined{Person: "Yew", Station: event.Office}), office.tap(&event.Budget{Grafts: 100}),
		office.tap(&event.Yield{PerMille: 1000}))
	office.acked(3)
	ash.offer(ash.tap(&event.Joined{Person: "Ash", Station: event.Extraction}))
	ash.acked(1)
	granted := func() (n uint32) {
		for _, e := range d.events() {
			if f, ok := e.Fact.(*event.Granted); ok && f.To == ash.replica.Me().Replica {
				n += f.N
			}
		}
		return n
	}
	wait(t, "half of what is left", func() bool { return granted() == 50 })
	begun := ash.tap(&event.PassBegun{Mode: event.Each})
	ash.offer(begun, ash.tap(&event.Attempt{Pass: begun.Ref(), Outcome: event.Intact, N: 20}))
	ash.acked(3)
	time.Sleep(1200 * time.Millisecond) // a look is a second apart
	ash.offer(ash.tap(&event.Note{Text: "x"}))
	ash.acked(4)
	if n := granted(); n != 50 {
		t.Errorf("%d are granted while more than half is there", n)
	}
	ash.offer(ash.tap(&event.Attempt{Pass: begun.Ref(), Outcome: event.Intact, N: 20}))
	ash.acked(5)
	wait(t, "more after half is gone", func() bool { return granted() > 50 })
	fold := syncengine.New(syncengine.Identity{Session: testSession})
	if _, refused := fold.Receive(d.events(), syncengine.Now{WallMs: time.Now().UnixMilli()}); len(refused) > 0 {
		t.Fatal(refused)
	}
	links := session.Links{ash.replica.Me().Replica: {HeardMs: time.Now().UnixMilli()}}
	if free, _ := fold.State().Shared(time.Now().UnixMilli(), links); free < 0 {
		t.Errorf("%d more than may be taken are shared out", -free)
	}

	forged := ash.tap(&event.Granted{To: ash.replica.Me().Replica, N: 1000})
	ash.offer(forged)
	ash.reads(func(syncengine.Message) bool { return len(ash.refused) > 0 })
	if code := ash.refused[0].Fault.Code; code != "needs-server" {
		t.Errorf("refused as %s, want needs-server", code)
	}
}

// wait looks until something holds, for longer than shares are apart.
func wait(t *testing.T, what string, holds func() bool) {
	t.Helper()
	for end := time.Now().Add(8 * time.Second); !holds(); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%s: never", what)
		}
	}
}
