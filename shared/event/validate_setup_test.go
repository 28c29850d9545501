package event_test

import (
	"testing"

	"rootledger/shared/event"
)

// setup is a good set-up of two steps, changed.
func setup(change func(*event.Setup)) *event.Setup {
	s := &event.Setup{Name: "A", DiameterUM: 900, WaitMs: 100, Motions: []event.Motion{event.Rotation, event.Oscillation},
		ArcsDeg: []uint32{0, 90}, RPM: []uint32{3000, 0}, Power: []uint32{0, 50}, StepsMs: []uint32{200, 250}}
	change(s)
	return s
}

// ofSteps is a set-up of n equal steps.
func ofSteps(n int) *event.Setup {
	return setup(func(s *event.Setup) {
		s.Motions, s.ArcsDeg, s.RPM, s.Power, s.StepsMs = nil, nil, nil, nil, nil
		for range n {
			s.Motions, s.ArcsDeg = append(s.Motions, event.Vibration), append(s.ArcsDeg, 0)
			s.RPM, s.Power, s.StepsMs = append(s.RPM, 0), append(s.Power, 100), append(s.StepsMs, 1)
		}
	})
}

func trialOf(n int, block uint32) *event.Trial {
	return &event.Trial{Pass: refTo(5), Setups: refsTo(n), Block: block}
}

var setupChecks = []check{
	{"two steps", setup(func(*event.Setup) {}), ""},
	{"one step", ofSteps(1), ""},
	{"eight steps", ofSteps(8), ""},
	{"no steps", ofSteps(0), "setup-steps"},
	{"nine steps", ofSteps(9), "setup-steps"},
	{"a step without its time", setup(func(s *event.Setup) { s.StepsMs = s.StepsMs[:1] }), "setup-uneven"},
	{"an arc too many", setup(func(s *event.Setup) { s.ArcsDeg = append(s.ArcsDeg, 9) }), "setup-uneven"},
	{"no speeds", setup(func(s *event.Setup) { s.RPM = nil }), "setup-uneven"},
	{"no powers", setup(func(s *event.Setup) { s.Power = nil }), "setup-uneven"},
	{"no wait", setup(func(s *event.Setup) { s.WaitMs = 0 }), ""},
	{"longest wait", setup(func(s *event.Setup) { s.WaitMs = 5_000 }), ""},
	{"absurd wait", setup(func(s *event.Setup) { s.WaitMs = 5_001 }), "setup-wait"},
	{"a step of 0 ms", setup(func(s *event.Setup) { s.StepsMs[1] = 0 }), "step-ms"},
	{"longest step", setup(func(s *event.Setup) { s.StepsMs[1] = 5_000 }), ""},
	{"absurd step", setup(func(s *event.Setup) { s.StepsMs[1] = absurd }), "step-ms"},
	{"no motion", setup(func(s *event.Setup) { s.Motions[0] = 0 }), "motion-unknown"},
	{"unknown motion", setup(func(s *event.Setup) { s.Motions[0] = 4 }), "motion-unknown"},
	{"more than a turn", setup(func(s *event.Setup) { s.ArcsDeg[1] = 540 }), ""},
	{"oscillates by nothing", setup(func(s *event.Setup) { s.ArcsDeg[1] = 0 }), "step-arc"},
	{"absurd arc", setup(func(s *event.Setup) { s.ArcsDeg[1] = 3_601 }), "step-arc"},
	{"rotation has no arc", setup(func(s *event.Setup) { s.ArcsDeg[0] = 90 }), "step-arc"},
	{"fastest", setup(func(s *event.Setup) { s.RPM[0] = 30_000 }), ""},
	{"absurd speed", setup(func(s *event.Setup) { s.RPM[0] = 30_001 }), "step-rpm"},
	{"vibration has no turns", setup(func(s *event.Setup) { s.Motions[0] = event.Vibration }), "step-rpm"},
	{"more than all power", setup(func(s *event.Setup) { s.Power[1] = 101 }), "step-power"},
	{"no name", setup(func(s *event.Setup) { s.Name = "" }), "text-length"},
	{"longest name, longest edge", setup(func(s *event.Setup) { s.Name, s.Edge = wide(24), wide(16) }), ""},
	{"long edge", setup(func(s *event.Setup) { s.Edge = ofLen(17) }), "text-length"},
	{"edge of two lines", setup(func(s *event.Setup) { s.Edge = "a\nb" }), "text-control"},
	{"no diameter", setup(func(s *event.Setup) { s.DiameterUM = 0 }), "number-range"},
	{"thin", setup(func(s *event.Setup) { s.DiameterUM = 199 }), "number-range"},
	{"widest", setup(func(s *event.Setup) { s.DiameterUM = 3_000 }), ""},
	{"wide", setup(func(s *event.Setup) { s.DiameterUM = 3_001 }), "number-range"},

	{"out of a trial", &event.SetupChosen{Pass: refTo(5), Setup: refTo(8)}, ""},
	{"the last turn", &event.SetupChosen{Pass: refTo(5), Setup: refTo(8), Trial: refTo(9), Turn: 5_000}, ""},
	{"one turn more", &event.SetupChosen{Pass: refTo(5), Setup: refTo(8), Trial: refTo(9), Turn: 5_001}, "turn-range"},
	{"no turn of a trial", &event.SetupChosen{Pass: refTo(5), Setup: refTo(8), Trial: refTo(9)}, "turn-range"},
	{"a turn of no trial", &event.SetupChosen{Pass: refTo(5), Setup: refTo(8), Turn: 1}, "turn-range"},
	{"no pass", &event.SetupChosen{Setup: refTo(8)}, "ref-needed"},
	{"no set-up", &event.SetupChosen{Pass: refTo(5)}, "ref-needed"},

	{"two arms", trialOf(2, 5), ""},
	{"four arms", trialOf(4, 100), ""},
	{"one arm", trialOf(1, 10), "trial-arms"},
	{"no arm", trialOf(0, 10), "trial-arms"},
	{"five arms", trialOf(5, 10), "trial-arms"},
	{"one arm twice", &event.Trial{Pass: refTo(5), Setups: []event.Ref{refTo(1), refTo(2), refTo(1)}, Block: 10}, "trial-twice"},
	{"of no pass", &event.Trial{Setups: refsTo(2), Block: 10}, "ref-needed"},
	{"short block", trialOf(2, 4), "trial-block"},
	{"long block", trialOf(2, 101), "trial-block"},

	{"with a note", &event.TrialConcluded{Trial: refTo(9), Note: wide(500)}, ""},
	{"without a note", &event.TrialConcluded{Trial: refTo(9)}, "text-length"},
	{"long note", &event.TrialConcluded{Trial: refTo(9), Note: ofLen(501)}, "text-length"},
	{"of no trial", &event.TrialConcluded{Note: "a"}, "ref-needed"},

	{"a trial without a set-up", &event.Attempt{Pass: refTo(5), Outcome: event.Intact, N: 1, Trial: refTo(9)}, "ref-needed"},
	{"to another set-up", &event.Refiled{Targets: refsTo(1), Sets: event.FiledSetup, Setup: refTo(8)}, ""},
	{"to no set-up", &event.Refiled{Targets: refsTo(1), Sets: event.FiledSetup}, ""},
	{"a set-up that it does not set", &event.Refiled{Targets: refsTo(1), Sets: event.FiledRegion, Setup: refTo(8)}, "refile-where"},
}

// Where an attempt goes when its pass or its set-up changes.
func TestRefileOfASetup(t *testing.T) {
	tap := &event.Attempt{Pass: refTo(5), Region: refTo(4), Outcome: event.Intact, N: 3, Setup: refTo(8), Trial: refTo(9)}
	tests := []struct {
		name         string
		refile       event.Refiled
		setup, trial event.Ref
	}{
		{"another pass", event.Refiled{Sets: event.FiledPass, Pass: refTo(6)}, refTo(8), event.Ref{}},
		{"the same pass", event.Refiled{Sets: event.FiledPass, Pass: refTo(5)}, refTo(8), refTo(9)},
		{"another set-up", event.Refiled{Sets: event.FiledSetup, Setup: refTo(7)}, refTo(7), refTo(9)},
		{"no set-up", event.Refiled{Sets: event.FiledSetup}, event.Ref{}, event.Ref{}},
		{"another region", event.Refiled{Sets: event.FiledRegion}, refTo(8), refTo(9)},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := test.refile.Refile(tap, 63).(*event.Attempt)
			same(t, "set-up", got.Setup, test.setup)
			same(t, "trial", got.Trial, test.trial)
			same(t, "what was written", tap.Trial, refTo(9))
		})
	}
	if (&event.Refiled{Sets: event.FiledSetup}).Fits(&event.Fired{}) {
		t.Error("a shot has no set-up")
	}
}
