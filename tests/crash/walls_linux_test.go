package crash

import (
	"context"
	"io"
	"net"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"rootledger/server/practice"
	"rootledger/server/web"
	"rootledger/syncengine"
)

const (
	ethernet = 1400    // bytes of a packet: over loopback they are fifty times as long, and buffers with them
	window   = 4 << 10 // of those who do not read
	pingsAt  = time.Second / 10
)

// overEthernet dials as over a real network, with a small buffer for what comes in.
func overEthernet(ctx context.Context, network, addr string) (net.Conn, error) {
	d := net.Dialer{Control: func(_, _ string, c syscall.RawConn) (err error) {
		failed := c.Control(func(fd uintptr) {
			if err = syscall.SetsockoptInt(int(fd), syscall.IPPROTO_TCP, syscall.TCP_MAXSEG, ethernet); err == nil {
				err = syscall.SetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_RCVBUF, window)
			}
		})
		if failed != nil {
			return failed
		}
		return err
	}}
	return d.DialContext(ctx, network, addr)
}

// deadWall is a wall that never reads. It comes back when it is let go.
type deadWall struct {
	mu   sync.Mutex
	took []time.Duration // from its hello until it was let go
}

func (d *deadWall) stay(ctx context.Context, r *room) {
	for ctx.Err() == nil {
		if took, gone := d.converse(ctx, r); gone {
			d.mu.Lock()
			d.took = append(d.took, took)
			d.mu.Unlock()
		}
	}
}

func (d *deadWall) letGo() []time.Duration {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.took
}

// converse is one connection, and says whether the server ended it, and after
// how long. Nobody can tell from a socket that is not read: the wall pings, and
// that fails a tenth of a second after the server closed.
func (d *deadWall) converse(ctx context.Context, r *room) (took time.Duration, gone bool) {
	dialer := websocket.Dialer{NetDialContext: overEthernet, Subprotocols: []string{web.Subprotocol}}
	url := "ws" + strings.TrimPrefix(r.api.Base, "http") + "/api/sync?session=" + r.id.String()
	ws, _, err := dialer.DialContext(ctx, url, nil)
	if err != nil {
		return 0, false
	}
	defer ws.Close()
	hello := syncengine.New(syncengine.Identity{Session: r.id}).Hello([16]byte{}, nil)
	began := time.Now()
	err = ws.WriteMessage(websocket.BinaryMessage, syncengine.EncodeMessage(hello))
	for err == nil && ctx.Err() == nil {
		pause(ctx, pingsAt)
		err = ws.WriteControl(websocket.PingMessage, nil, time.Now().Add(time.Second))
	}
	return time.Since(began), ctx.Err() == nil
}

// thinLine is an address in front of a server over which little comes back a
// second, until it is widened.
type thinLine struct {
	listener net.Listener
	to       string
	bytes    int // a tenth of a second
	wide     atomic.Bool
	opened   atomic.Int64
}

func newThinLine(t *testing.T, to string, bytesPerSecond int) *thinLine {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	must(t, err)
	line := &thinLine{listener: l, to: to, bytes: bytesPerSecond / 10}
	t.Cleanup(func() { must(t, l.Close()) })
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go line.carry(c)
		}
	}()
	return line
}

func (l *thinLine) base() string { return "http://" + l.listener.Addr().String() }

func (l *thinLine) carry(from net.Conn) {
	defer from.Close()
	to, err := overEthernet(context.Background(), "tcp", l.to)
	if err != nil {
		return
	}
	defer to.Close()
	l.opened.Add(1)
	go func() {
		_, _ = io.Copy(to, from) // it ends when either side does
		_ = to.Close()
	}()
	for err == nil {
		_, err = io.CopyN(from, to, int64(l.bytes))
		if !l.wide.Load() {
			time.Sleep(time.Second / 10)
		}
	}
}

// slowly is a wall of the room at the end of a thin line.
func (r *room) slowly(line *thinLine) *practice.Phone {
	api := practice.NewAPI(line.base(), "")
	return practice.NewWall(api, r.id, r.clock)
}
