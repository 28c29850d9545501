package main

import (
	"errors"
	"fmt"
	"io"
	"net"
	"sync"
	"sync/atomic"
)

// meter passes connections on to a server and counts their bytes, as they are
// on the wire above TCP: heads of HTTP and of WebSocket frames included.
type meter struct {
	listener net.Listener
	server   string
	up, down atomic.Int64

	mu   sync.Mutex
	open []net.Conn
	done sync.WaitGroup
}

func startMeter(server string) (*meter, error) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	m := &meter{listener: listener, server: server}
	m.done.Go(m.accept)
	return m, nil
}

func (m *meter) base() string { return "http://" + m.listener.Addr().String() }

func (m *meter) accept() {
	for {
		near, err := m.listener.Accept()
		if err != nil {
			return // closed
		}
		far, err := net.Dial("tcp", m.server)
		if err != nil {
			_ = near.Close() // its caller finds out
			continue
		}
		m.mu.Lock()
		m.open = append(m.open, near, far)
		m.mu.Unlock()
		m.done.Go(func() { pass(far, near, &m.up) })
		m.done.Go(func() { pass(near, far, &m.down) })
	}
}

// pass copies until one of both ends, and then ends the other.
func pass(to, from net.Conn, count *atomic.Int64) {
	_, _ = io.Copy(counted{to, count}, from) // either end may go first
	_ = errors.Join(to.Close(), from.Close())
}

type counted struct {
	io.Writer
	count *atomic.Int64
}

func (c counted) Write(b []byte) (int, error) {
	n, err := c.Writer.Write(b)
	c.count.Add(int64(n))
	return n, err
}

func (m *meter) end() error {
	err := m.listener.Close()
	m.mu.Lock()
	for _, conn := range m.open {
		_ = conn.Close() // most are closed already
	}
	m.mu.Unlock()
	m.done.Wait()
	return err
}
