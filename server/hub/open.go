package hub

import (
	"context"
	"fmt"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// openRoom is a room with all that is stored of its session, and nobody in it.
func openRoom(ctx context.Context, h *Hub, row store.Session) (*Room, error) {
	r := &Room{hub: h, row: row, started: h.clock(), inbox: make(chan input, queued), gone: make(chan struct{}),
		conns: make(map[uint64]*Conn), links: make(map[event.ReplicaID]*link), clocks: make(map[event.ReplicaID]*clocks), heardOf: make(map[event.ReplicaID]event.Ref),
		members: make(map[event.ReplicaID]store.Enrolment), phones: make(map[event.PhoneID]string)}
	r.replica = syncengine.New(r.identity())
	if err := r.load(ctx); err != nil {
		return nil, err
	}
	return r, nil
}

// loadAtOnce is how many stored events are folded while the next are read.
const loadAtOnce = 1024

// load folds what is stored, and reads and decodes on another goroutine.
func (r *Room) load(ctx context.Context) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	read, failed := make(chan []*event.Event, 4), make(chan error, 1)
	go func() {
		defer close(read)
		failed <- r.read(ctx, read)
	}()
	var items []item
	for some := range read {
		fresh, refused := r.replica.Load(some, r.now())
		if len(refused) > 0 {
			return fmt.Errorf("hub: stored event %s:%d: %w", refused[0].Replica, refused[0].Seq, refused[0].Fault)
		}
		r.stored += int64(len(some))
		items = append(items, r.items(fresh, nil, 0)...)
	}
	if err := <-failed; err != nil {
		return err
	}
	if int64(len(items)) != r.stored {
		return fmt.Errorf("hub: of %d stored events only %d are linked", r.stored, len(items))
	}
	r.feed = newFeed(items)
	return nil
}

// read hands the stored events on, some at a time, until ctx ends.
func (r *Room) read(ctx context.Context, to chan<- []*event.Event) error {
	hand := func(some []*event.Event) error {
		select {
		case to <- some:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	some := make([]*event.Event, 0, loadAtOnce)
	err := r.hub.store.EventsOf(ctx, r.row.Row, func(e *event.Event) error {
		if some = append(some, e); len(some) < loadAtOnce {
			return nil
		}
		full := some
		some = make([]*event.Event, 0, loadAtOnce)
		return hand(full)
	})
	if err != nil {
		return err
	}
	return hand(some)
}
