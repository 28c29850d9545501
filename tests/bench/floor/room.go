package floor

import (
	"encoding/binary"
	"fmt"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"

	"rootledger/tests/bench/load"
)

// patience is how long a client waits for what it is owed.
const patience = 5 * time.Second

// Room lets a load connect its phones and walls.
func (f *Floor) Room() load.Room { return room{f.URL()} }

type room struct{ url string }

var dialer = websocket.Dialer{HandshakeTimeout: patience, ReadBufferSize: 4096, WriteBufferSize: 512}

func (r room) dial(path string) (*websocket.Conn, error) {
	conn, _, err := dialer.Dial(r.url+path, nil)
	if err != nil {
		return nil, fmt.Errorf("dial %s: %w", path, err)
	}
	return conn, nil
}

// phone is the client of a phone: it knows what was sent and acknowledged.
type phone struct {
	conn  *websocket.Conn
	me    uint64
	sent  uint64
	acked atomic.Uint64
	news  chan struct{} // acked has grown
}

// Phone connects phone i.
func (r room) Phone(i int) (load.Phone, error) {
	conn, err := r.dial("/phone")
	if err != nil {
		return nil, err
	}
	p := &phone{conn: conn, me: uint64(i) + 1, news: make(chan struct{}, 1)}
	go p.acks()
	return p, nil
}

// acks reads acknowledgements until the socket ends or one is out of turn.
func (p *phone) acks() {
	for {
		_, frame, err := p.conn.ReadMessage()
		if err != nil || len(frame) != 8 || binary.BigEndian.Uint64(frame) != p.acked.Load()+1 {
			return
		}
		p.acked.Add(1)
		select {
		case p.news <- struct{}{}:
		default:
		}
	}
}

// Tap sends the next tap.
func (p *phone) Tap() (uint64, error) {
	var frame [tapBytes]byte
	p.sent++
	binary.BigEndian.PutUint64(frame[:], p.me)
	binary.BigEndian.PutUint64(frame[8:], p.sent)
	if err := p.conn.SetWriteDeadline(time.Now().Add(patience)); err != nil {
		return 0, err
	}
	return tapID(p.me, p.sent), p.conn.WriteMessage(websocket.BinaryMessage, frame[:])
}

// Flush sends n taps and waits for their acknowledgements.
func (p *phone) Flush(n int) error {
	for range n {
		if _, err := p.Tap(); err != nil {
			return err
		}
	}
	return p.wait()
}

// Close waits for the acknowledgements that are due, then ends the socket.
func (p *phone) Close() error {
	defer func() { _ = p.conn.Close() }() // nothing is owed any more
	return p.wait()
}

func (p *phone) wait() error {
	timer := time.NewTimer(patience)
	defer timer.Stop()
	for p.acked.Load() < p.sent {
		select {
		case <-p.news:
		case <-timer.C:
			return fmt.Errorf("phone %d: %d of %d taps acknowledged", p.me, p.acked.Load(), p.sent)
		}
	}
	return nil
}

// wall is the client of a wall.
type wall struct {
	conn  *websocket.Conn
	total uint64
}

// Wall connects a wall and reads where the total stands.
func (r room) Wall() (load.Wall, error) {
	conn, err := r.dial("/wall")
	if err != nil {
		return nil, err
	}
	_, frame, err := conn.ReadMessage()
	if err == nil && len(frame) != 8 {
		err = fmt.Errorf("first frame of a wall has %d bytes", len(frame))
	}
	if err != nil {
		_ = conn.Close() // the error says more
		return nil, err
	}
	return &wall{conn: conn, total: binary.BigEndian.Uint64(frame)}, nil
}

// Next reads one frame. It fails when the total does not grow by just the taps
// that the frame lists.
func (w *wall) Next() ([]uint64, error) {
	_, frame, err := w.conn.ReadMessage()
	if err != nil {
		return nil, err
	}
	if len(frame) < 8 || (len(frame)-8)%tapBytes != 0 {
		return nil, fmt.Errorf("frame of a wall has %d bytes", len(frame))
	}
	var seen []uint64
	for rest := frame[8:]; len(rest) > 0; rest = rest[tapBytes:] {
		seen = append(seen, tapID(binary.BigEndian.Uint64(rest), binary.BigEndian.Uint64(rest[8:])))
	}
	w.total += uint64(len(seen))
	if total := binary.BigEndian.Uint64(frame); total != w.total {
		return nil, fmt.Errorf("total is %d, want %d", total, w.total)
	}
	return seen, nil
}

// Close ends the socket.
func (w *wall) Close() error { return w.conn.Close() }

// tapID puts phone and seq into one number; a load has few of either.
func tapID(phone, seq uint64) uint64 { return phone<<32 | seq }
