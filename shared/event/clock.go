package event

// ClockNote says what the server's clock read at one moment of a phone's worker
// start, because the phone's own wall clock was off. A server writes it. Times
// in ms: RoomMs since 1970 by the server, SinceMs since that start began, and
// the phone's wall clock AheadMs of the server's, below zero behind it.
type ClockNote struct {
	Replica ReplicaID `json:"replica"`
	Start   StartID   `json:"start"`
	SinceMs uint64    `json:"sinceMs"`
	RoomMs  uint64    `json:"roomMs"`
	AheadMs int64     `json:"aheadMs"`
}

// Kind is KindClockNote.
func (*ClockNote) Kind() Kind { return KindClockNote }

func (c *ClockNote) fields(f *fields) {
	fixed(f, 1, c.Replica[:])
	fixed(f, 2, c.Start[:])
	number(f, 3, &c.SinceMs)
	number(f, 4, &c.RoomMs)
	signed(f, 5, &c.AheadMs)
}

// Validate needs a replica and a start, and times that a stamp could hold.
func (c *ClockNote) Validate() error {
	if c.Replica == (ReplicaID{}) || c.Start == (StartID{}) || max(c.SinceMs, c.RoomMs) > MaxMs ||
		c.AheadMs > MaxMs || c.AheadMs < -MaxMs {
		return invalid("clock-note")
	}
	return nil
}
