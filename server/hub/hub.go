// Package hub owns the rooms: for every session that somebody listens to, one
// goroutine with the server's replica, which stores what arrives and then
// tells everyone. It knows frames, not sockets.
package hub

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Hub is every open room of one server.
type Hub struct {
	store  *store.Store
	log    *slog.Logger
	clock  func() time.Time
	fatal  func(error)
	ctx    context.Context
	cancel context.CancelFunc

	mu    sync.Mutex
	rooms map[event.SessionID]*Room
	done  sync.WaitGroup
}

// New returns a hub without rooms. fatal is called once when storing fails:
// the server must then stop, for it may promise nothing more.
func New(s *store.Store, log *slog.Logger, clock func() time.Time, fatal func(error)) *Hub {
	ctx, cancel := context.WithCancel(context.Background())
	var once sync.Once
	return &Hub{store: s, log: log, clock: clock, ctx: ctx, cancel: cancel, rooms: make(map[event.SessionID]*Room),
		fatal: func(err error) { once.Do(func() { fatal(err) }) }}
}

// Room returns the room of a session, opened with all its events on first use.
func (h *Hub) Room(ctx context.Context, id event.SessionID) (*Room, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.ctx.Err() != nil {
		return nil, fault.New(fault.Unavailable, "stopping")
	}
	if r := h.rooms[id]; r != nil {
		return r, nil
	}
	row, err := h.store.Session(ctx, id)
	if err != nil {
		return nil, err
	}
	r, err := openRoom(ctx, h, row)
	if err != nil {
		return nil, err
	}
	h.rooms[id] = r
	h.done.Add(1)
	go func() {
		defer h.done.Done()
		r.run(h.ctx)
	}()
	return r, nil
}

// forget drops a room that is about to end.
func (h *Hub) forget(id event.SessionID) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.rooms, id)
}

// Close stops every room after the batch that it is storing. Connections then
// find that their room is gone, and phones keep what was not acknowledged.
func (h *Hub) Close() {
	h.cancel()
	h.done.Wait()
}
