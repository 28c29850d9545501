package hub_test

import (
	"testing"
	"time"

	"rootledger/syncengine"
)

// eventFrames reads on until n events came, and is how many frames brought them.
func (p *peer) eventFrames(n int) (frames int) {
	p.t.Helper()
	p.reads(func(m syncengine.Message) bool {
		if _, ok := m.(syncengine.Events); ok {
			frames++
		}
		return len(p.events) >= n
	})
	return frames
}

// What comes now and then reaches a phone at once. A crowd's counts reach it
// some to a frame, none of them late, and a wall one by one.
func TestACrowdComesToAPhoneAtAPace(t *testing.T) {
	const n = 200
	d := newDesk(t)
	ash, birch, wall := d.phone(1), d.phone(2), d.wall()
	from := time.Now()
	frames := make(chan int)
	go func() { frames <- birch.eventFrames(n) }()
	ash.offer(ash.record(1)...)
	ash.acked(1)
	same(t, "frames of the first count to a wall", wall.eventFrames(1), 1)
	for seq := uint64(2); seq <= n; seq++ {
		ash.offer(ash.record(1)...)
		ash.acked(seq)
		wall.eventFrames(int(seq))
	}
	took := time.Since(from)
	got := <-frames
	if late := time.Since(from) - took; late > time.Second {
		t.Errorf("the last count came to a phone %v after a wall had it", late)
	}
	// eight at once, then 25 a second; the clock of a busy machine may stand still for a frame
	if most := 10 + int(took/(40*time.Millisecond)); got > most {
		t.Errorf("%d counts in %v came to a phone in %d frames, want %d at most", n, took, got, most)
	}
	if got < 2 {
		t.Errorf("%d counts came to a phone in %d frame, want the first at once", n, got)
	}
}

// Frames that are full wait for nothing: whoever was away is told all as fast as a wall is.
func TestFullFramesAreNotPaced(t *testing.T) {
	const full = 60 // at a pace they would take two seconds more
	d := newDesk(t)
	ash := d.phone(1)
	for range full {
		ash.offer(ash.record(syncengine.MaxFrameEvents)...)
	}
	ash.acked(full * syncengine.MaxFrameEvents)
	told := func(p *peer) time.Duration {
		from := time.Now()
		for range full {
			p.eventsFrame()
		}
		return time.Since(from)
	}
	wall, phone := told(d.wall()), told(d.phone(2))
	if phone > wall+time.Second {
		t.Errorf("%d full frames came to a phone in %v, and to a wall in %v", full, phone, wall)
	}
}
