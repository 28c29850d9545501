package crash

import (
	"context"
	"net"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"rootledger/server/practice"
	"rootledger/server/web"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

const (
	slowPhones = 12
	slowEvery  = 100 * time.Millisecond // of each of them
	longNotes  = 3000                   // 4.5 MB: more than the two ends of a socket buffer
	maxGrowth  = 64 << 20               // of a server beside a slow wall, in bytes
)

// TestOneSlowWall lets one of many walls read a byte a second: phones are
// acknowledged as fast as without it, the other walls have the total, the server
// drops it and holds nothing for it.
func TestOneSlowWall(t *testing.T) {
	walls, drops, alone, slack := 8, 1, time.Second, 500*time.Millisecond
	if soaking() {
		walls, drops, alone, slack = 100, 6, 20*time.Second, 50*time.Millisecond
	}
	ctx := within(t, 5*time.Minute)
	dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
	p := serving(ctx, t, dir, addr)
	r := open(ctx, t, p, dir, "slow")
	for range slowPhones {
		r.join(ctx, t, event.Sorting)
	}
	brisk := []*practice.Phone{r.wall}
	for len(brisk) < walls-1 {
		brisk = append(brisk, r.newWall())
	}
	r.office.phone.Away(true) // the notes come in few frames
	for range longNotes {
		_, err := r.office.tap(&event.Note{Text: strings.Repeat("€", 500)})
		must(t, err)
	}
	r.office.phone.Away(false)
	r.onAll(ctx, t, brisk)

	without := r.sortFor(ctx, t, alone, func() bool { return true })
	before := p.memory(t)
	slow := new(slowWall)
	r.everybody.Go(func() { slow.stay(r.staying, r) })
	with := r.sortFor(ctx, t, alone, func() bool { return slow.drops.Load() >= int64(drops) || ctx.Err() != nil })
	after := p.memory(t)
	if err := ctx.Err(); err != nil {
		t.Fatalf("the slow wall was dropped %d times: %v", slow.drops.Load(), err)
	}
	r.onAll(ctx, t, brisk)
	wall := r.settle(ctx, t)
	p.stop(ctx, t)
	r.agree(ctx, t, dir, wall)

	usual, delayed := percentile(without, 99), percentile(with, 99)
	if delayed > 5*usual+slack {
		t.Errorf("beside a slow wall 99 of 100 acknowledgements take up to %v, without it %v", delayed, usual)
	}
	if after.most > before.most+maxGrowth {
		t.Errorf("beside a slow wall the server grew from %d MB to %d MB", before.most>>20, after.most>>20)
	}
	t.Logf("%d walls, %d phones: acknowledged p50 %v, p99 %v of %d without the slow wall, p50 %v, p99 %v of %d beside it; it was dropped %d times; the server took up to %d MB before it, %d MB in the end",
		walls, slowPhones, percentile(without, 50), usual, len(without), percentile(with, 50), delayed, len(with), slow.drops.Load(), before.most>>20, after.most>>20)
	note("one slow wall", r.lost, "%d walls, %d events acknowledged, it was dropped %d times", walls, r.acknowledged(), slow.drops.Load())
}

// onAll waits until all walls have all events.
func (r *room) onAll(ctx context.Context, t *testing.T, walls []*practice.Phone) {
	t.Helper()
	total := 0
	for _, h := range r.all() {
		must(t, h.phone.InRoom(ctx))
		total += len(h.written())
	}
	for _, wall := range walls {
		must(t, wall.Until(ctx, func(events int, _, _ uint64) bool { return events >= total }))
	}
}

// sortFor lets every hand count for at least d and until enough, and says how
// long each count took from the tap until the phone was told that it is stored.
func (r *room) sortFor(ctx context.Context, t *testing.T, d time.Duration, enough func() bool) (took []time.Duration) {
	t.Helper()
	end := time.Now().Add(d)
	each := make([][]time.Duration, len(r.hands))
	for i, h := range r.hands {
		r.tapping.Go(func() {
			for h.failed == nil && (time.Now().Before(end) || !enough()) {
				began := time.Now()
				var e *event.Event
				if e, h.failed = h.tap(&event.Sorted{Size: 1, N: 1}); h.failed == nil {
					h.failed = h.phone.Until(ctx, func(_ int, _, stored uint64) bool { return stored >= e.Seq })
				}
				each[i] = append(each[i], time.Since(began))
				pause(ctx, slowEvery/2+time.Duration(h.random.Int64N(int64(slowEvery))))
			}
		})
	}
	r.tapping.Wait()
	for i, h := range r.hands {
		must(t, h.failed)
		took = append(took, each[i]...)
	}
	return took
}

// slowWall is a wall that reads a byte a second, and comes back when it is dropped.
type slowWall struct{ drops atomic.Int64 }

func (s *slowWall) stay(ctx context.Context, r *room) {
	for ctx.Err() == nil {
		if s.converse(ctx, r) {
			s.drops.Add(1)
		}
	}
}

// converse is one connection, and says whether the server ended it. What the
// server sent is on its way for long then, so the wall pings: that finds out.
func (s *slowWall) converse(ctx context.Context, r *room) (dropped bool) {
	dialer := websocket.Dialer{NetDialContext: narrow, Subprotocols: []string{web.Subprotocol}}
	url := "ws" + strings.TrimPrefix(r.api.Base, "http") + "/api/sync?session=" + r.id.String()
	ws, _, err := dialer.DialContext(ctx, url, nil)
	if err != nil {
		return false
	}
	defer ws.Close()
	hello := syncengine.New(syncengine.Identity{Session: r.id}).Hello([16]byte{}, nil)
	err = ws.WriteMessage(websocket.BinaryMessage, syncengine.EncodeMessage(hello))
	one := make([]byte, 1)
	for err == nil && ctx.Err() == nil {
		if _, err = ws.NetConn().Read(one); err == nil {
			err = ws.WriteControl(websocket.PingMessage, nil, time.Now().Add(time.Second))
		}
		pause(ctx, time.Second)
	}
	return ctx.Err() == nil
}

// narrow dials with the smallest buffer for what comes in.
func narrow(ctx context.Context, network, addr string) (net.Conn, error) {
	conn, err := new(net.Dialer).DialContext(ctx, network, addr)
	if err != nil {
		return nil, err
	}
	return conn, conn.(*net.TCPConn).SetReadBuffer(4 << 10)
}
