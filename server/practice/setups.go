package practice

import (
	"context"
	"encoding/json"

	"rootledger/shared/event"
)

// Setups are made-up punch set-ups, one for each kind of motion and a mixed one.
// No device does these; they are for practice only.
func Setups() []*event.Setup {
	return []*event.Setup{
		{Name: "Slow turn", DiameterUM: 900, Edge: "sharp", WaitMs: 120,
			Motions: []event.Motion{event.Rotation}, ArcsDeg: []uint32{0}, RPM: []uint32{900}, Power: []uint32{60}, StepsMs: []uint32{430}},
		{Name: "Short sweep", DiameterUM: 850, Edge: "half-blunt", WaitMs: 80,
			Motions: []event.Motion{event.Oscillation, event.Oscillation}, ArcsDeg: []uint32{90, 240}, RPM: []uint32{0, 0},
			Power: []uint32{45, 80}, StepsMs: []uint32{160, 210}},
		{Name: "Tremble, then turn twice", DiameterUM: 950, Edge: "sharp", WaitMs: 100,
			Motions: []event.Motion{event.Vibration, event.Rotation, event.Oscillation}, ArcsDeg: []uint32{0, 0, 400}, RPM: []uint32{0, 1500, 0},
			Power: []uint32{30, 70, 50}, StepsMs: []uint32{140, 180, 160}},
	}
}

// SaveSetup saves a set-up on the server, as the office does.
func (a *API) SaveSetup(ctx context.Context, s *event.Setup) error {
	_, err := call[json.RawMessage](ctx, a, "/api/setups", s)
	return err
}
