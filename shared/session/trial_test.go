package session

import (
	"reflect"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/quality"
)

func aSetup(name string) *event.Setup {
	return &event.Setup{Name: name, DiameterUM: 900, WaitMs: 150, Motions: []event.Motion{event.Rotation, event.Oscillation},
		ArcsDeg: []uint32{0, 120}, RPM: []uint32{3000, 0}, Power: []uint32{0, 0}, StepsMs: []uint32{200, 200}}
}

// tries makes two set-ups and tries them: seed 7 draws the second, then the first.
func (s *stage) tries() (trial event.Ref, arms [2]event.Ref) {
	arms = [2]event.Ref{s.says(puncher, aSetup("A")), s.says(lead, aSetup("B"))}
	trial = s.says(lead, &event.Trial{Pass: s.pass, Setups: arms[:], Block: 10, Seed: 7})
	s.turn(trial, arms[1], 1)
	s.with(trial, arms[1], event.Intact, 7)
	s.with(trial, arms[1], event.Partial, 2)
	s.with(trial, arms[1], event.Total, 3)
	s.turn(trial, arms[0], 2)
	s.with(trial, arms[0], event.Intact, 5)
	s.with(trial, arms[0], event.Total, 1)
	return trial, arms
}

func (s *stage) turn(trial, setup event.Ref, turn uint32) event.Ref {
	return s.says(puncher, &event.SetupChosen{Pass: s.pass, Setup: setup, Trial: trial, Turn: turn})
}

func (s *stage) with(trial, setup event.Ref, outcome event.Outcome, n uint32) event.Ref {
	return s.says(puncher, &event.Attempt{Pass: s.pass, Outcome: outcome, N: n, Setup: setup, Trial: trial})
}

func attemptsOf(c Comparison) (n int64) {
	for _, row := range c.Rows {
		n += row.Attempts
	}
	return n
}

func (s *stage) view() View { return s.state.View(replicaOf(lead), s.ms, nil) }

func TestTrialView(t *testing.T) {
	s := newStage(t, event.Each)
	trial, arms := s.tries()
	v := s.view()
	want := Trial{Ref: trial, Pass: s.pass, Block: 10, Seed: 7, BegunMs: v.Trials[0].BegunMs, Arms: []Arm{{arms[0], 6}, {arms[1], 12}},
		Turn: 2, On: 0, Left: 4, NextTurn: 3, Next: 1}
	if got := v.Trials; len(got) != 1 || !reflect.DeepEqual(got[0], want) {
		t.Errorf("trials: got %+v\nwant %+v", got, want)
	}
	if got := v.Chosen; len(got) != 1 || got[0].Setup != arms[0] || got[0].Turn != 2 || got[0].Trial != trial || got[0].Pass != s.pass {
		t.Errorf("chosen: got %+v", got)
	}
	if got := v.Setups; len(got) != 2 || got[0].Name != "A" || !got[0].Offered || got[0].Derived.CycleMs != 550 || !got[0].Derived.Common {
		t.Errorf("set-ups: got %+v", got)
	}
	if got := v.Ledger.OutcomesTotal; got != 18 {
		t.Errorf("outcomes: got %d, want 18: each counts once", got)
	}
	s.turn(trial, arms[1], 3)
	if got := s.view().Trials[0]; got.Turn != 3 || got.On != 1 || got.Left != 8 { // 12 in a first block of 10
		t.Errorf("third turn: got %+v", got)
	}
}

// Sections that no event touched are the same lists, and those that one did
// touch are new ones: the bridge tells them apart by that.
func TestSectionsAreKept(t *testing.T) {
	s := newStage(t, event.Each)
	trial, arms := s.tries()
	was := s.view()
	s.taps(event.Intact, 1)
	is := s.view()
	if &was.Setups[0] != &is.Setups[0] || &was.Chosen[0] != &is.Chosen[0] || &was.Trials[0] != &is.Trials[0] {
		t.Error("a plain tap made sections anew")
	}
	s.with(trial, arms[0], event.Intact, 1)
	is = s.view()
	if &was.Setups[0] != &is.Setups[0] || &was.Chosen[0] != &is.Chosen[0] || &was.Trials[0] == &is.Trials[0] {
		t.Error("a tap of a trial makes its section anew, and no other")
	}
	if was.Trials[0].Arms[0].Attempts != 6 || is.Trials[0].Arms[0].Attempts != 7 {
		t.Errorf("got %d, then %d", was.Trials[0].Arms[0].Attempts, is.Trials[0].Arms[0].Attempts)
	}
	s.says(puncher, aSetup("C"))
	if got := s.view().Setups; len(got) != 3 || len(was.Setups) != 2 {
		t.Errorf("got %d set-ups, before %d", len(got), len(was.Setups))
	}
}

func TestCompare(t *testing.T) {
	s := newStage(t, event.Each)
	trial, arms := s.tries()
	s.says(puncher, &event.Attempt{Pass: s.pass, Outcome: event.Empty, N: 4, Setup: arms[0]}) // of no trial
	got := s.state.Compare(trial, false)
	want := SetupResult{Setup: arms[1], Name: "B", Attempts: 12, Outcomes: [event.Outcomes]int64{7, 2, 3},
		NotWhole: quality.Rate{N: 5, Of: 12, Known: true, Parts: 4167, Low: 1933, High: 6805}, GTR: quality.Rate{N: 3, Of: 12, Known: true, Parts: 2500, Low: 889, High: 5323}, PTR: quality.Rate{N: 2, Of: 12, Known: true, Parts: 1667, Low: 470, High: 4480}}
	if len(got.Rows) != 2 || got.Rows[1] != want {
		t.Errorf("rows: got %+v\nwant %+v", got.Rows, want)
	}
	// 5 of 12 against 1 of 6; bounds by Newcombe's method 10, computed apart.
	if one := (Against{Setup: arms[1], Known: true, Diff: 2500, Low: -2054, High: 5471}); len(got.Against) != 1 || got.Against[0] != one {
		t.Errorf("against: got %+v\nwant %+v", got.Against, one)
	}
	full := s.state.Compare(trial, true).Against[0]
	if want := (Against{Setup: arms[1], Known: true, Diff: 2500, Low: -2054, High: 5471, Full: true, FisherP: 6000, Worse: 8229, MoreKnown: true, More: 60}); full != want {
		t.Errorf("in full: got %+v\nwant %+v", full, want)
	}
	all := s.state.Compare(event.Ref{}, true)
	if len(all.Rows) != 2 || all.Rows[0].Attempts != 10 || len(all.Against) != 0 || !all.Trial.IsZero() {
		t.Errorf("all set-ups: got %+v", all)
	}
}

func TestCompareNothing(t *testing.T) {
	s := newStage(t, event.Each)
	if got := s.state.Compare(event.Ref{}, true); len(got.Rows) != 0 || got.Rows == nil || got.Against == nil {
		t.Errorf("no set-ups: got %+v", got)
	}
	arms := []event.Ref{s.says(lead, aSetup("A")), s.says(lead, aSetup("B"))}
	trial := s.says(lead, &event.Trial{Pass: s.pass, Setups: arms, Block: 10})
	if got := s.state.Compare(trial, true); got.Against[0].Known || got.Against[0].MoreKnown || got.Rows[0].NotWhole.Known {
		t.Errorf("nothing tried: got %+v", got)
	}
}

// A slip: forty taps with the wrong set-up chosen go to the right one, and an
// attempt that goes to another pass leaves its trial.
func TestTapsMoveToAnotherSetup(t *testing.T) {
	s := newStage(t, event.Each)
	trial, arms := s.tries()
	wrong := s.with(trial, arms[0], event.Intact, 40)
	refile := &event.Refiled{Targets: []event.Ref{wrong}, Sets: event.FiledSetup, Setup: arms[1]}
	if err := s.state.Check(replicaOf(puncher), refile); err != nil {
		t.Fatal(err)
	}
	s.says(puncher, refile)
	if got := s.view().Trials[0].Arms; got[0].Attempts != 6 || got[1].Attempts != 52 {
		t.Errorf("moved: got %+v", got)
	}
	if got := s.state.LastEntries(replicaOf(puncher), 2); got[0].Setup != arms[1] || got[1].Setup != arms[0] {
		t.Errorf("the list says with what: got %+v", got)
	}
	other := s.says(puncher, &event.PassBegun{Mode: event.Each})
	s.says(puncher, &event.Refiled{Targets: []event.Ref{wrong}, Sets: event.FiledPass, Pass: other})
	if got := s.view().Trials[0].Arms; got[0].Attempts != 6 || got[1].Attempts != 12 {
		t.Errorf("in another pass: got %+v", got)
	}
	if got := s.state.Compare(event.Ref{}, false).Rows[1].Attempts; got != 52 {
		t.Errorf("the set-up keeps what was counted with it: got %d", got)
	}
	s.says(puncher, &event.Void{Target: wrong})
	if got := s.state.Compare(event.Ref{}, false).Rows[1].Attempts; got != 12 {
		t.Errorf("undone: got %d", got)
	}
	opening := s.says(puncher, &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Outcome: event.Total, N: 9})
	refile.Targets = []event.Ref{opening}
	if err := s.state.Check(replicaOf(puncher), refile); !fault.Is(err, "refile-unfit") {
		t.Errorf("an opening count: got %v", err)
	}
}

func TestConcluded(t *testing.T) {
	s := newStage(t, event.Each)
	trial, arms := s.tries()
	end := s.says(lead, &event.TrialConcluded{Trial: trial, Note: "too few to tell"})
	v := s.view().Trials[0]
	if !v.Concluded || v.Note != "too few to tell" || v.ConcludedMs == 0 {
		t.Errorf("got %+v", v)
	}
	s.with(trial, arms[0], event.Intact, 3) // late
	if got := s.view().Trials[0].Arms[0].Attempts; got != 9 {
		t.Errorf("a late attempt: got %d, want 9", got)
	}
	s.says(lead, &event.Void{Target: end})
	if s.view().Trials[0].Concluded {
		t.Error("concluded after that was undone")
	}
	s.says(lead, &event.Void{Target: trial})
	if got := s.view(); len(got.Trials) != 0 || len(got.Setups) != 2 {
		t.Errorf("an undone trial is not shown: got %+v", got.Trials)
	}
}

func TestSetupsByException(t *testing.T) {
	s := newStage(t, event.ByException)
	setup := s.says(puncher, aSetup("A"))
	s.says(puncher, &event.SetupChosen{Pass: s.pass, Setup: setup})
	s.fires(20)
	s.with(event.Ref{}, setup, event.Total, 2)
	if got := s.state.Compare(event.Ref{}, false); len(got.Rows) != 0 {
		t.Errorf("only what is not intact would count: got %+v", got.Rows)
	}
	if got := s.view(); got.Ledger.Attempts.Outcomes[event.Total-1] != 2 || len(got.Chosen) != 1 {
		t.Errorf("it counts to the pass: got %+v", got.Ledger.Attempts)
	}
}

func TestReplacedSetup(t *testing.T) {
	s := newStage(t, event.Each)
	old := s.says(puncher, aSetup("A"))
	second := aSetup("A, shorter")
	second.Replaces = old
	anew := s.says(puncher, second)
	if got := s.view().Setups; got[0].Offered || !got[1].Offered || got[1].Replaces != old {
		t.Errorf("replaced: got %+v", got)
	}
	s.says(puncher, &event.Void{Target: anew})
	if got := s.view().Setups; !got[0].Offered || got[1].Offered {
		t.Errorf("the new one undone: got %+v", got)
	}
}

func TestDraftSetup(t *testing.T) {
	draft, err := DraftSetup(aSetup("A"))
	if err != nil || draft.Derived.CycleMs != 550 || draft.Name != "A" || !draft.Offered {
		t.Errorf("got %+v, %v", draft, err)
	}
	bad := aSetup("A")
	bad.StepsMs[1] = 0
	if _, err := DraftSetup(bad); !fault.Is(err, "step-ms") {
		t.Errorf("a step of 0 ms: got %v", err)
	}
}

func TestChecksOfTrials(t *testing.T) {
	s := newStage(t, event.Each)
	trial, arms := s.tries()
	other, exception := s.says(puncher, &event.PassBegun{Mode: event.Pulled}), s.says(puncher, &event.PassBegun{Mode: event.ByException})
	ended := s.says(lead, &event.Trial{Pass: other, Setups: arms[:], Block: 10})
	s.says(lead, &event.TrialConcluded{Trial: ended, Note: "a"})
	undone := s.says(lead, &event.Trial{Pass: other, Setups: arms[:], Block: 10})
	s.says(lead, &event.Void{Target: undone})
	nowhere := event.Ref{Replica: event.ReplicaID{9}, Seq: 9}
	chosen := func(pass, setup, trial event.Ref, turn uint32) *event.SetupChosen {
		return &event.SetupChosen{Pass: pass, Setup: setup, Trial: trial, Turn: turn}
	}
	tests := []struct {
		name string
		by   byte
		fact event.Fact
		want fault.Code
	}{
		{"a set-up by who extracts", puncher, aSetup("C"), ""},
		{"a set-up by the lead", lead, aSetup("C"), ""},
		{"a set-up by who sorts", sorter, aSetup("C"), "setup-station"},
		{"a choice by who sorts", sorter, chosen(s.pass, arms[0], event.Ref{}, 0), "setup-station"},
		{"a trial by who places", placer, &event.Trial{Pass: other, Setups: arms[:], Block: 10}, "setup-station"},
		{"the next turn", puncher, chosen(s.pass, arms[1], trial, 3), ""},
		{"not as drawn", puncher, chosen(s.pass, arms[0], trial, 3), "turn-drawn"},
		{"a turn in another pass", puncher, chosen(other, arms[1], trial, 3), "turn-drawn"},
		{"out of the trial", puncher, chosen(s.pass, arms[0], event.Ref{}, 0), ""},
		{"a turn of a concluded trial", puncher, chosen(other, arms[0], ended, 1), "trial-over"},
		{"a turn of an undone trial", puncher, chosen(other, arms[0], undone, 1), "trial-over"},
		{"a set-up that is not here", puncher, chosen(s.pass, nowhere, event.Ref{}, 0), "setup-missing"},
		{"a trial that is not here", puncher, chosen(s.pass, arms[0], nowhere, 1), "trial-missing"},
		{"a trial beside another", lead, &event.Trial{Pass: s.pass, Setups: arms[:], Block: 10}, "trial-open"},
		{"a trial after another", lead, &event.Trial{Pass: other, Setups: arms[:], Block: 10}, ""},
		{"a trial by exception", lead, &event.Trial{Pass: exception, Setups: arms[:], Block: 10}, "trial-exception"},
		{"a conclusion by the lead", lead, &event.TrialConcluded{Trial: trial, Note: "a"}, ""},
		{"a conclusion by who extracts", puncher, &event.TrialConcluded{Trial: trial, Note: "a"}, "conclude-lead"},
		{"a second conclusion", lead, &event.TrialConcluded{Trial: ended, Note: "a"}, "trial-over"},
		{"a tap with a set-up that is not here", puncher, &event.Attempt{Pass: s.pass, Outcome: event.Intact, N: 1, Setup: nowhere}, "setup-missing"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			err := s.state.Check(replicaOf(test.by), test.fact)
			if test.want == "" && err != nil || test.want != "" && !fault.Is(err, test.want) {
				t.Errorf("got %v, want %q", err, test.want)
			}
		})
	}
	s.says(sorter, aSetup("D")) // kept, and counts as nothing
	if got := s.view(); len(got.Setups) != 2 || got.Session.Waiting != 1 {
		t.Errorf("got %d set-ups, %d waiting", len(got.Setups), got.Session.Waiting)
	}
}

func TestTooManySetups(t *testing.T) {
	s := newStage(t, event.Each)
	for range MaxSetups {
		s.says(puncher, aSetup("A"))
	}
	if err := s.state.Check(replicaOf(puncher), aSetup("A")); !fault.Is(err, "too-many") {
		t.Errorf("got %v", err)
	}
	arms := []event.Ref{s.view().Setups[0].Ref, s.view().Setups[1].Ref}
	for range MaxTrials {
		trial := s.says(lead, &event.Trial{Pass: s.pass, Setups: arms, Block: 5})
		s.says(lead, &event.TrialConcluded{Trial: trial, Note: "a"})
	}
	if err := s.state.Check(replicaOf(lead), &event.Trial{Pass: s.pass, Setups: arms, Block: 5}); !fault.Is(err, "too-many") {
		t.Errorf("got %v", err)
	}
}

// What was undone or replaced is not put on, in a trial or out of it, and no
// trial of it begins; its name stays for those that tried it.
func TestSetupsThatAreNotOffered(t *testing.T) {
	s := newStage(t, event.Each)
	a, b, c := s.says(lead, aSetup("A")), s.says(lead, aSetup("B")), s.says(lead, aSetup("C"))
	trial := s.says(lead, &event.Trial{Pass: s.pass, Setups: []event.Ref{a, b}, Block: 10, Seed: 7})
	other := s.says(puncher, &event.PassBegun{Mode: event.Each})
	renewed := aSetup("B, longer")
	renewed.Replaces = b
	s.says(lead, renewed)
	s.says(lead, &event.Void{Target: c})
	tests := []struct {
		name string
		fact event.Fact
		want fault.Code
	}{
		{"a turn of the replaced arm", &event.SetupChosen{Pass: s.pass, Setup: b, Trial: trial, Turn: 1}, "setup-offered"},
		{"the replaced one, out of a trial", &event.SetupChosen{Pass: s.pass, Setup: b}, "setup-offered"},
		{"the undone one", &event.SetupChosen{Pass: s.pass, Setup: c}, "setup-offered"},
		{"the one that stands", &event.SetupChosen{Pass: s.pass, Setup: a}, ""},
		{"a trial of the replaced one", &event.Trial{Pass: other, Setups: []event.Ref{a, b}, Block: 10}, "setup-offered"},
		{"a trial of the undone one", &event.Trial{Pass: other, Setups: []event.Ref{c, a}, Block: 10}, "setup-offered"},
		{"concluding", &event.TrialConcluded{Trial: trial, Note: "replaced"}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := s.state.Check(replicaOf(lead), tt.fact); tt.want == "" && err != nil || tt.want != "" && !fault.Is(err, tt.want) {
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
	if got := s.view().Setups; len(got) != 4 || got[1].Name != "B" || got[1].Offered {
		t.Errorf("set-ups: got %+v", got)
	}
	s.says(puncher, &event.PassEnded{Pass: other})
	if err := s.state.Check(replicaOf(lead), &event.Trial{Pass: other, Setups: []event.Ref{a, renewedIn(s)}, Block: 10}); !fault.Is(err, "trial-ended") {
		t.Errorf("in an ended pass: got %v", err)
	}
}

func renewedIn(s *stage) event.Ref { return s.view().Setups[3].Ref }

// When a set-up was put on and a trial begun is told by the room's clock, anew
// after a note about the phone.
func TestTrialTimesAreTheRooms(t *testing.T) {
	const off = 2 * 3_600_000
	s := newStage(t, event.Each)
	arms := []event.Ref{s.says(lead, aSetup("A")), s.says(lead, aSetup("B"))}
	behind := func(fact event.Fact) event.Ref { // a clock two hours behind
		e := s.event(puncher, fact)
		e.Start, e.SinceMs, e.WallMs, e.Body = event.StartID{7}, uint64(s.ms-startMs), s.ms-off, nil
		e.Stamp = event.StampAt(s.ms - off)
		if err := e.Seal(); err != nil {
			t.Fatal(err)
		}
		s.heads[puncher] = e.Hash
		if err := s.state.Apply(e); err != nil {
			t.Fatal(err)
		}
		return e.Ref()
	}
	trial := behind(&event.Trial{Pass: s.pass, Setups: arms, Block: 10, Seed: 7})
	begun := s.ms
	behind(&event.SetupChosen{Pass: s.pass, Setup: arms[1], Trial: trial, Turn: 1})
	on := s.ms
	if v := s.view(); v.Trials[0].BegunMs != begun-off || v.Chosen[0].SinceMs != on-off {
		t.Fatalf("before the note: got %d and %d", v.Trials[0].BegunMs, v.Chosen[0].SinceMs)
	}
	s.says(lead, &event.ClockNote{Replica: replicaOf(puncher), Start: event.StartID{7}, SinceMs: uint64(begun - startMs), RoomMs: uint64(begun), AheadMs: -off})
	if v := s.view(); v.Trials[0].BegunMs != begun || v.Chosen[0].SinceMs != on {
		t.Errorf("after the note: got %d and %d, want %d and %d", v.Trials[0].BegunMs, v.Chosen[0].SinceMs, begun, on)
	}
}
