package simulation

import (
	"slices"

	"rootledger/pwa/bridge"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// faultDeeds is everything that goes wrong.
var faultDeeds = map[string]func(w *World, a Action){
	"network off":   onNet(func(n *net, on bool) { n.off = on }),
	"network in":    onNet(func(n *net, on bool) { n.in = on }),
	"network out":   onNet(func(n *net, on bool) { n.out = on }),
	"network slow":  onNet(func(n *net, on bool) { n.slow = on }),
	"network twice": onNet(func(n *net, on bool) { n.twice = on }),
	"cut":           func(w *World, a Action) { w.anyone(a).cut() },
	"flap":          flap,

	"page dies":                   func(w *World, a Action) { w.phoneOf(a).reopen(w.between(50, 8000)) },
	"page dies while writing":     diesWriting,
	"disk refuses":                func(w *World, a Action) { w.phoneOf(a).refuse(a.Arg % 15_000) },
	"clock jumps":                 func(w *World, a Action) { w.phoneOf(a).clock = clock{offMs: a.Arg%(2*yearMs) - yearMs} },
	"clock stuck":                 func(w *World, a Action) { p := w.phoneOf(a); p.clock.stuckMs = p.wallMs() },
	"clock back across a restart": clockBack,

	"storage wiped":      wipe,
	"backup of a phone":  func(w *World, a Action) { p := w.phoneOf(a); p.saved = p.disk.copy() },
	"phone restored":     restorePhone,
	"one store set back": oneStoreBack,
	"profile cloned":     func(w *World, a Action) { w.clone(w.phoneOf(a), w.phoneOf(a).disk.copy()) },
	"second tab":         func(w *World, a Action) { w.clone(w.phoneOf(a), w.phoneOf(a).disk) },
	"carry by hand":      carry,
	"carry twice":        func(w *World, a Action) { carry(w, a); carry(w, a) },
	"carry while away":   carryAway,

	"server killed":                 func(w *World, a Action) { w.server.kill(a.Arg % 4000) },
	"server killed before a commit": func(w *World, _ Action) { w.server.crash = beforeCommit },
	"server killed after a commit":  func(w *World, _ Action) { w.server.crash = afterCommit },
	"server killed between acks":    func(w *World, _ Action) { w.server.crash = betweenAcks },
	"server's disk fails":           diskFails,
	"backup of the server":          func(w *World, _ Action) { w.server.saved = w.server.disk.copy() },
	"server restored":               restoreServer,
	"server wiped":                  wipeServer,
	"another server":                otherServer,
	"damaged frame":                 damagedFrame,
	"forged event":                  forgedEvent,
}

// splitting are the faults that may leave two histories under one id.
var splitting = map[string]bool{
	"disk refuses":   true, // what was sent from memory is not there at the next start
	"phone restored": true, "one store set back": true, "profile cloned": true, "second tab": true,
	"server restored": true, "another server": true, "forged event": true,
}

const yearMs = 365 * 24 * 3600 * 1000

func onNet(turn func(n *net, on bool)) func(*World, Action) {
	return func(w *World, a Action) {
		p := w.anyone(a)
		turn(&p.net, true)
		link := p.link
		w.after(20_000, func() { // what hears nothing for so long hangs up
			if link != nil && (p.net.off || p.net.in || p.net.out) {
				link.cut()
			}
		})
		w.after(a.Arg%40_000, func() { turn(&p.net, false) })
	}
}

// anyone is whom a fault of the network is about: a phone or a wall.
func (w *World) anyone(a Action) *Phone { return w.phones[a.Who%len(w.phones)] }

func (p *Phone) cut() {
	if p.link != nil {
		p.link.cut()
		p.w.pump()
	}
}

func flap(w *World, a Action) {
	p := w.anyone(a)
	for i := range int64(10) {
		w.after(i*w.between(100, 600), p.cut)
	}
}

// reopen closes the page and opens it again after a while.
func (p *Phone) reopen(ms int64) {
	p.close()
	p.w.pump()
	life := p.life
	p.w.after(ms, func() {
		if p.life == life {
			p.boot()
		}
	})
}

func diesWriting(w *World, a Action) {
	p := w.phoneOf(a)
	if p.alive() {
		p.tap(&event.Sorted{Size: p.size(a), N: 1})
		w.after(a.Arg%6, func() { p.reopen(w.between(50, 3000)) })
	}
}

func (p *Phone) refuse(ms int64) {
	p.refuses = true
	p.w.after(ms, func() { p.refuses = false })
}

func clockBack(w *World, a Action) {
	p := w.phoneOf(a)
	p.clock = clock{offMs: -(a.Arg % yearMs)}
	p.reopen(w.between(50, 2000))
}

// alone closes the other tabs of a phone: whatever happens to its storage
// happens to all of them.
func (w *World) alone(p *Phone) {
	w.phones = slices.DeleteFunc(w.phones, func(other *Phone) bool {
		twin := other != p && other.disk == p.disk
		if twin {
			other.close()
		}
		return twin
	})
	p.close()
}

// wipe clears a phone's storage, reload included: it joins as a new phone.
func wipe(w *World, a Action) {
	p := w.phoneOf(a)
	w.destroying(func() {
		w.alone(p)
		p.disk, p.saved = w.newDisk(), nil
	})
	w.after(w.between(500, 4000), p.join)
}

// join scans the code on the wall, again and again until the server answers.
func (p *Phone) join() {
	if p.alive() {
		return
	}
	if p.net.off || p.net.in || p.net.out || p.server().room == nil {
		p.w.after(1000, p.join)
		return
	}
	p.replica = p.disk.replica
	p.server().enrol(p)
	p.boot()
}

func restorePhone(w *World, a Action) {
	p := w.phoneOf(a)
	if p.saved == nil {
		return
	}
	w.destroying(func() {
		w.alone(p)
		p.disk = p.saved.copy()
	})
	p.reopen(w.between(50, 2000))
}

// oneStoreBack sets back the counts of a phone, but not its second store.
func oneStoreBack(w *World, a Action) {
	p := w.phoneOf(a)
	if p.saved == nil || p.saved.phone != p.disk.phone {
		return
	}
	w.destroying(func() {
		w.alone(p)
		second := p.disk.second
		p.disk = p.saved.copy()
		p.disk.second = second
	})
	p.reopen(w.between(50, 2000))
}

// clone starts a second page on a disk: a copy, or, in a browser without locks,
// the same.
func (w *World) clone(of *Phone, disk *phoneDisk) {
	if len(w.phones) >= 10 {
		return
	}
	p := &Phone{w: w, name: of.name + "+", office: of.office, disk: disk}
	w.phones = append(w.phones, p)
	p.boot()
}

// carry hands what a phone knows not to be stored to another phone, as a file.
func carry(w *World, a Action) {
	p := w.phoneOf(a)
	other := w.phoneOf(Action{Who: a.Who + 1 + int(a.Arg)%3})
	if !p.alive() || !other.alive() || p == other || other.refuses {
		return
	}
	file := p.engine.Do(bridge.Call{Type: bridge.CallHandOut}).File
	if len(file) > 0 {
		other.do(bridge.Call{Type: bridge.CallCarryIn, File: file})
	}
}

// carryAway has two phones lose the network, one hand its counts to the other,
// and lose its storage: the other comes back alone, first without what the
// first one had sent meanwhile.
func carryAway(w *World, a Action) {
	p, other := w.phoneOf(a), w.phoneOf(Action{Who: a.Who + 1 + int(a.Arg)%3})
	if !p.alive() || !other.alive() || p == other {
		return
	}
	other.net.off = true
	other.cut()
	count := func() { p.tap(&event.Sorted{Size: p.size(a), N: 1}) }
	w.after(200, count) // this one still goes over
	w.after(2000, func() {
		p.net.off = true
		p.cut()
		count()
		w.after(100, count)
		w.after(300, func() { carry(w, a) })
		w.after(400, func() { wipe(w, a) })
	})
	w.after(3000, func() { other.net.off = false })
	w.after(5000, func() { p.net.off = false })
}

func (s *Server) kill(ms int64) {
	s.die()
	s.comeBack(ms)
}

func diskFails(w *World, a Action) {
	w.server.failing = true
	w.after(a.Arg%10_000, func() { w.server.failing = false })
}

func restoreServer(w *World, a Action) {
	s := w.server
	if s.saved == nil {
		return
	}
	w.destroying(func() {
		s.die()
		s.disk = s.saved.copy()
	})
	s.comeBack(a.Arg % 4000)
}

// wipeServer sets the server up anew; the office brings the session back, and
// phones refill it.
func wipeServer(w *World, a Action) {
	s := w.server
	w.destroying(func() {
		s.die()
		s.disk, s.saved = s.blank(w.real()), nil
	})
	s.comeBack(a.Arg % 4000)
}

// otherServer has a phone go to the other of two servers for one room.
func otherServer(w *World, a Action) {
	p := w.anyone(a)
	if w.second.room == nil {
		w.second.boot()
	}
	w.two = true
	p.goTo(!p.elsewhere)
}

func (p *Phone) goTo(elsewhere bool) {
	p.cut()
	p.elsewhere = elsewhere
}

// server is the one that the phone talks to.
func (p *Phone) server() *Server {
	if p.elsewhere {
		return p.w.second
	}
	return p.w.server
}

// pump has both servers do what is queued.
func (w *World) pump() {
	for _, s := range []*Server{w.server, w.second} {
		if s.room != nil {
			s.pump()
		}
	}
}

// damagedFrame sends bytes that are no frame.
func damagedFrame(w *World, a Action) {
	if p := w.phoneOf(a); p.link != nil {
		frame := syncengine.EncodeMessage(syncengine.Ping{})
		p.link.up(append(frame, byte(a.Arg)))
	}
}

// forgedEvent sends an event of another phone with one byte of it changed.
func forgedEvent(w *World, a Action) {
	p := w.phoneOf(a)
	if p.link == nil || len(p.disk.others) == 0 {
		return
	}
	body := append([]byte(nil), p.disk.others[int(a.Arg)%len(p.disk.others)]...)
	body[len(body)-1] ^= 1
	if e, err := event.Decode(body); err == nil {
		w.fates[e.Hash] = &fate{event: e, forged: true}
		var batch syncengine.Packer
		batch.Add(e)
		p.link.lost = true // its own engine knows nothing of it
		p.link.up(syncengine.EncodeMessage(batch.Message()))
	}
}

// destroying notes which events are on no disk any more after something was
// wiped or set back: those may be missing at the end.
func (w *World) destroying(do func()) {
	before := w.onDisks()
	do()
	after := w.onDisks()
	for h := range before {
		if f := w.fates[h]; f != nil && !after[h] {
			f.destroyed = true
		}
	}
}

// onDisks is every event that some disk has.
func (w *World) onDisks() map[event.Hash]bool {
	out := make(map[event.Hash]bool)
	for _, s := range []*Server{w.server, w.second} {
		for h := range s.disk.held {
			out[h] = true
		}
	}
	for _, p := range w.phones {
		for _, bodies := range [][][]byte{p.disk.own, p.disk.others} {
			for _, body := range bodies {
				if e, err := event.Decode(body); err == nil {
					out[e.Hash] = true
				}
			}
		}
	}
	return out
}
