package floor

import (
	"encoding/binary"
	"sync"
	"time"

	"github.com/gorilla/websocket"
	"github.com/labstack/echo/v4"
)

const tapBytes = 16 // phone and seq

// upgrader also checks that the origin, if a client names one, is this host.
var upgrader = websocket.Upgrader{ReadBufferSize: 512, WriteBufferSize: 512}

// peer is one client. Frames wait in out, so that a slow one holds up no other.
type peer struct {
	conn *websocket.Conn
	out  chan *websocket.PreparedMessage
	gone chan struct{}
	once sync.Once
}

// cut ends the socket; the goroutines that use it then return.
func (p *peer) cut() {
	p.once.Do(func() {
		close(p.gone)
		_ = p.conn.Close() // it is over either way
	})
}

// send queues a frame, or cuts off a client that does not read.
func (p *peer) send(frame *websocket.PreparedMessage) {
	select {
	case p.out <- frame:
	default:
		p.cut()
	}
}

func (p *peer) writes() {
	for {
		select {
		case <-p.gone:
			return
		case frame := <-p.out:
			if p.conn.SetWriteDeadline(time.Now().Add(writeLimit)) != nil || p.conn.WritePreparedMessage(frame) != nil {
				p.cut()
				return
			}
		}
	}
}

// join makes a client of a request. For a wall it queues the total, under the
// same lock as every later frame: a wall misses no tap and sees none twice.
func (f *Floor) join(c echo.Context, wall bool) (*peer, error) {
	conn, err := upgrader.Upgrade(c.Response(), c.Request(), nil)
	if err != nil {
		return nil, nil // the upgrader has answered
	}
	conn.SetReadLimit(tapBytes)
	p := &peer{conn: conn, out: make(chan *websocket.PreparedMessage, maxOut), gone: make(chan struct{})}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.closed || len(f.peers) >= maxPeers {
		p.cut()
		return nil, nil
	}
	if wall {
		frame, err := binaryFrame(binary.BigEndian.AppendUint64(nil, f.total))
		if err != nil {
			p.cut()
			return nil, err
		}
		p.send(frame)
	}
	f.peers[p] = wall
	f.running.Add(1) // for the reader, which is the caller
	f.running.Go(p.writes)
	return p, nil
}

func (f *Floor) leave(p *peer) {
	p.cut()
	f.mu.Lock()
	delete(f.peers, p)
	f.mu.Unlock()
	f.running.Done()
}

// phone reads taps until the client goes.
func (f *Floor) phone(c echo.Context) error {
	p, err := f.join(c, false)
	if p == nil {
		return err
	}
	defer f.leave(p)
	for {
		kind, frame, err := p.conn.ReadMessage()
		if err != nil || kind != websocket.BinaryMessage || len(frame) != tapBytes {
			return nil
		}
		t := tap{phone: binary.BigEndian.Uint64(frame), seq: binary.BigEndian.Uint64(frame[8:]), from: p}
		select {
		case f.queue <- t:
		case <-f.done:
			return nil
		}
	}
}

// wall reads only to notice that the client goes.
func (f *Floor) wall(c echo.Context) error {
	p, err := f.join(c, true)
	if p == nil {
		return err
	}
	defer f.leave(p)
	for {
		if _, _, err := p.conn.NextReader(); err != nil {
			return nil
		}
	}
}

// tell acknowledges each tap of a commit and shows the new ones on all walls.
func (f *Floor) tell(batch []tap) {
	news := make([]byte, 8, 8+tapBytes*len(batch))
	fresh := uint64(0)
	for _, t := range batch {
		ack, err := binaryFrame(binary.BigEndian.AppendUint64(nil, t.seq))
		if err != nil {
			t.from.cut()
			continue
		}
		t.from.send(ack)
	}
	for _, t := range batch {
		if t.fresh {
			fresh++
			news = binary.BigEndian.AppendUint64(news, t.phone)
			news = binary.BigEndian.AppendUint64(news, t.seq)
		}
	}
	if fresh == 0 {
		return
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.total += fresh
	binary.BigEndian.PutUint64(news, f.total)
	frame, err := binaryFrame(news)
	for p, wall := range f.peers {
		switch {
		case !wall:
		case err != nil:
			p.cut()
		default:
			p.send(frame)
		}
	}
}

func binaryFrame(payload []byte) (*websocket.PreparedMessage, error) {
	return websocket.NewPreparedMessage(websocket.BinaryMessage, payload)
}
