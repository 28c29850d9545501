package web_test

import (
	"encoding/binary"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"rootledger/server/practice"
	"rootledger/server/web"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// raw is one plain socket, and the replica that speaks over it.
type raw struct {
	t       *testing.T
	ws      *websocket.Conn
	replica *syncengine.Replica
}

// dial opens a socket with a token, or as a wall without one.
func (r *rig) dial(dialer websocket.Dialer, session event.SessionID, token string) (*websocket.Conn, *http.Response, error) {
	dialer.HandshakeTimeout = 5 * time.Second
	dialer.Subprotocols = []string{web.Subprotocol}
	if token != "" {
		dialer.Subprotocols = append(dialer.Subprotocols, web.TokenPrefix+token)
	}
	url := "ws" + strings.TrimPrefix(r.api.Base, "http") + "/api/sync?session=" + session.String()
	return dialer.DialContext(bounded(r.t), url, nil)
}

// socket is a socket that has said nothing yet.
func (r *rig) socket(pass practice.Pass, me syncengine.Identity) *raw {
	r.t.Helper()
	ws, _, err := r.dial(websocket.Dialer{}, r.session, pass.Token)
	if err != nil {
		r.t.Fatalf("dial: %v", err)
	}
	r.t.Cleanup(func() { _ = ws.Close() }) // often closed by the server already
	if got := ws.Subprotocol(); got != web.Subprotocol {
		r.t.Errorf("subprotocol: got %q, want %q", got, web.Subprotocol)
	}
	me.Session, me.Start = r.session, practice.RandomID[event.StartID]()
	return &raw{r.t, ws, syncengine.New(me)}
}

// joined is a socket of a new phone, past its welcome.
func (r *rig) joined() *raw {
	r.t.Helper()
	return r.met(r.pass())
}

// met is a socket past its welcome.
func (r *rig) met(pass practice.Pass, me syncengine.Identity) *raw {
	r.t.Helper()
	c := r.socket(pass, me)
	c.greet()
	return c
}

func (c *raw) greet() syncengine.Welcome {
	c.t.Helper()
	c.send(syncengine.EncodeMessage(c.replica.Hello([16]byte{}, nil)))
	welcome, ok := c.read().(syncengine.Welcome)
	if !ok {
		c.t.Fatal("the first answer is no welcome")
	}
	return welcome
}

// send sends bytes as they are.
func (c *raw) send(frame []byte) {
	c.t.Helper()
	if err := c.ws.SetWriteDeadline(time.Now().Add(5 * time.Second)); err != nil {
		c.t.Fatal(err)
	}
	if err := c.ws.WriteMessage(websocket.BinaryMessage, frame); err != nil {
		c.t.Fatalf("send: %v", err)
	}
}

// events sends bodies as one frame.
func (c *raw) events(bodies ...[]byte) {
	c.t.Helper()
	c.send(eventsFrame(bodies...))
}

// eventsFrame is a message of whole bodies, whatever they are.
func eventsFrame(bodies ...[]byte) []byte {
	var m syncengine.Events
	for _, body := range bodies {
		m.Rows = append(binary.AppendUvarint(append(m.Rows, 64), uint64(len(body))), body...)
	}
	return syncengine.EncodeMessage(m)
}

// refOf names the event of a body.
func refOf(t *testing.T, body []byte) event.Ref {
	t.Helper()
	e, err := event.Decode(body)
	if err != nil {
		t.Fatal(err)
	}
	return e.Ref()
}

// record makes the next event of the socket's own replica.
func (c *raw) record(fact event.Fact) *event.Event {
	c.t.Helper()
	e, err := c.replica.Record(fact, false, now())
	if err != nil {
		c.t.Fatalf("record: %v", err)
	}
	return e
}

// next is one frame, or why there is none.
func (c *raw) next() (syncengine.Message, error) {
	if err := c.ws.SetReadDeadline(time.Now().Add(10 * time.Second)); err != nil {
		return nil, err
	}
	_, frame, err := c.ws.ReadMessage()
	if err != nil {
		return nil, err
	}
	return syncengine.DecodeMessage(frame)
}

func (c *raw) read() syncengine.Message {
	c.t.Helper()
	m, err := c.next()
	if err != nil {
		c.t.Fatalf("read: %v", err)
	}
	return m
}

// ack reads on until an acknowledgement comes.
func (c *raw) ack() syncengine.Ack {
	c.t.Helper()
	for range 1000 {
		switch m := c.read().(type) {
		case syncengine.Ack:
			return m
		case syncengine.Trouble:
			c.t.Fatalf("got trouble %s, want an acknowledgement", m.Fault.Code)
		}
	}
	c.t.Fatal("no acknowledgement in 1000 frames")
	return syncengine.Ack{}
}

// trouble reads on until the server says why it hangs up, and that it does.
func (c *raw) trouble(code fault.Code) *fault.Fault {
	c.t.Helper()
	for range 1000 {
		m, err := c.next()
		if err != nil {
			c.t.Fatalf("closed without trouble %s: %v", code, err)
		}
		if trouble, ok := m.(syncengine.Trouble); ok {
			same(c.t, "trouble", trouble.Fault.Code, code)
			c.closes()
			return trouble.Fault
		}
	}
	c.t.Fatalf("no trouble %s in 1000 frames", code)
	return nil
}

// closes reads on until the server has closed the socket.
func (c *raw) closes() {
	c.t.Helper()
	for range 1000 {
		if _, err := c.next(); err != nil {
			if late, ok := err.(interface{ Timeout() bool }); ok && late.Timeout() {
				c.t.Errorf("the socket stays open: %v", err)
			}
			return
		}
	}
	c.t.Error("the socket stays open for 1000 frames")
}

// refused dials and returns the answer that is no socket.
func (r *rig) refused(session event.SessionID, token string) (status int, text string) {
	r.t.Helper()
	ws, response, err := r.dial(websocket.Dialer{}, session, token)
	if err == nil {
		_ = ws.Close()
		r.t.Fatal("a socket was opened")
	}
	if response == nil {
		r.t.Fatalf("no answer: %v", err)
	}
	body, err := io.ReadAll(response.Body)
	if err != nil {
		r.t.Fatal(err)
	}
	return response.StatusCode, string(body)
}
