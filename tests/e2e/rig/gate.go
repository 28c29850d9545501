package rig

import (
	"fmt"
	"io"
	"net"
	"sync"
)

// Gate is an address of its own in front of a server: a network that can be
// taken away from one device, and given back.
type Gate struct {
	listener net.Listener

	mu     sync.Mutex
	target string
	shut   bool
	conns  map[net.Conn]bool
}

// NewGate opens a gate to a server at host:port.
func NewGate(target string) (*Gate, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, fmt.Errorf("rig: gate: %w", err)
	}
	g := &Gate{listener: l, target: target, conns: make(map[net.Conn]bool)}
	go g.accept()
	return g, nil
}

// URL is the address that a device uses.
func (g *Gate) URL() string { return "http://" + g.listener.Addr().String() }

// Shut takes the network away: what is open breaks, what is new is cut at once.
func (g *Gate) Shut() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.shut = true
	for c := range g.conns {
		_ = c.Close()
	}
}

// Open gives the network back.
func (g *Gate) Open() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.shut = false
}

// Lead has what is new go to another server, at host:port.
func (g *Gate) Lead(target string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.target = target
}

// Close ends the gate.
func (g *Gate) Close() error {
	g.Shut()
	return g.listener.Close()
}

func (g *Gate) accept() {
	for {
		c, err := g.listener.Accept()
		if err != nil {
			return
		}
		go g.carry(c)
	}
}

// hold notes a connection, unless the gate is shut, and says where it leads.
func (g *Gate) hold(c net.Conn) (target string, open bool) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.shut {
		return "", false
	}
	g.conns[c] = true
	return g.target, true
}

func (g *Gate) drop(c net.Conn) {
	g.mu.Lock()
	defer g.mu.Unlock()
	delete(g.conns, c)
	_ = c.Close()
}

func (g *Gate) carry(from net.Conn) {
	defer g.drop(from)
	target, open := g.hold(from)
	if !open {
		return
	}
	to, err := net.Dial("tcp", target)
	if err != nil {
		return // the server is away
	}
	defer g.drop(to)
	if _, open := g.hold(to); !open {
		return
	}
	done := make(chan struct{}, 2)
	pipe := func(w, r net.Conn) {
		_, _ = io.Copy(w, r) // it ends when either side does
		done <- struct{}{}
	}
	go pipe(to, from)
	go pipe(from, to)
	<-done
}
