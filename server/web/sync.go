package web

import (
	"context"
	"errors"
	"io"
	"net/http"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/gorilla/websocket"
	"github.com/labstack/echo/v4"

	"rootledger/server/hub"
	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// Subprotocol is what a socket speaks; a phone offers its token beside it as
// "token.<jwt>", for a browser can set no header.
const (
	Subprotocol = "rootledger.1"
	TokenPrefix = "token."
)

const (
	helloWithin = 10 * time.Second
	silentAfter = 60 * time.Second // pings go out every 5 s, so a live peer speaks
	writeWithin = 5 * time.Second
)

// upgrader reads through net/http's own buffer, and writes through one that
// sockets share: most of a room's sockets are silent most of the time.
var upgrader = websocket.Upgrader{Subprotocols: []string{Subprotocol}, WriteBufferPool: new(sync.Pool)}

// sync is the socket of a phone (with a token) or a wall (without): a hello, a
// welcome, then events and acknowledgements both ways.
func (s *Server) sync(c echo.Context) error {
	if !websocket.IsWebSocketUpgrade(c.Request()) {
		return damagedRequest("not a WebSocket")
	}
	row, err := s.sessionOf(c, c.QueryParam("session"))
	if err != nil {
		return err
	}
	replica, err := s.speaker(c.Request(), row)
	if err != nil {
		return err
	}
	s.sockets.Add(1)
	defer s.sockets.Done()
	ws, err := upgrader.Upgrade(c.Response(), c.Request(), nil)
	if err != nil {
		return nil // the upgrader has answered
	}
	s.open.Store(ws, true)
	defer s.open.Delete(ws)
	defer ws.Close()
	ctx, cancel := context.WithCancel(context.WithoutCancel(c.Request().Context()))
	defer cancel()
	ws.SetReadLimit(2 * syncengine.MaxFrame) // up to here a frame that is too long gets words
	conn, err := s.greet(ctx, ws, row, replica)
	if err != nil {
		s.refuse(ws, err)
		return nil
	}
	defer conn.Leave()
	sent := make(chan struct{})
	go func() {
		defer close(sent)
		defer ws.Close() // ends the reader
		s.send(ctx, ws, conn)
	}()
	if !s.receive(ctx, ws, conn) {
		cancel() // nobody is there to be told
	}
	<-sent
	return nil
}

// speaker is the replica that a socket's token names, zero for a wall.
func (s *Server) speaker(r *http.Request, row store.Session) (event.ReplicaID, error) {
	for _, offered := range websocket.Subprotocols(r) {
		token, ok := strings.CutPrefix(offered, TokenPrefix)
		if !ok {
			continue
		}
		claims, err := s.Auth.Check(token)
		if err != nil {
			return event.ReplicaID{}, err
		}
		if claims.Session != row.ID {
			return event.ReplicaID{}, fault.New(fault.Denied, "other-session")
		}
		return claims.Replica, nil
	}
	return event.ReplicaID{}, nil
}

func (s *Server) greet(ctx context.Context, ws *websocket.Conn, row store.Session, replica event.ReplicaID) (*hub.Conn, error) {
	frame, err := read(ws, helloWithin)
	if err != nil {
		return nil, err
	}
	message, err := syncengine.DecodeMessage(frame)
	if err != nil {
		return nil, err
	}
	hello, ok := message.(syncengine.Hello)
	if !ok {
		return nil, fault.New(fault.Damaged, "frame-damaged")
	}
	room, err := s.Hub.Room(ctx, row.ID)
	if err != nil {
		return nil, err
	}
	return room.Join(ctx, hello, replica)
}

func read(ws *websocket.Conn, within time.Duration) ([]byte, error) {
	if err := ws.SetReadDeadline(time.Now().Add(within)); err != nil {
		return nil, err
	}
	_, frame, err := ws.ReadMessage()
	return frame, err
}

// receive hands frames to the room until the socket or the conversation ends;
// told says that the peer will be told why.
func (s *Server) receive(ctx context.Context, ws *websocket.Conn, conn *hub.Conn) (told bool) {
	for {
		frame, err := read(ws, silentAfter)
		if errors.Is(err, os.ErrDeadlineExceeded) {
			conn.Trouble(fault.New(fault.Unavailable, "silent"))
			return true
		}
		if err != nil {
			return false
		}
		if err := conn.Receive(ctx, frame); err != nil {
			f := faultOf(err)
			s.Log.Warn("a conversation was ended", "code", string(f.Code), "error", err)
			conn.Trouble(f)
			return true
		}
	}
}

// send writes what the room has for this peer until there is nothing more to say.
func (s *Server) send(ctx context.Context, ws *websocket.Conn, conn *hub.Conn) {
	for {
		frame, err := conn.Next(ctx)
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			s.refuse(ws, err)
			return
		}
		if err := write(ws, frame); err != nil {
			s.Log.Info("a peer is gone or too slow and was dropped", "replica", conn.Replica().String(), "error", err)
			return // it comes back and is told the rest
		}
	}
}

func write(ws *websocket.Conn, frame []byte) error {
	if err := ws.SetWriteDeadline(time.Now().Add(writeWithin)); err != nil {
		return err
	}
	return ws.WriteMessage(websocket.BinaryMessage, frame)
}

// refuse tells a peer in a code why it is not served. Its counts are safe with
// it, so a failure to tell is left to its own next try.
func (s *Server) refuse(ws *websocket.Conn, err error) {
	f := fault.Of(err)
	s.Log.Info("a socket was not served", "error", err)
	if f == nil {
		return // it said nothing that could be answered
	}
	if write(ws, syncengine.EncodeMessage(syncengine.Trouble{Fault: f})) != nil {
		return
	}
	text := websocket.FormatCloseMessage(websocket.CloseGoingAway, string(f.Code))
	_ = ws.WriteControl(websocket.CloseMessage, text, time.Now().Add(writeWithin))
}

func faultOf(err error) *fault.Fault {
	if f := fault.Of(err); f != nil {
		return f
	}
	return fault.New(fault.Unavailable, "internal")
}
