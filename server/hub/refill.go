package hub

import (
	"context"
	"math"
	"slices"
	"time"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// note compares what a phone says was stored with what is. A database that has
// less was restored from a backup, lost a write that it had promised, or is
// another one than the phone last spoke to.
func (r *Room) note(ctx context.Context, hello syncengine.Hello) error {
	if hello.Head.Replica == (event.ReplicaID{}) {
		return nil // anyone may be a wall
	}
	for _, v := range []syncengine.Vector{hello.Heard, hello.Vector} {
		r.replica.Meet(v)
		for _, ref := range v {
			if have := r.heardOf[ref.Replica]; have.Seq < ref.Seq && len(r.heardOf) < syncengine.MaxReplicas {
				r.heardOf[ref.Replica] = ref
			}
		}
	}
	older := r.row.OlderMs == 0 && r.row.RefilledMs == 0 && hello.Epoch != [16]byte{} && len(r.replica.Gaps(hello.Heard)) > 0
	return r.renewIfOld(ctx, older)
}

// renewEvery bounds how often a peer can make the server take a new id.
const renewEvery = time.Minute

// renewIfOld gives the server a new epoch and replica id when it turns out that
// it told more than it has, or that its own history goes on elsewhere; where
// another room found out, it follows. From then on phones may bring back what
// anyone counted; what needs the office still needs it, for a phone alone says so.
func (r *Room) renewIfOld(ctx context.Context, older bool) error {
	renewed := r.replica.Me().Replica != r.hub.store.Server().Replica // by another room
	if !older && !r.replica.Cloned() && !renewed {
		return nil
	}
	ctx = context.WithoutCancel(ctx)
	if !renewed && r.hub.clock().Sub(r.renewed) < renewEvery {
		return nil
	}
	r.renewed = r.hub.clock()
	if !renewed {
		r.hub.log.Warn("this database is older than what it told; phones refill it", "session", r.row.ID.String())
		if err := r.hub.store.Renew(ctx, r.hub.clock().UnixMilli()); err != nil {
			return err
		}
	}
	r.replica.GoOnAs(r.identity())
	return r.reread(ctx)
}

// reread looks again at what the store says of the session, and hangs up: phones
// come back at once, and offer again what was not welcome before.
func (r *Room) reread(ctx context.Context) error {
	row, err := r.hub.store.Session(ctx, r.row.ID)
	if err != nil {
		return err
	}
	r.row = row
	for _, conn := range r.conns {
		conn.end()
	}
	return nil
}

// Gap is a range of what was written under one replica id that is missing here.
type Gap struct {
	syncengine.Gap
	Person  string        // who held that phone last, "" while the room does not know
	Station event.Station // where it counts, 0 while the room does not know
}

// Gaps lists what phones of this session say was stored once and is missing
// now, in ascending order: what only phones that did not come back can have.
func (r *Room) Gaps(ctx context.Context) (gaps []Gap, err error) {
	err = r.ask(ctx, func() error {
		heard := make(syncengine.Vector, 0, len(r.heardOf))
		for _, ref := range r.heardOf {
			heard = append(heard, ref)
		}
		slices.SortFunc(heard, event.CompareRef)
		state := r.replica.State()
		for _, gap := range r.replica.Gaps(heard) {
			gaps = append(gaps, Gap{gap, state.Person(gap.Replica, math.MaxUint64), state.Station(gap.Replica)})
		}
		return nil
	})
	return gaps, err
}

// EndRefill has the room take again only what the enrolled may bring.
func (r *Room) EndRefill(ctx context.Context) error {
	return r.ask(ctx, func() error {
		if err := r.hub.store.EndRefill(context.WithoutCancel(ctx), r.row.ID); err != nil {
			return err
		}
		r.row.RefilledMs, r.row.OlderMs = 0, 0
		return nil
	})
}

// Reread has the room look again at what the store says of its session.
func (r *Room) Reread(ctx context.Context) error {
	return r.ask(ctx, func() error { return r.reread(context.WithoutCancel(ctx)) })
}

// ask has the room do work between two batches, and waits for it. It fails when
// the room ends before; what work returns ends the room.
func (r *Room) ask(ctx context.Context, work func() error) error {
	done := make(chan struct{})
	err := r.send(ctx, input{errand: func() error {
		err := work()
		if err == nil {
			close(done)
		}
		return err
	}})
	if err != nil {
		return err
	}
	select {
	case <-done:
		return nil
	case <-r.gone:
		return fault.New(fault.Unavailable, "stopping")
	case <-ctx.Done():
		return ctx.Err()
	}
}
