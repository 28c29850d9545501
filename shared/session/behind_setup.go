package session

import "rootledger/shared/event"

// setupEffect is that on what is figured of set-ups and trials: attempts count
// for the outcomes that a share is of, and whoever made a set-up, a trial or a
// turn stands behind it.
func (s *State) setupEffect(q Question, e *event.Event) (n int64, ok bool) {
	switch f := e.Fact.(type) {
	case *event.Setup:
		return 0, q.Of == FigureSetup && (q.At.IsZero() || q.At == e.Ref())
	case *event.Trial:
		return 0, (q.Of == FigureTrial || q.Of == FigureTurn) && (q.At.IsZero() || q.At == e.Ref())
	case *event.TrialConcluded:
		return 0, q.Of == FigureTrial && (q.At.IsZero() || q.At == f.Trial)
	case *event.SetupChosen:
		return 0, q.Of == FigureTurn && !f.Trial.IsZero() && (q.At.IsZero() || q.At == f.Trial)
	case *event.Attempt:
		if f.Setup.IsZero() || s.attempts.Mode(f.Pass) == event.ByException {
			return 0, false
		}
		return int64(f.N), s.behindAttempt(q, f)
	}
	return 0, false
}

// behindAttempt says whether an attempt with a set-up is behind a figure.
func (s *State) behindAttempt(q Question, f *event.Attempt) bool {
	t := s.trials.tally.Find(f.Trial)
	arm := int64(-1)
	if t != nil {
		arm = t.Arm(f.Setup)
	}
	inTrial := arm >= 0 && (q.At.IsZero() || q.At == f.Trial)
	switch q.Of {
	case FigureNotWhole:
		return q.At.IsZero() || q.At == f.Setup || inTrial && (q.Size == 0 || int64(q.Size) == arm+1)
	case FigureTrial:
		return inTrial && (q.Size == 0 || arm == 0 || int64(q.Size) == arm+1)
	case FigureTurn:
		if !inTrial {
			return false
		}
		_, on := s.onIn(f.Trial, t)
		return arm == on
	}
	return false
}
