package hub_test

import (
	"testing"
	"time"

	"rootledger/shared/event"
)

// A session that has ended and that nobody listens to is let go, and is all
// there for whoever comes late.
func TestEndedRoomIsLetGo(t *testing.T) {
	d := newDesk(t)
	p := d.phone(3)
	p.offer(p.tap(&event.Opened{Case: "A", Room: "A", Stations: []event.Station{event.Sorting},
		Practice: event.Practice{StartMs: 1, RealMs: 1, Speed: event.MaxSpeed}})) // links every 100 ms
	p.offer(p.tap(&event.Sorted{Size: 1, N: 7}))
	first := d.room()
	p.offer(p.tap(&event.Ended{}))
	p.acked(3)
	p.conn.Leave()
	for deadline := time.Now().Add(10 * time.Second); d.room() == first; time.Sleep(20 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("the room is still held")
		}
	}
	wall := d.wall()
	same(t, "events told", len(wall.told(3)), 3)
}
