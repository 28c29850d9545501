package hub

import (
	"context"
	"slices"

	"rootledger/shared/event"
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
	older := r.row.RefilledMs == 0 && hello.Epoch != [16]byte{} && len(r.replica.Gaps(hello.Heard)) > 0
	return r.renewIfOld(ctx, older)
}

// renewIfOld gives the server a new epoch and replica id when it turns out that
// it told more than it has, or that its own history goes on elsewhere. From then
// on phones may bring back what anyone wrote.
func (r *Room) renewIfOld(ctx context.Context, older bool) error {
	renewed := r.replica.Me().Replica != r.hub.store.Server().Replica // by another room
	if !older && !r.replica.Cloned() && !renewed {
		return nil
	}
	ctx = context.WithoutCancel(ctx)
	if !renewed {
		r.hub.log.Warn("this database is older than what it told; phones refill it", "session", r.row.ID.String())
		if err := r.hub.store.Renew(ctx, r.hub.clock().UnixMilli()); err != nil {
			return err
		}
	}
	row, err := r.hub.store.Session(ctx, r.row.ID)
	if err != nil {
		return err
	}
	r.row = row
	r.replica.GoOnAs(r.identity())
	return nil
}

// Gaps lists what phones of this session say was stored once and is missing
// now, in ascending order: what only phones that did not come back can have.
func (r *Room) Gaps(ctx context.Context) ([]syncengine.Gap, error) {
	out := make(chan []syncengine.Gap, 1)
	err := r.send(ctx, input{errand: func() error {
		heard := make(syncengine.Vector, 0, len(r.heardOf))
		for _, ref := range r.heardOf {
			heard = append(heard, ref)
		}
		slices.SortFunc(heard, event.CompareRef)
		out <- r.replica.Gaps(heard)
		return nil
	}})
	if err != nil {
		return nil, err
	}
	select {
	case gaps := <-out:
		return gaps, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}
