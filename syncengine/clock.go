package syncengine

import "rootledger/shared/event"

// Now is one reading of the host's clocks.
type Now struct {
	WallMs  int64  // ms since 1970 by the session's clock
	SinceMs uint64 // ms since this worker started, never going back
}

// clock is a hybrid logical clock (Kulkarni S et al., OPODIS 2014, LNCS 8878):
// stamps go on growing whatever the wall clock does.
type clock struct{ last event.Stamp }

// tick is a stamp for a new event, greater than all before it.
func (c *clock) tick(wallMs int64) event.Stamp {
	next := event.StampAt(wallMs)
	if next <= c.last && c.last < ^event.Stamp(0) {
		next = c.last + 1
	}
	c.last = max(c.last, next)
	return c.last
}

// adopt learns a remote stamp, unless it lies more than a minute ahead: one
// wrong clock must not pull the others along.
func (c *clock) adopt(remote event.Stamp, wallMs int64) {
	if remote > c.last && remote.Ms() <= wallMs+maxSkewMs {
		c.last = remote
	}
}
