package hub_test

import (
	"testing"

	"rootledger/syncengine"
)

// eventsFrame reads on until events come, and returns their bytes.
func (p *peer) eventsFrame() []byte {
	p.t.Helper()
	for ctx := bounded(p.t); ; {
		frame, err := p.conn.Next(ctx)
		if err != nil {
			p.t.Fatalf("next: %v", err)
		}
		m, err := syncengine.DecodeMessage(frame)
		if err != nil {
			p.t.Fatal(err)
		}
		if _, ok := m.(syncengine.Events); ok {
			return frame
		}
	}
}

// What comes next to several is packed once; who brought some of it is told
// the rest alone.
func TestReadersShareAFrame(t *testing.T) {
	d := newDesk(t)
	ash, birch, one, other := d.phone(1), d.phone(2), d.wall(), d.wall()
	ash.offer(ash.record(3)...)
	ash.acked(3)
	first := one.eventsFrame()
	for name, p := range map[string]*peer{"another wall": other, "a phone": birch} {
		if frame := p.eventsFrame(); &frame[0] != &first[0] {
			t.Errorf("%s: got a frame of its own", name)
		}
	}
	birch.offer(birch.record(2)...)
	birch.acked(2)
	ash.offer(ash.record(1)...)
	ash.acked(4)
	same(t, "the last that comes to a wall", one.told(3)[2].Ref(), ash.replica.Head())
	same(t, "what comes to Birch", birch.told(1)[0].Seq, 4)
	for i, e := range ash.told(2) {
		same(t, "what comes to Ash", e.Ref(), birch.replica.Own(uint64(i+1)).Ref())
	}
}

// Frames that are full are shared by all who come later, and each is told all.
func TestManyFramesAreTold(t *testing.T) {
	const n = syncengine.MaxFrameEvents + 50
	d := newDesk(t)
	ash := d.phone(1)
	events := ash.record(n)
	ash.offer(events[:n-50]...)
	ash.offer(events[n-50:]...)
	ash.acked(n)
	one, other := d.wall(), d.wall()
	first, again := one.eventsFrame(), other.eventsFrame()
	if &first[0] != &again[0] {
		t.Error("the second wall: got a frame of its own")
	}
	for name, p := range map[string]*peer{"one": one, "the other": other} {
		told := p.told(50)
		same(t, name+" is told last", told[49].Ref(), events[n-1].Ref())
	}
	known := d.wall()
	known.replica.Receive(events[:10], syncengine.Now{})
	again = d.greet(known.replica, known.replica.Hello([16]byte{}, nil)).eventsFrame()
	m, err := syncengine.DecodeMessage(again)
	if err != nil {
		t.Fatal(err)
	}
	told, err := m.(syncengine.Events).Unpack()
	if err != nil || len(told) == 0 {
		t.Fatalf("got %d events, %v", len(told), err)
	}
	same(t, "who knows ten is told first", told[0].Seq, 11)
}
