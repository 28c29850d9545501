package web_test

import (
	"context"
	"fmt"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

// narrow dials with the smallest buffer for what comes in.
func narrow(ctx context.Context, network, addr string) (net.Conn, error) {
	conn, err := new(net.Dialer).DialContext(ctx, network, addr)
	if err != nil {
		return nil, err
	}
	return conn, conn.(*net.TCPConn).SetReadBuffer(4 << 10)
}

// A wall that reads nothing must not hold the phones up: what it does not take
// piles up nowhere, and counts are acknowledged as before.
func TestSlowWallDelaysNobody(t *testing.T) {
	r := newRig(t)
	ws, _, err := r.dial(websocket.Dialer{NetDialContext: narrow}, r.session, "")
	if err != nil {
		t.Fatal(err)
	}
	defer ws.Close()
	slow := &raw{t, ws, syncengine.New(syncengine.Identity{Session: r.session})}
	slow.greet()

	p, brisk := r.phone("Ash"), r.wall()
	note := strings.Repeat("€", 490)
	for i := range 5000 { // 7 MB, no two alike: more than the two ends of a socket buffer
		tap(t, p, &event.Note{Text: fmt.Sprint(i) + note})
	}
	inRoom(t, p)
	before := len(r.stored())

	ctx, cancel := context.WithTimeout(context.Background(), 4*time.Second) // a slow wall is waited for 5 s
	defer cancel()
	sorts(t, p, 1)
	if err := p.InRoom(ctx); err != nil {
		t.Errorf("beside a slow wall: %v", err)
	}
	holds(t, brisk, before+1)
	same(t, "sorted on the other wall", brisk.Settled().Ledger.Sorted.Total(), 1)
}
