package practice

import (
	"context"
	"encoding/json"

	"rootledger/shared/event"
	"rootledger/shared/trial"
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

const (
	trialName = "trial"
	block     = 20 // attempts in a turn of it
	arms      = 2
)

// tried is which set-up is on in a pass: in the first one two take turns, in the
// second one the third is on, and where what is intact is not tapped there is none.
type tried struct {
	day          *Day
	pass, phone  string
	setup, trial string // names, "" for none
}

// try begins what is tried in a pass.
func (d *Day) try(pass, phone string, mode event.Mode, from int) *tried {
	names, t := Setups(), &tried{day: d, pass: pass, phone: phone}
	switch mode {
	case event.Each:
		t.trial = trialName
		d.Actions = append(d.Actions, Action{AtMs: from + minute/2, Phone: phone, Also: Remembered, Fact: func(n Names) event.Fact {
			return &event.Trial{Pass: n[pass], Setups: []event.Ref{n[names[0].Name], n[names[1].Name]}, Block: block, Seed: uint32(d.Grafts)}
		}})
	case event.Pulled:
		t.setup = names[2].Name
		d.do(from+minute/2, phone, func(n Names) event.Fact { return &event.SetupChosen{Pass: n[pass], Setup: n[t.setup]} })
	}
	return t
}

// on is the set-up with which the i-th attempt of the pass is made, from 0. In a
// trial the first of each block begins the turn that was drawn.
func (t *tried) on(i, at int) (setup string) {
	if t.trial == "" {
		return t.setup
	}
	turn := i/block + 1
	setup = Setups()[trial.Draw(uint32(t.day.Grafts), arms, int64(turn))].Name
	if i%block == 0 {
		t.day.do(at, t.phone, func(n Names) event.Fact {
			return &event.SetupChosen{Pass: n[t.pass], Setup: n[setup], Trial: n[t.trial], Turn: uint32(turn)}
		})
	}
	return setup
}
