package trial

import (
	"slices"

	"rootledger/shared/event"
)

// Tally is the trials of one session.
type Tally struct {
	trials map[event.Ref]*Trial
	order  []*event.Event // in the total order
}

// Trial is one trial: what its arms gave, and how far it is.
type Trial struct {
	Begun    *event.Trial
	Standing bool // nobody undid it
	arms     [event.MaxArms][event.Outcomes]int64
	turns    []*event.Event // choices that stand, in the total order
	ends     []*event.Event // conclusions that stand, in the total order
}

// Add takes one event in (sign 1) or out again (sign -1). It knows trials, their
// turns and conclusions, and attempts that name one. An attempt with a set-up
// that is no arm of its trial counts to none.
func (t *Tally) Add(e *event.Event, sign int64) {
	switch f := e.Fact.(type) {
	case *event.Trial:
		t.trial(e, f).Standing = sign > 0
	case *event.SetupChosen:
		if one := t.trials[f.Trial]; one != nil {
			one.turns = event.Turned(one.turns, e, sign)
		}
	case *event.TrialConcluded:
		if one := t.trials[f.Trial]; one != nil {
			one.ends = event.Turned(one.ends, e, sign)
		}
	case *event.Attempt:
		if one := t.trials[f.Trial]; one != nil {
			if arm := one.Arm(f.Setup); arm >= 0 {
				one.arms[arm][f.Outcome-1] += sign * int64(f.N)
			}
		}
	}
}

func (t *Tally) trial(e *event.Event, f *event.Trial) *Trial {
	if t.trials == nil {
		t.trials = make(map[event.Ref]*Trial)
	}
	ref := e.Ref()
	one := t.trials[ref]
	if one == nil {
		one = &Trial{Begun: f}
		t.trials[ref] = one
		t.order = event.Turned(t.order, e, 1)
	}
	return one
}

// Trials lists every trial that was ever begun, in the total order.
func (t *Tally) Trials() []*event.Event { return t.order }

// Find is one trial, nil when it is not there.
func (t *Tally) Find(ref event.Ref) *Trial { return t.trials[ref] }

// Arms is how many set-ups are tried.
func (t *Trial) Arms() int64 { return int64(len(t.Begun.Setups)) }

// Arm is which arm a set-up is, from 0, and -1 for none.
func (t *Trial) Arm(setup event.Ref) int64 { return int64(slices.Index(t.Begun.Setups, setup)) }

// Outcomes is what an arm gave.
func (t *Trial) Outcomes(arm int64) [event.Outcomes]int64 { return t.arms[arm] }

// Attempts is how many outcomes an arm has.
func (t *Trial) Attempts(arm int64) (sum int64) {
	for _, n := range t.arms[arm] {
		sum += n
	}
	return sum
}

// Next is the turn that comes next: one more than the highest that was chosen.
func (t *Trial) Next() int64 {
	highest := uint32(0)
	for _, e := range t.turns {
		highest = max(highest, e.Fact.(*event.SetupChosen).Turn)
	}
	return int64(highest) + 1
}

// Drawn is which arm a turn takes, from 0.
func (t *Trial) Drawn(turn int64) int64 { return Draw(t.Begun.Seed, t.Arms(), turn) }

// Left is how many attempts an arm still has to make up to the end of a turn: a
// block for each of its turns so far, less what it made. A block that ran over
// shortens the arm's next one, and one that was cut short lengthens it, so that
// the arms stay of one length whatever came late; it is never below 0.
func (t *Trial) Left(arm, turn int64) int64 {
	return max(0, int64(t.Begun.Block)*turnsOf(t.Begun.Seed, t.Arms(), arm, turn)-t.Attempts(arm))
}

// Blocks is attempts as whole turns of one arm, rounded up; none for none or
// fewer.
func (t *Trial) Blocks(attempts int64) int64 {
	block := int64(t.Begun.Block)
	return max(0, (attempts+block-1)/block*block)
}

// Concluded is the newest conclusion that stands, nil while the trial goes on.
func (t *Trial) Concluded() *event.Event {
	if len(t.ends) == 0 {
		return nil
	}
	return t.ends[len(t.ends)-1]
}
