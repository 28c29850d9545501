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

// oneByOne has a phone count n times, each as soon as the one before came to a
// reader, and is how long that took.
func oneByOne(from, reader *peer, n int) time.Duration {
	reader.t.Helper()
	began := time.Now()
	for range n {
		from.offer(from.record(1)...)
		reader.eventFrames(len(reader.events) + 1)
	}
	return time.Since(began)
}

// What comes now and then reaches a phone at once: eight in a row.
func TestAFewCountsComeToAPhoneAtOnce(t *testing.T) {
	d := newDesk(t)
	ash := d.phone(1)
	wall := oneByOne(ash, d.wall(), 8)
	birch := d.phone(2)
	birch.eventFrames(8) // of before, in one frame
	phone := oneByOne(ash, birch, 7)
	if phone > wall+150*time.Millisecond { // at a pace seven take 280
		t.Errorf("a few counts came to a phone in %v, and to a wall in %v", phone, wall)
	}
}

// A crowd's counts reach a phone some to a frame, none of them late.
func TestACrowdComesToAPhoneAtAPace(t *testing.T) {
	const n = 200
	d := newDesk(t)
	ash, birch, wall := d.phone(1), d.phone(2), d.wall()
	frames := make(chan int, 1)
	go func() {
		defer close(frames)
		frames <- birch.eventFrames(n)
	}()
	from := time.Now()
	took := oneByOne(ash, wall, n)
	got, read := <-frames
	if !read {
		t.Fatal("a phone was not told all")
	}
	if late := time.Since(from) - took; late > time.Second {
		t.Errorf("the last count came to a phone %v after a wall had it", late)
	}
	// eight at once, then 25 a second; two for the turns at either end
	if most := 10 + int(took/(40*time.Millisecond)); got > most {
		t.Errorf("%d counts in %v came to a phone in %d frames, want %d at most", n, took, got, most)
	}
}

// Frames that are full wait for nothing: whoever was away is told all as fast as a wall is.
func TestFullFramesAreNotPaced(t *testing.T) {
	const full = 20 // at a pace they would take half a second more
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
	if phone > wall+250*time.Millisecond {
		t.Errorf("%d full frames came to a phone in %v, and to a wall in %v", full, phone, wall)
	}
}
