package session

import "rootledger/shared/event"

// Settle is one settlement that stands: what was changed by how much, why, and
// by whom. It may be undone, which opens its difference again.
type Settle struct {
	Ref    event.Ref      `json:"ref"`
	What   event.Identity `json:"what"`
	At     event.Ref      `json:"at"`     // the pass, zone or dish
	Region event.Ref      `json:"region"` // of shots in the air
	Size   event.Size     `json:"size"`
	Amount int64          `json:"amount"`
	Reason string         `json:"reason"`
	AtMs   int64          `json:"atMs"` // ms since 1970, the session's clock
	Person string         `json:"person"`
}

// maxSettles bounds the section: more than any day has, so that it is read.
const maxSettles = 50

// settleViews lists the settlements that stand, newest first, at most maxSettles.
func (s *State) settleViews() []Settle {
	out := []Settle{}
	for i := len(s.settles) - 1; i >= 0 && len(out) < maxSettles; i-- {
		e := s.settles[i]
		f := e.Fact.(*event.Settled)
		out = append(out, Settle{Ref: e.Ref(), What: f.What, At: f.At, Region: f.Region, Size: f.Size, Amount: f.Amount, Reason: f.Reason,
			AtMs: s.atMs(e), Person: s.team().Person(e.Replica, e.Stamp)})
	}
	return out
}
