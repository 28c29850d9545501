package session

import (
	"rootledger/shared/budget"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/share"
)

// hold says what phones that are away may have taken, and what is shared out.
func (h *Headline) hold(f *fold, phones []Phone) {
	for i := range phones {
		p := &phones[i]
		if p.Left || !f.counts(p.Station) {
			continue
		}
		h.SharedOut += p.unspent()
		if p.Away {
			h.Away++
			h.Held += p.unspent()
		}
	}
	if h.Stops == budget.StopsUnknown {
		return
	}
	h.StopFrom, h.AtRisk = max(0, h.StopAt-h.Held), max(0, h.Held-h.StopAt)
}

// unspent is what a phone may still take alone; nothing away from the punch, nor
// after it left.
func (p *Phone) unspent() int64 {
	if p.Left || p.Station != event.Extraction {
		return 0
	}
	return max(0, p.ShareLeft)
}

// Share is what a replica was given of the attempts left, and took of it.
func (s *State) Share(id event.ReplicaID) share.Share { return s.shares.Of(id) }

// Sharer is a phone at the punch that may be given a share.
type Sharer struct {
	Replica event.ReplicaID
	Left    int64 // attempts that it may still take alone, below zero past its share
	Recent  int64 // attempts that it took in the last half hour
}

// Shared is what there is to share out at nowMs, the session's clock: attempts
// until the room stops, less what phones may still take alone, below zero when
// more is out than may be taken. Without a plan, and after the end, there is
// nothing. Sharers are the phones at the punch that are heard, in order.
func (s *State) Shared(nowMs int64, links Links) (free int64, sharers []Sharer) {
	f := s.fold()
	if f.figures.Stops == budget.StopsUnknown || s.Ended() {
		return 0, nil
	}
	free = f.figures.StopAt
	for _, p := range s.phoneViews(nowMs, links) {
		free -= p.unspent()
		if p.Station == event.Extraction && !p.Away && !p.Left {
			sharers = append(sharers, Sharer{p.Replica, p.ShareLeft, s.shares.Recent(p.Replica, nowMs)})
		}
	}
	return free, sharers
}

// checkReclaimed refuses to take back more than a phone has left.
func (s *State) checkReclaimed(f *event.Reclaimed) error {
	if left := s.shares.Of(f.From).Unspent(); int64(f.N) > left {
		return fault.New(fault.Conflict, "reclaim-more").WithInt("left", left)
	}
	return nil
}
