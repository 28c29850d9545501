// Package laden is phones that come with counts already written. They send them
// and hear what is stored, and fold nothing of what others count: so hundreds of
// them fit beside the server that they load.
package laden

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/gorilla/websocket"

	"rootledger/server/practice"
	"rootledger/server/web"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// Phone is one such phone.
type Phone struct {
	Connections int // how often it has connected

	api     *practice.API
	pass    practice.Pass
	replica event.ReplicaID
	last    event.Ref
	events  []*event.Event // by seq

	mu      sync.Mutex // guards what follows
	talk    *talk      // nil before the first
	sent    uint64
	stored  uint64
	refused []syncengine.Refusal
	changed chan struct{} // closed and renewed at every change
}

// talk is one connection.
type talk struct {
	ws    *websocket.Conn
	out   chan []byte
	ended chan struct{}
	err   error // to be read once it has ended
}

// waiting is how many frames may wait to be written: those of a whole phone, and
// what it answers meanwhile.
const waiting = 64

// New lets a phone in with the office token and has it write n events: that it
// joined, and then facts, each of which may be used for one event only.
func New(ctx context.Context, api *practice.API, session event.SessionID, n int, now func() syncengine.Now, next func() event.Fact) (*Phone, error) {
	me := syncengine.Identity{Session: session, Replica: practice.RandomID[event.ReplicaID](),
		Phone: practice.RandomID[event.PhoneID](), Start: practice.RandomID[event.StartID]()}
	pass, err := api.JoinOffice(ctx, session, me.Phone, me.Replica)
	if err != nil {
		return nil, err
	}
	p := &Phone{api: api, pass: pass, replica: me.Replica, changed: make(chan struct{})}
	engine := syncengine.New(me)
	fact := event.Fact(&event.Joined{Person: me.Replica.String(), Station: event.Sorting})
	for range n {
		e, err := engine.Record(fact, false, now())
		if err != nil {
			return nil, fmt.Errorf("laden: %w", err)
		}
		if p.events = append(p.events, e); len(p.events) < n {
			fact = next()
		}
	}
	p.last = engine.Head()
	return p, nil
}

// Replica is who the phone is.
func (p *Phone) Replica() event.ReplicaID { return p.replica }

// ConnectTo is Connect to a server at another address, with the same data.
func (p *Phone) ConnectTo(ctx context.Context, base string) error {
	p.api = practice.NewAPI(base, p.api.Office)
	return p.Connect(ctx)
}

// Connect says hello and is back when the server has welcomed the phone.
func (p *Phone) Connect(ctx context.Context) error {
	dialer := websocket.Dialer{HandshakeTimeout: 30 * time.Second, Subprotocols: []string{web.Subprotocol, web.TokenPrefix + p.pass.Token}}
	url := "ws" + strings.TrimPrefix(p.api.Base, "http") + "/api/sync?session=" + p.pass.Session.String()
	ws, _, err := dialer.DialContext(ctx, url, nil)
	if err != nil {
		return fmt.Errorf("laden: dial: %w", err)
	}
	ws.SetReadLimit(syncengine.MaxFrame)
	welcome, err := greet(ws, syncengine.Hello{Protocol: syncengine.Protocol, Session: p.pass.Session, Head: p.last})
	if err != nil {
		return errors.Join(fmt.Errorf("laden: hello: %w", err), ws.Close())
	}
	t := &talk{ws: ws, out: make(chan []byte, waiting), ended: make(chan struct{})}
	p.mu.Lock()
	p.Connections++
	p.talk, p.stored = t, max(p.stored, p.upTo(welcome.Vector))
	p.sent = p.stored
	p.mu.Unlock()
	go t.write()
	go p.read(t)
	return nil
}

func greet(ws *websocket.Conn, hello syncengine.Hello) (welcome syncengine.Welcome, err error) {
	if err := ws.WriteMessage(websocket.BinaryMessage, syncengine.EncodeMessage(hello)); err != nil {
		return welcome, err
	}
	_, frame, err := ws.ReadMessage()
	if err != nil {
		return welcome, err
	}
	message, err := syncengine.DecodeMessage(frame)
	if err != nil {
		return welcome, err
	}
	welcome, ok := message.(syncengine.Welcome)
	if !ok {
		return welcome, fmt.Errorf("the answer is %T", message)
	}
	return welcome, nil
}

func (t *talk) write() {
	for {
		select {
		case frame := <-t.out:
			if t.ws.WriteMessage(websocket.BinaryMessage, frame) != nil {
				_ = t.ws.Close() // the reader notices, and says why
				return
			}
		case <-t.ended:
			return
		}
	}
}

// read takes what comes until the connection ends.
func (p *Phone) read(t *talk) {
	for t.err == nil {
		var frame []byte
		if _, frame, t.err = t.ws.ReadMessage(); t.err == nil {
			t.err = p.take(t, frame)
		}
	}
	_ = t.ws.Close() // it is over either way
	close(t.ended)
}

// othersEvents is how a frame begins that has events of others.
var othersEvents = syncengine.EncodeMessage(syncengine.Events{})[:3]

func (p *Phone) take(t *talk, frame []byte) error {
	if bytes.HasPrefix(frame, othersEvents) {
		return nil
	}
	message, err := syncengine.DecodeMessage(frame)
	if err != nil {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	switch m := message.(type) {
	case syncengine.Ack:
		p.stored = max(p.stored, p.upTo(m.Stored))
		p.refused = append(p.refused, m.Refused...)
		close(p.changed)
		p.changed = make(chan struct{})
	case syncengine.Ping:
		select {
		case t.out <- syncengine.EncodeMessage(syncengine.Pong{Head: p.last}):
		default: // it has enough to say already
		}
	case syncengine.Trouble:
		return m.Fault
	}
	return nil
}

// upTo is the last of this phone's events in a vector.
func (p *Phone) upTo(v syncengine.Vector) (seq uint64) {
	for _, ref := range v {
		if ref.Replica == p.replica {
			seq = max(seq, ref.Seq)
		}
	}
	return seq
}

// Send sends the next n events, or what is left, in as few frames as hold them.
func (p *Phone) Send(n int) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	next := p.events[p.sent:min(len(p.events), int(p.sent)+n)]
	for len(next) > 0 {
		var batch syncengine.Packer
		for len(next) > 0 && batch.Add(next[0]) {
			next = next[1:]
		}
		select {
		case p.talk.out <- syncengine.EncodeMessage(batch.Message()):
			p.sent += uint64(batch.Len())
		default:
			return errors.New("laden: more frames than a phone may have waiting")
		}
	}
	return nil
}

// Wait is back when everything that was sent is stored, or fails when the
// connection ends before.
func (p *Phone) Wait(ctx context.Context) error {
	for {
		p.mu.Lock()
		done, refused, changed, t := p.stored >= p.sent, p.refused, p.changed, p.talk
		p.mu.Unlock()
		switch {
		case len(refused) > 0:
			return fmt.Errorf("laden: refused: %w", refused[0].Fault)
		case done:
			return nil
		}
		select {
		case <-changed:
		case <-t.ended:
			return fmt.Errorf("laden: the connection ended: %w", t.err)
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

// Left is how many events are not sent yet.
func (p *Phone) Left() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.events) - int(p.sent)
}

// Stored is how many events the phone was told are stored.
func (p *Phone) Stored() uint64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.stored
}

// Bring connects, as often as it takes, until everything is stored, and leaves.
// It fails when ctx ends, or when an event was refused.
func (p *Phone) Bring(ctx context.Context) error {
	for {
		err := p.Connect(ctx)
		if err == nil {
			err = errors.Join(p.Send(len(p.events)), p.Wait(ctx))
			p.Leave()
		}
		if err == nil || ctx.Err() != nil || p.wasRefused() {
			return err
		}
		select {
		case <-time.After(10 * time.Millisecond):
		case <-ctx.Done():
		}
	}
}

func (p *Phone) wasRefused() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.refused) > 0
}

// Leave ends the connection, and is back when it has ended.
func (p *Phone) Leave() {
	p.mu.Lock()
	t := p.talk
	p.mu.Unlock()
	if t != nil {
		_ = t.ws.Close() // the reader notices
		<-t.ended
	}
}
