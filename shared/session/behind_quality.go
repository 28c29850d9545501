package session

import "rootledger/shared/event"

// qualityEffect is what an entry adds to the numerator of a rate; to the sum that
// watches a pass, the attempts that were cut since it was last 0 and that no look
// saw, and of a look nothing.
func (s *State) qualityEffect(q Question, e *event.Event) (n int64, ok bool) {
	here := func(pass, region event.Ref) bool { return q.At.IsZero() || q.At == pass || q.At == region }
	switch f := plain(e.Fact).(type) {
	case *event.Attempt:
		if q.Of == FigureWatch && (s.attempts.Mode(f.Pass) == event.ByException || !s.qualities.Sums(f.Pass, e)) {
			return 0, false
		}
		opening := e.Fact.Kind() == event.KindOpeningCount
		return int64(f.N), speaks(q.Of, f.Outcome, opening) && here(f.Pass, f.Region)
	case *event.Inspected:
		return int64(f.Cut), q.Of == FigureFollicles && here(f.Pass, f.Region)
	case *event.Looked:
		return 0, q.Of == FigureWatch && here(f.Pass, event.Ref{})
	}
	return 0, false
}

// speaks says whether an outcome is in the numerator of a figure. What was there
// before counting began has no order, so no sum takes it.
func speaks(of Figure, o event.Outcome, opening bool) bool {
	switch of {
	case FigureTotal:
		return o == event.Total
	case FigurePartial:
		return o == event.Partial
	case FigureTopped:
		return o == event.Topped
	case FigureEmpty:
		return o == event.Empty
	}
	return of == FigureWatch && !opening && (o == event.Partial || o == event.Total)
}
