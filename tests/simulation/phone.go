package simulation

import (
	"bytes"
	"slices"
	"strings"

	"rootledger/pwa/bridge"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// Phone is one phone, the office's browser, or a wall: the real engine, and
// around it what the worker does: keep, then show, then send.
type Phone struct {
	w      *World
	name   string
	wall   bool
	office bool
	clock  clock
	net    net

	disk  *phoneDisk
	saved *phoneDisk // a backup

	engine  *bridge.Engine // nil while the page is closed
	replica event.ReplicaID
	life    int // counts the starts
	beganMs int64
	waiting []kept // own events that wait for the disk
	unkept  []kept // those that the disk refused
	keeping bool
	refuses bool // the disk does
	knew    bool // that a copy writes under this id, before the call

	link      *link
	trying    bool
	elsewhere bool // it talks to the second server
	retryMs   int64
	heardMs   int64
	taps      uint64
}

// net is what is wrong with a phone's network.
type net struct{ off, in, out, slow, twice bool }

// clock is a phone's wall clock: off by so much, or stuck.
type clock struct {
	offMs   int64
	stuckMs int64 // what it shows for ever, 0 for not
}

// kept is one own event on its way to the disk.
type kept struct {
	replica event.ReplicaID
	seq     uint64
	body    []byte
}

// phoneDisk is what survives the page.
type phoneDisk struct {
	phone   event.PhoneID
	replica event.ReplicaID
	was     event.ReplicaID
	mark    uint64 // written at every start, here and in a second store
	second  uint64
	epoch   [16]byte
	heard   []byte
	own     [][]byte
	others  [][]byte
}

func (d *phoneDisk) copy() *phoneDisk {
	out := *d
	out.own, out.others = slices.Clone(d.own), slices.Clone(d.others)
	return &out
}

// newDisk is the disk of a phone that joins for the first time.
func (w *World) newDisk() *phoneDisk {
	d := new(phoneDisk)
	fill(w.random, d.phone[:])
	fill(w.random, d.replica[:])
	return d
}

func (p *Phone) alive() bool { return p.engine != nil }

// boot opens the page: the engine starts over from what the disk has.
func (p *Phone) boot() {
	p.replica = p.disk.replica
	if !p.wall && p.disk.mark != p.disk.second {
		p.rename() // one of two stores was set back: the other may have gone on
	}
	p.disk.mark = p.w.random.Uint64()
	p.disk.second = p.disk.mark
	p.start(append(slices.Clone(p.disk.own), p.disk.others...))
}

func (p *Phone) start(bodies [][]byte) {
	p.life++
	p.engine, p.beganMs = new(bridge.Engine), p.w.nowMs
	p.keeping = false
	call := bridge.Call{Type: bridge.CallBoot, Session: p.w.session, Bodies: bodies, Epoch: p.disk.epoch, Heard: p.disk.heard, Was: p.disk.was}
	if !p.wall {
		call.Replica, call.Phone = p.replica, p.disk.phone
	}
	fill(p.w.random, call.Start[:])
	life := p.life
	p.do(call)
	if p.life != life {
		return // it goes on under a new id
	}
	if r := p.engine.Replica(); !p.wall && r.Head().Seq == 0 {
		p.tap(&event.Joined{Person: p.name, Station: p.station()})
	}
	p.retryMs = 0
	p.connect()
}

func (p *Phone) station() event.Station {
	switch {
	case p.office:
		return event.Lead
	case strings.HasPrefix(p.name, "phone 1"):
		return event.Extraction // and makes punch set-ups
	}
	return event.Sorting
}

// close ends the page: what was on its way to the disk is gone.
func (p *Phone) close() {
	p.life++
	p.engine, p.waiting, p.unkept, p.keeping = nil, nil, nil, false
	if p.link != nil {
		p.link.cut()
		p.link = nil
	}
	p.trying = false
}

// rename takes a new replica id.
func (p *Phone) rename() {
	p.disk.was = p.replica
	fill(p.w.random, p.replica[:])
	p.disk.replica = p.replica
}

// mint goes on under a new replica id: a copy of this phone uses the old one.
// What waits for the disk stays waiting, and counts under the old id.
func (p *Phone) mint() {
	p.w.note("%s goes on anew", p.name)
	if p.link != nil {
		p.link.cut()
		p.link = nil
	}
	p.trying = false
	if p.wall {
		p.start(nil)
		return
	}
	p.rename()
	bodies := append(slices.Clone(p.disk.own), p.disk.others...)
	for _, k := range append(slices.Clone(p.unkept), p.waiting...) {
		bodies = append(bodies, k.body)
	}
	p.start(bodies)
	p.keepWaiting()
}

func (p *Phone) wallMs() int64 {
	if p.clock.stuckMs != 0 {
		return p.clock.stuckMs
	}
	return p.w.real() + p.clock.offMs
}

// do has the engine carry a call out, and carries its duties out.
func (p *Phone) do(call bridge.Call) {
	call.RealMs, call.SinceMs = p.wallMs(), uint64(p.w.nowMs-p.beganMs)
	p.knew = p.engine.Replica() != nil && call.Type != bridge.CallBoot && p.engine.Replica().Cloned()
	d := p.engine.Do(call)
	life := p.life
	for _, k := range d.Keep {
		p.wrote(k.Body)
		p.waiting = append(p.waiting, kept{p.replica, k.Seq, k.Body})
	}
	p.keepWaiting()
	if !p.wall { // a wall keeps nothing
		p.disk.others = append(p.disk.others, d.Others...)
	}
	if d.Truth != nil {
		p.believe(d.Truth)
	}
	for _, frame := range d.Send {
		if p.link != nil && p.life == life {
			p.sends(frame)
			p.link.up(frame)
		}
	}
	if d.Mint && p.life == life {
		p.mint()
	}
}

// sends holds what leaves the phone to what is kept: a count that its id wrote
// and that is still on its way to the disk may not be sent.
func (p *Phone) sends(frame []byte) {
	m, err := syncengine.DecodeMessage(frame)
	if err != nil {
		p.w.violate("O5", "%s sends what can not be read: %v", p.name, err)
		return
	}
	packed, ok := m.(syncengine.Events)
	if !ok || len(p.waiting) == 0 {
		return
	}
	events, err := packed.Unpack()
	if err != nil {
		p.w.violate("O5", "%s sends what can not be unpacked: %v", p.name, err)
	}
	for _, e := range events {
		if e.Replica == p.replica && slices.ContainsFunc(p.waiting, func(k kept) bool { return bytes.Equal(k.body, e.Body) }) {
			p.w.violate("O1", "%s sends %d before it is kept", p.name, e.Seq)
		}
	}
}

// believe remembers what the room had, and holds what the phone says to the
// server's disk: "all in the room" must be true.
func (p *Phone) believe(t *bridge.Truth) {
	if p.wall {
		return
	}
	p.disk.epoch = t.Epoch
	if len(t.Heard) > 0 {
		p.disk.heard = t.Heard
	}
	if !t.Up || t.Unsent > 0 || p.link == nil || p.link.gone {
		return
	}
	r := p.engine.Replica()
	for _, ref := range r.Vector() {
		if r.First(ref.Replica).Phone != p.disk.phone {
			continue
		}
		r.History(ref.Replica, func(e *event.Event) {
			if !p.link.server.disk.held[e.Hash] {
				p.w.violate("Truth", "%s says that all is in the room, and %v is not", p.name, e.Ref())
			}
		})
	}
}

// wrote notes that an event exists.
func (p *Phone) wrote(body []byte) {
	e, err := event.Decode(body)
	if err != nil {
		p.w.violate("O5", "%s wrote what can not be read: %v", p.name, err)
		return
	}
	p.w.fates[e.Hash] = &fate{event: e, realMs: p.w.real()}
	if p.knew {
		p.w.violate("O5", "%s writes on under an id that it knows another one uses", p.name)
	}
}

// keepWaiting writes what waits to the disk, all of it in one transaction.
func (p *Phone) keepWaiting() {
	if p.keeping || len(p.waiting) == 0 {
		return
	}
	p.keeping = true
	life := p.life
	p.w.after(p.w.between(1, 12), func() {
		if p.life != life {
			return // the page died in the middle of the write
		}
		p.keeping = false
		batch := p.waiting
		p.waiting = nil
		call := bridge.Call{Type: bridge.CallKept}
		if p.refuses {
			p.unkept = append(p.unkept, batch...)
			call.Type = bridge.CallKeepFailed
		} else {
			p.keep(append(p.unkept, batch...))
			p.unkept = nil
		}
		if last := batch[len(batch)-1]; last.replica == p.replica { // else the engine waits for none of these
			call.Seq = last.seq
			p.do(call)
		}
		p.keepWaiting()
	})
}

func (p *Phone) keep(events []kept) {
	for _, k := range events {
		p.disk.own = append(p.disk.own, k.body)
		e, err := event.Decode(k.body)
		if err != nil {
			p.w.violate("O5", "kept what can not be read: %v", err)
			return
		}
		p.w.fates[e.Hash].kept = true
	}
}

// tap has the holder of the phone say that something happened.
func (p *Phone) tap(fact event.Fact) { p.tapLate(fact, false) }

// tapLate is tap of what may have happened before the newest recount.
func (p *Phone) tapLate(fact event.Fact, late bool) {
	if !p.alive() {
		return
	}
	p.taps++
	p.do(bridge.Call{Type: bridge.CallTap, Tap: p.taps, Late: late, Kind: fact.Kind(), Fact: event.EncodeFact(fact)})
}
