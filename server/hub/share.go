package hub

import (
	"context"
	"time"

	"rootledger/shared/event"
)

// shareEvery is how often a room looks whether a phone needs a larger share, at
// most; in practice, whose clock may run fast, ten times as often.
const shareEvery = time.Second

// share gives phones at the punch their parts of the attempts that are left. One
// server has a room, so only one hands out shares.
func (r *Room) share(ctx context.Context) error {
	every := shareEvery
	if _, practice := r.replica.State().Practice(); practice {
		every /= 10
	}
	if since := r.hub.clock().Sub(r.shared); since >= 0 && since < every {
		return nil
	}
	r.shared = r.hub.clock()
	now := r.now()
	var facts []event.Fact
	for _, grant := range r.replica.Grants(now, r.linksNow().Heard(now.WallMs)) {
		facts = append(facts, grant)
	}
	return r.write(ctx, facts...)
}
