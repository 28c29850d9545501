package session

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// daysApartMs is how far the planned start of placing may lie from the opening: a
// case is done within a day or two.
const daysApartMs = 2 * 24 * 3_600_000

// checkKeeping refuses a planned start of placing that is not of this session.
func (s *State) checkKeeping(f *event.Keeping) error {
	o := s.opening()
	if o == nil || f.PlacingMs == 0 {
		return nil
	}
	if apart := f.PlacingMs - s.atMs(o); apart < -daysApartMs || apart > daysApartMs {
		return fault.New(fault.Invalid, "keeping-start")
	}
	return nil
}
