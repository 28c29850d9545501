package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// unpack hands out the events of packed rows, decoded, in the order in which
// they were added. Bodies do not alias packed. It fails with frame-damaged on
// what is not rows, with frame-events beyond MaxFrameEvents, with frame-long
// beyond maxUnpacked bytes of bodies, and with each's own error. Rows that are
// cut between two of them are fewer, not damaged: a message tells their length.
func unpack(packed []byte, each func(*event.Event) error) error {
	u := unpacker{in: packed}
	for n := 0; len(u.in) > 0; n++ {
		if n == MaxFrameEvents {
			return fault.New(fault.TooMuch, "frame-events").WithInt("max", MaxFrameEvents)
		}
		body := u.body()
		if u.broken {
			return fault.New(fault.Damaged, "frame-damaged")
		}
		if u.unpacked += len(body); u.unpacked > maxUnpacked {
			return fault.New(fault.TooMuch, "frame-long").WithInt("max", maxUnpacked)
		}
		e := u.decode(body)
		if e == nil {
			return fault.New(fault.Damaged, "frame-damaged")
		}
		u.told.take(e)
		if err := each(e); err != nil {
			return err
		}
	}
	return nil
}

// unpacker reads rows. A fault sticks as broken; numbers then read as 0.
type unpacker struct {
	in       []byte // what is left
	broken   bool
	unpacked int
	slab     []byte        // bodies are cut from it
	events   []event.Event // and events from this
	told     told
	rests    []restOf
	next     event.Event // the opening of the row that is read
	number   int         // of its rest, -1 for a whole body
}

// decode reads the body that was built last. A rest is read once; every other
// event with it shares what it says.
func (u *unpacker) decode(body []byte) *event.Event {
	if u.number >= 0 && u.rests[u.number].read != nil {
		e := u.event()
		if !u.next.Again(e, u.rests[u.number].read, body) {
			return nil
		}
		return e
	}
	e, err := event.Decode(body)
	if err != nil {
		return nil
	}
	if u.number >= 0 {
		u.rests[u.number].read = e
	}
	return e
}

// restOf is a rest, aliasing the packed rows, and how many entries it has.
type restOf struct {
	bytes   []byte
	entries int
	read    *event.Event // the first event with it, once that is read
}

// body reads one row and builds its body, which event.Decode judges.
func (u *unpacker) body() []byte {
	flags := u.byte()
	u.number = -1
	if flags == rowWhole {
		whole := u.take(u.uvarint())
		at := u.reserve(len(whole))
		u.slab = append(u.slab, whole...)
		return u.slab[at:len(u.slab):len(u.slab)]
	}
	if flags&rowOther != 0 {
		before := u.told.at
		u.told.at = u.index(len(u.told.last))
		u.expect(u.told.at != before)
	}
	if u.expect(flags < rowWhole && u.told.at < len(u.told.last)); u.broken {
		return nil
	}
	u.opening(u.told.last[u.told.at], flags)
	rest := u.rest(flags)
	at := u.reserve(event.JoinMax + len(rest.bytes))
	u.slab = u.next.Join(u.slab, rest.bytes, rest.entries)
	return u.slab[at:len(u.slab):len(u.slab)]
}

// opening reads where and when the event is that follows last.
func (u *unpacker) opening(last *event.Event, flags byte) {
	e := &u.next
	e.Replica, e.Seq, e.Prev, e.Start = last.Replica, last.Seq+1, last.Hash, last.Start
	ms := last.Stamp.Ms() + u.difference()
	u.expect(ms >= 0 && ms <= event.MaxMs)
	usual := usualCounter(last.Stamp, ms)
	counter := uint64(usual)
	if flags&rowCounter != 0 {
		counter = u.uvarint()
		u.expect(counter != uint64(usual) && counter < 1<<16)
	}
	e.Stamp = event.StampAt(ms) + event.Stamp(counter)
	e.WallMs = ms + wallOffset(last)
	if flags&rowWall != 0 {
		e.WallMs += u.change()
	}
	u.expect(e.WallMs >= 0)
	since := e.WallMs + sinceOffset(last)
	if flags&rowSince != 0 {
		since += u.change()
	}
	e.SinceMs = uint64(since)
	if flags&rowStart != 0 {
		copy(e.Start[:], u.take(uint64(len(e.Start))))
		u.expect(e.Start != last.Start)
	}
}

func (u *unpacker) rest(flags byte) restOf {
	if flags&rowNew != 0 {
		entries := int(u.byte())
		u.rests = append(u.rests, restOf{bytes: u.take(u.uvarint()), entries: entries})
		u.number = len(u.rests) - 1
		return u.rests[u.number]
	}
	number := u.index(len(u.rests))
	if u.broken {
		return restOf{}
	}
	u.number = number
	return u.rests[number]
}

// maxSlab is how many bodies share memory, in bytes: one that is kept keeps
// its neighbours.
const maxSlab = 16 << 10

// reserve makes room for n more bytes in the slab and says where they begin. A
// single event takes no more memory than its body; later slabs grow.
func (u *unpacker) reserve(n int) (at int) {
	if cap(u.slab)-len(u.slab) < n {
		u.slab = make([]byte, 0, max(n, min(u.unpacked, maxSlab)))
	}
	return len(u.slab)
}

// maxTogether is how many events share memory, as their bodies do.
const maxTogether = 64

// event makes room for one more event. A single one takes no more memory than itself;
// later ones come in larger blocks.
func (u *unpacker) event() *event.Event {
	if len(u.events) == cap(u.events) {
		u.events = make([]event.Event, 0, min(max(1, 2*cap(u.events)), maxTogether))
	}
	u.events = u.events[:len(u.events)+1]
	return &u.events[len(u.events)-1]
}

func (u *unpacker) expect(ok bool) { u.broken = u.broken || !ok }

func (u *unpacker) byte() byte {
	if u.expect(len(u.in) > 0); u.broken {
		return 0
	}
	first := u.in[0]
	u.in = u.in[1:]
	return first
}

func (u *unpacker) take(n uint64) []byte {
	if u.expect(n <= uint64(len(u.in))); u.broken {
		return nil
	}
	out := u.in[:n]
	u.in = u.in[n:]
	return out
}

// uvarint reads a number that has no shorter form.
func (u *unpacker) uvarint() (v uint64) {
	for shift := 0; shift < 64; shift += 7 {
		b := u.byte()
		if b < 0x80 {
			u.expect((b > 0 || shift == 0) && (shift < 63 || b == 1))
			v |= uint64(b) << shift
			break
		}
		u.expect(shift < 63)
		v |= uint64(b&0x7f) << shift
	}
	if u.broken {
		return 0
	}
	return v
}

func (u *unpacker) difference() int64 { return unzigzag(u.uvarint()) }

// change reads a difference that must not be none.
func (u *unpacker) change() int64 {
	d := u.difference()
	u.expect(d != 0)
	return d
}

// index reads a number below n, or 0 after a fault.
func (u *unpacker) index(n int) int {
	v := u.uvarint()
	if u.expect(v < uint64(n)); u.broken {
		return 0
	}
	return int(v)
}
