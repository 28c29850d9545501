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

// Storage is what rooms need of the store.
type Storage interface {
	Server() store.Server
	Session(ctx context.Context, id event.SessionID) (store.Session, error)
	Enrolments(ctx context.Context, session int64) ([]store.Enrolment, error)
	EventsOf(ctx context.Context, session int64, each func(*event.Event) error) error
	// Append stores events behind those that a session has, all or none; first is
	// the place of the first, from 1.
	Append(ctx context.Context, session, first int64, events []*event.Event) error
	// Renew gives the database a new epoch and replica id after it was found to be
	// older than what it had told, and notes that on every session.
	Renew(ctx context.Context, nowMs int64) error
	// EndRefill has a session take only what the enrolled may bring.
	EndRefill(ctx context.Context, id event.SessionID) error
}

// Hub is every open room of one server.
type Hub struct {
	store  Storage
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
func New(s Storage, log *slog.Logger, clock func() time.Time, fatal func(error)) *Hub {
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
	r, err := h.Open(ctx, id)
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

// Open returns the room of a session with all its events and nobody to run it:
// its owner calls Step. Room is what a server calls.
func (h *Hub) Open(ctx context.Context, id event.SessionID) (*Room, error) {
	row, err := h.store.Session(ctx, id)
	if err != nil {
		return nil, err
	}
	return openRoom(ctx, h, row)
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
