package session

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/trial"
)

// MaxTrials is how many trials a session can have; Record holds it, what arrives
// beyond counts.
const MaxTrials = 8

// Trial is one trial of set-ups in turn, as far as it is. In the total order.
type Trial struct {
	Ref         event.Ref `json:"ref"`
	Pass        event.Ref `json:"pass"`
	Block       int64     `json:"block"` // attempts of one turn
	Seed        int64     `json:"seed"`  // what the order of turns was drawn from
	BegunMs     int64     `json:"begunMs"`
	Arms        []Arm     `json:"arms"`
	Turn        int64     `json:"turn"`        // which turn is on in its pass, 0 for none: another set-up is on, or none
	On          int64     `json:"on"`          // which of Arms that is, from 0; -1 for none
	Left        int64     `json:"left"`        // attempts till this turn is full, never below 0; more may be counted
	NextTurn    int64     `json:"nextTurn"`    // the turn that a choice begins next
	Next        int64     `json:"next"`        // which of Arms is drawn for it
	Concluded   bool      `json:"concluded"`   // no further turn begins
	ConcludedMs int64     `json:"concludedMs"` // 0 while it goes on
	Note        string    `json:"note"`        // what was made of it
}

// Arm is one of the set-ups of a trial, in the order of the trial.
type Arm struct {
	Setup    event.Ref `json:"setup"`
	Attempts int64     `json:"attempts"` // with an outcome, in this trial
}

// trials is what is kept of the trials, and their section as drawn last.
type trials struct {
	tally trial.Tally
	drawn []Trial
	stale bool
}

// route hands the trials what speaks to them.
func (t *trials) route(e *event.Event, sign int64) {
	t.tally.Add(e, sign)
	t.stale = true
}

// trialViews is the section about trials.
func (s *State) trialViews() []Trial {
	t := &s.trials
	if !t.stale && t.drawn != nil {
		return t.drawn
	}
	t.stale = false
	t.drawn = []Trial{}
	for _, e := range t.tally.Trials() {
		if one := t.tally.Find(e.Ref()); one.Standing {
			t.drawn = append(t.drawn, s.trialView(e, one))
		}
	}
	return t.drawn
}

func (s *State) trialView(e *event.Event, t *trial.Trial) Trial {
	v := Trial{Ref: e.Ref(), Pass: t.Begun.Pass, Block: int64(t.Begun.Block), Seed: int64(t.Begun.Seed), BegunMs: s.atMs(e),
		Arms: make([]Arm, t.Arms()), NextTurn: t.Next()}
	for i, setup := range t.Begun.Setups {
		v.Arms[i] = Arm{setup, t.Attempts(int64(i))}
	}
	v.Next = t.Drawn(v.NextTurn)
	if v.Turn, v.On = s.onIn(v.Ref, t); v.On >= 0 {
		v.Left = t.Left(v.On, v.Turn)
	}
	if e := t.Concluded(); e != nil {
		v.Concluded, v.ConcludedMs, v.Note = true, s.atMs(e), e.Fact.(*event.TrialConcluded).Note
	}
	return v
}

// onIn is which turn of a trial is on in its pass, and which arm that is: 0 and
// -1 for none.
func (s *State) onIn(ref event.Ref, t *trial.Trial) (turn, arm int64) {
	if e := s.punches.setups.Chosen(t.Begun.Pass); e != nil {
		if f := e.Fact.(*event.SetupChosen); f.Trial == ref {
			return int64(f.Turn), t.Arm(f.Setup)
		}
	}
	return 0, -1
}

// checkTrial refuses a trial that is one more than there can be, or beside an
// open one of its pass; one of a pass that is ended; one of a set-up that is no
// longer offered; and one of a pass by exception, where intact grafts are not
// tapped, so that no set-up has its share of them.
func (s *State) checkTrial(f *event.Trial) error {
	if s.attempts.Mode(f.Pass) == event.ByException {
		return fault.New(fault.Invalid, "trial-exception")
	}
	for _, p := range s.attempts.Passes() {
		if p.Ref == f.Pass && p.Ended {
			return fault.New(fault.Conflict, "trial-ended")
		}
	}
	for _, setup := range f.Setups {
		if err := s.checkOffered(setup); err != nil {
			return err
		}
	}
	standing := 0
	for _, e := range s.trials.tally.Trials() {
		switch t := s.trials.tally.Find(e.Ref()); {
		case !t.Standing:
			continue
		case t.Begun.Pass == f.Pass && t.Concluded() == nil:
			return fault.New(fault.Conflict, "trial-open")
		}
		standing++
	}
	if standing >= MaxTrials {
		return fault.New(fault.TooMuch, "too-many").With("field", "trials").WithInt("max", MaxTrials)
	}
	return nil
}

// checkOffered refuses a set-up that is undone or replaced.
func (s *State) checkOffered(setup event.Ref) error {
	if one := s.punches.setups.Find(setup); one != nil && !one.Offered() {
		return fault.New(fault.Conflict, "setup-offered")
	}
	return nil
}

// checkChosen refuses a set-up that is no longer offered, a turn of a trial that
// is over or of another pass, and a set-up that was not drawn for it.
func (s *State) checkChosen(f *event.SetupChosen) error {
	if err := s.checkOffered(f.Setup); err != nil {
		return err
	}
	if f.Trial.IsZero() {
		return nil
	}
	t := s.trials.tally.Find(f.Trial)
	switch {
	case !t.Standing || t.Concluded() != nil:
		return fault.New(fault.Conflict, "trial-over")
	case t.Begun.Pass != f.Pass || t.Arm(f.Setup) != t.Drawn(int64(f.Turn)):
		return fault.New(fault.Invalid, "turn-drawn").WithInt("turn", int64(f.Turn))
	}
	return nil
}

// checkConcluded refuses to conclude a trial twice.
func (s *State) checkConcluded(f *event.TrialConcluded) error {
	if t := s.trials.tally.Find(f.Trial); !t.Standing || t.Concluded() != nil {
		return fault.New(fault.Conflict, "trial-over")
	}
	return nil
}
