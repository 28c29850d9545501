package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// leastShare is the smallest share that a phone is topped up to, in attempts: so
// few leave it no freedom, fewer would be a grant for every one of them.
const leastShare = 5

// evenly is how many attempts each phone is taken to have made before its own
// say how fast it is: the first ones share in equal parts.
const evenly = 30

// Grants are what a server gives the phones at the punch that are heard now: one
// that has half of its share or less is topped up to half of what is free times
// its part of the attempts of the last half hour (equal parts at first), at
// least leastShare, never beyond what is free. What it is past its share comes on top. Shares get smaller with what is
// left. The bounded counter with escrow: O'Neil PE, "The Escrow transactional
// method", ACM TODS 1986;11(4):405-430 (from memory); ours is soft, for no count
// is ever refused.
func (r *Replica) Grants(now Now, links session.Links) (grants []*event.Granted) {
	free, sharers := r.state.Shared(now.WallMs, links)
	if free <= 0 {
		return nil
	}
	all := evenly * int64(len(sharers))
	for _, one := range sharers {
		all += one.Recent
	}
	half := free / 2
	for _, one := range sharers {
		upTo := max(leastShare, half*(evenly+one.Recent)/all)
		unspent, past := max(0, one.Left), max(0, -one.Left)
		if n := min(upTo-unspent, free); n > 0 && 2*unspent <= upTo {
			grants = append(grants, &event.Granted{To: one.Replica, N: uint32(min(n+past, event.MaxFired))})
			free -= n
		}
	}
	return grants
}
