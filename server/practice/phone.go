package practice

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/gorilla/websocket"

	"rootledger/server/web"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
	"rootledger/syncengine"
)

// Phone is one phone, or with a zero replica a wall. It keeps in memory, then
// shows, then sends; while it is away it goes on counting. It is safe for use
// by several goroutines.
type Phone struct {
	Name string

	api   *API
	pass  Pass
	clock func() syncengine.Now
	heard func(events []*event.Event) // called after events of others were folded

	mu      sync.Mutex
	replica *syncengine.Replica
	ws      *websocket.Conn // nil while there is no connection
	server  syncengine.Peer // what the server has or was sent on this connection
	stored  syncengine.Peer // what it said is stored
	refused []syncengine.Refusal
	links   session.Links
	changed chan struct{} // closed and renewed at every change
	away    bool
}

// RandomID fills an id with random bytes.
func RandomID[T ~[8]byte | ~[16]byte]() T {
	var id T
	switch p := any(&id).(type) {
	case *event.ReplicaID:
		rand.Read(p[:])
	case *event.PhoneID:
		rand.Read(p[:])
	case *event.SessionID:
		rand.Read(p[:])
	case *event.StartID:
		rand.Read(p[:])
	}
	return id
}

// NewPhone returns a phone that has joined with a pass, not connected yet.
func NewPhone(name string, api *API, pass Pass, me syncengine.Identity, clock func() syncengine.Now) *Phone {
	me.Session, me.Start = pass.Session, RandomID[event.StartID]()
	return &Phone{Name: name, api: api, pass: pass, clock: clock, replica: syncengine.New(me), changed: make(chan struct{})}
}

// NewWall returns a wall of a session: it needs no pass and never counts.
func NewWall(api *API, id event.SessionID, clock func() syncengine.Now) *Phone {
	return NewPhone("wall", api, Pass{Session: id}, syncengine.Identity{}, clock)
}

// OnEvents has f called with the events of others after they were folded. Set
// it before Stay.
func (p *Phone) OnEvents(f func([]*event.Event)) { p.heard = f }

func (p *Phone) change() {
	close(p.changed)
	p.changed = make(chan struct{})
}

// Tap records a fact, and sends it if there is a connection.
func (p *Phone) Tap(fact event.Fact, late bool) (*event.Event, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	e, err := p.replica.Record(fact, late, p.clock())
	if err != nil {
		return nil, err
	}
	p.change()
	if p.ws != nil {
		p.offer()
	}
	return e, nil
}

// offer sends what the server lacks. A failure only ends the connection: what
// was not acknowledged is offered again on the next.
func (p *Phone) offer() {
	for batch := p.replica.Batch(&p.server); batch.Len() > 0; batch = p.replica.Batch(&p.server) {
		if !p.write(syncengine.EncodeMessage(batch.Message())) {
			return
		}
	}
}

func (p *Phone) write(frame []byte) bool {
	if err := errors.Join(p.ws.SetWriteDeadline(time.Now().Add(5*time.Second)), p.ws.WriteMessage(websocket.BinaryMessage, frame)); err != nil {
		_ = p.ws.Close() // the reader notices
		return false
	}
	return true
}

// SendTwice sends an event twice more, as a network might.
func (p *Phone) SendTwice(e *event.Event) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.ws != nil {
		var batch syncengine.Packer
		batch.Add(e)
		batch.Add(e)
		p.write(syncengine.EncodeMessage(batch.Message()))
	}
}

// SendRaw sends bytes as they are, for tests of bad input.
func (p *Phone) SendRaw(frame []byte) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.ws != nil {
		p.write(frame)
	}
}

// Away cuts the connection until away is false again.
func (p *Phone) Away(away bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.away = away
	if away && p.ws != nil {
		_ = p.ws.Close() // the reader notices
	}
	p.change()
}

// Stay connects, and connects again after every fault, until ctx ends.
func (p *Phone) Stay(ctx context.Context) {
	for wait := 10 * time.Millisecond; ctx.Err() == nil; {
		p.mu.Lock()
		away, changed := p.away, p.changed
		p.mu.Unlock()
		if away {
			select {
			case <-changed:
			case <-ctx.Done():
			}
			continue
		}
		began := time.Now()
		err := p.Converse(ctx)
		if fault.Is(err, "token-refused") {
			p.renew(ctx)
		}
		if time.Since(began) > time.Second {
			wait = 10 * time.Millisecond
		}
		var jitter [1]byte
		rand.Read(jitter[:])
		select {
		case <-time.After(wait + wait*time.Duration(jitter[0])/255):
		case <-ctx.Done():
		}
		wait = min(2*wait, 2*time.Second)
	}
}

// admission is which server the phone speaks to, and with which pass.
func (p *Phone) admission() (*API, Pass) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.api, p.pass
}

// Rejoin lets the phone in again, by its ids as before: with the code of a room's
// wall, at a server that need not be the one it came from.
func (p *Phone) Rejoin(ctx context.Context, api *API, code string) error {
	me := p.replica.Me()
	pass, err := api.Join(ctx, code, me.Phone, me.Replica)
	if err != nil {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.api, p.pass = api, pass
	return nil
}

func (p *Phone) renew(ctx context.Context) {
	me := p.replica.Me()
	api, old := p.admission()
	fresh, err := api.Renew(ctx, old, me.Phone, me.Replica)
	p.mu.Lock()
	defer p.mu.Unlock()
	if err == nil && p.pass == old {
		p.pass = fresh
	}
}

// Converse holds one connection from hello to its end, and says why it ended.
func (p *Phone) Converse(ctx context.Context) error {
	dialer := websocket.Dialer{HandshakeTimeout: 5 * time.Second, Subprotocols: []string{web.Subprotocol}}
	api, pass := p.admission()
	if pass.Token != "" {
		dialer.Subprotocols = append(dialer.Subprotocols, web.TokenPrefix+pass.Token)
	}
	url := "ws" + strings.TrimPrefix(api.Base, "http") + "/api/sync?session=" + pass.Session.String()
	ws, response, err := dialer.DialContext(ctx, url, nil)
	if err != nil {
		if response != nil && response.StatusCode == http.StatusForbidden {
			return fault.New(fault.Denied, "token-refused")
		}
		return fmt.Errorf("practice: dial: %w", err)
	}
	defer ws.Close()
	ended := make(chan struct{})
	defer close(ended)
	go func() {
		select {
		case <-ctx.Done():
			_ = ws.Close() // ends the reader below
		case <-ended:
		}
	}()
	ws.SetReadLimit(syncengine.MaxFrame)
	p.mu.Lock()
	hello := p.replica.Hello([16]byte{}, nil)
	p.mu.Unlock()
	if err := ws.WriteMessage(websocket.BinaryMessage, syncengine.EncodeMessage(hello)); err != nil {
		return fmt.Errorf("practice: hello: %w", err)
	}
	err = p.read(ws)
	p.mu.Lock()
	p.ws = nil
	p.change()
	p.mu.Unlock()
	return err
}

func (p *Phone) read(ws *websocket.Conn) error {
	for {
		_, frame, err := ws.ReadMessage()
		if err != nil {
			return fmt.Errorf("practice: read: %w", err)
		}
		message, err := syncengine.DecodeMessage(frame)
		if err != nil {
			return err
		}
		if err := p.take(ws, message); err != nil {
			return err
		}
	}
}

func (p *Phone) take(ws *websocket.Conn, message syncengine.Message) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch m := message.(type) {
	case syncengine.Welcome:
		me := p.replica.Me().Replica
		p.replica.Meet(m.Vector)
		p.server = p.replica.Know(m.Vector, func(id event.ReplicaID) bool { return id != me })
		p.stored = p.replica.Know(m.Vector, func(event.ReplicaID) bool { return false })
		if p.away {
			return errors.New("practice: away")
		}
		p.ws = ws
		if me != (event.ReplicaID{}) {
			p.offer()
		}
	case syncengine.Events:
		return p.fold(m)
	case syncengine.Ack:
		for _, ref := range m.Stored {
			p.replica.Raise(&p.stored, ref)
		}
		p.refused = append(p.refused, m.Refused...)
	case syncengine.LinksMessage:
		p.links = m.Heard(p.clock().WallMs)
	case syncengine.Ping:
		p.write(syncengine.EncodeMessage(p.pong()))
	case syncengine.Trouble:
		return m.Fault
	}
	p.change()
	return nil
}

func (p *Phone) pong() syncengine.Pong {
	now := p.clock()
	return syncengine.Pong{Head: p.replica.Head(), Start: p.replica.Me().Start, WallMs: now.WallMs, SinceMs: now.SinceMs}
}

func (p *Phone) fold(m syncengine.Events) error {
	events, err := m.Unpack()
	if err != nil {
		return err
	}
	fresh, refused := p.replica.Receive(events, p.clock())
	if len(refused) > 0 {
		return refused[0].Fault
	}
	for _, e := range fresh {
		p.replica.Raise(&p.server, e.Ref())
		p.replica.Raise(&p.stored, e.Ref())
	}
	p.change()
	if p.heard != nil {
		p.heard(fresh)
	}
	return nil
}

// View is what this phone or wall draws now.
func (p *Phone) View() session.View {
	p.mu.Lock()
	defer p.mu.Unlock()
	links := p.links
	if links == nil {
		links = session.Links{}
	}
	return p.replica.View(p.clock().WallMs, links)
}

// Settled is View with every phone taken as heard, as replay and the sheet have it.
func (p *Phone) Settled() session.View {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.replica.View(p.replica.State().NewestMs(), nil)
}

// Events is how many events of people the phone holds.
func (p *Phone) Events() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.replica.State().Tapped()
}

// Refused is what the server would not take.
func (p *Phone) Refused() []syncengine.Refusal {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]syncengine.Refusal(nil), p.refused...)
}

// Until waits until what is true of the phone: how many events it holds, and
// how many of its own it wrote and the server has stored.
func (p *Phone) Until(ctx context.Context, what func(events int, written, stored uint64) bool) error {
	for {
		p.mu.Lock()
		written, lacking := p.replica.Mine(&p.stored)
		ok := what(p.replica.State().Tapped(), uint64(written), uint64(written-lacking))
		changed := p.changed
		p.mu.Unlock()
		if ok {
			return nil
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return fmt.Errorf("practice: %s waits in vain: %w", p.Name, ctx.Err())
		}
	}
}

// InRoom waits until the server has stored everything that this phone wrote.
func (p *Phone) InRoom(ctx context.Context) error {
	return p.Until(ctx, func(_ int, written, stored uint64) bool { return stored >= written })
}
