package simulation

import (
	"context"
	"slices"

	"rootledger/pwa/bridge"
	"rootledger/server/hub"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// link is one connection between a phone and the server: frames arrive in order
// or, once it is cut, not at all.
type link struct {
	phone   *Phone
	server  *Server
	life    int // the phone's
	replica event.ReplicaID
	conn    *hub.Conn
	gone    bool
	lost    bool // a frame did not arrive

	lastUp, lastDown int64 // when the newest frame of each way arrives
}

// connect opens a link, if the network and the server let it.
func (p *Phone) connect() {
	s := p.server()
	p.trying = false
	if !p.alive() || p.link != nil {
		return
	}
	if p.net.out || p.net.in || p.net.off || s.room == nil {
		p.later()
		return
	}
	if !p.wall && !s.admit(p) {
		life := p.life
		p.w.after(p.w.between(2000, 8000), func() { // its holder scans the code on the wall
			if p.life == life && s.room != nil && !s.admit(p) {
				s.enrol(p)
			}
		})
		p.later()
		return
	}
	l := &link{phone: p, server: s, life: p.life, replica: p.replica}
	p.link = l
	s.links = append(s.links, l)
	p.do(bridge.Call{Type: bridge.CallLink, Up: true})
}

// later tries again: for ever, with jitter, at most 15 s apart.
func (p *Phone) later() {
	if p.trying {
		return
	}
	p.trying = true
	p.retryMs = min(max(2*p.retryMs, 250), 15_000)
	life := p.life
	p.w.after(p.w.between(p.retryMs/2, p.retryMs), func() {
		if p.life == life {
			p.connect()
		}
	})
}

func (l *link) latency() int64 {
	if l.phone.net.slow {
		return l.phone.w.between(500, 4000)
	}
	return l.phone.w.between(1, 40)
}

// up sends a frame of the phone to the server, sometimes twice.
func (l *link) up(frame []byte) {
	times := 1
	if l.phone.net.twice && frame[2] == 3 { // an events message
		times = 2
	}
	for range times {
		l.lastUp = max(l.lastUp, l.phone.w.nowMs+l.latency())
		l.phone.w.after(l.lastUp-l.phone.w.nowMs, func() { l.atServer(frame) })
	}
}

func (l *link) atServer(frame []byte) {
	if l.gone || l.phone.net.out || l.phone.net.off || l.server.room == nil {
		l.lost = true
		return
	}
	if l.conn == nil {
		l.greet(frame)
	} else if err := l.conn.Receive(context.Background(), frame); err != nil {
		l.phone.w.note("the server hangs up on %s: %v", l.phone.name, err)
		l.closeSoon()
	}
	l.server.pump()
}

func (l *link) greet(frame []byte) {
	m, err := syncengine.DecodeMessage(frame)
	hello, ok := m.(syncengine.Hello)
	if err != nil || !ok {
		l.closeSoon()
		return
	}
	replica := l.replica
	if l.phone.wall {
		replica = event.ReplicaID{}
	}
	if l.conn, err = l.server.room.Enter(context.Background(), hello, replica); err != nil {
		l.phone.w.note("%s is not served: %v", l.phone.name, err)
		l.closeSoon()
	}
}

// down sends a frame of the server to the phone.
func (l *link) down(frame []byte) {
	l.lastDown = max(l.lastDown, l.phone.w.nowMs+l.latency())
	l.phone.w.after(l.lastDown-l.phone.w.nowMs, func() {
		p := l.phone
		if l.gone || p.net.in || p.net.off || p.link != l || p.life != l.life {
			l.lost = true
			return
		}
		p.retryMs, p.heardMs = 0, p.w.nowMs
		p.do(bridge.Call{Type: bridge.CallFrame, Frame: frame})
	})
}

// cut ends the link now; what was under way is lost, and both ends notice.
func (l *link) cut() {
	if l.gone {
		return
	}
	l.gone = true
	s := l.server
	s.links = slices.DeleteFunc(s.links, func(one *link) bool { return one == l })
	if l.conn != nil && s.room != nil {
		l.conn.Leave()
	}
	p, life := l.phone, l.life
	p.w.after(p.w.between(1, 50), func() {
		if p.link == l && p.life == life {
			p.link = nil
			p.do(bridge.Call{Type: bridge.CallLink, Up: false})
			p.later()
		}
	})
}

func (l *link) closeSoon() {
	l.phone.w.after(l.latency(), func() { l.cut(); l.server.pump() })
}
