package session

import (
	"rootledger/shared/dose"
	"rootledger/shared/event"
)

// Figures of doses are asked about by one of the agents of a group: At is a
// configured agent, or else Size is the number of a label, and askDilute more for
// what is held against a dilute regime. Neither is all.

// askDilute is above the number of any label.
const askDilute event.Size = 8

// groupAsked is how a question names a group.
func groupAsked(g *dose.Group) event.Size {
	size := event.Size(g.Label)
	if g.Tumescent {
		size += askDilute
	}
	return size
}

// asksDoses says whether a question is about doses.
func asksDoses(of Figure) bool { return of >= FigureDose && of <= FigureVasoconstrictor }

// formAsked is the agent of a question, without a substance for all.
func (s *State) formAsked(q Question) dose.Form {
	f, _ := s.doses.FormOf(q.At, event.Label(q.Size%askDilute))
	return f
}

// doseEffect is what an entry does to a figure of doses, in µg. What sets a limit,
// and what tells the vasoconstrictor, adds nothing by itself.
func (s *State) doseEffect(q Question, e *event.Event) (n int64, ok bool) {
	asked := s.formAsked(q)
	substance := asked.Substance
	switch f := e.Fact.(type) {
	case *event.Dosed:
		of := substance == "" || s.doses.Held(f, asked.Ref, asked.Label, q.Size >= askDilute)
		switch q.Of {
		case FigureDose, FigureDoseShare:
			return toUG(dose.NG(f.VolumeUL, f.Strength)), of
		case FigureVasoconstrictor:
			return 0, f.Ratio > 0
		}
	case *event.Weight:
		return 0, q.Of == FigureDoseLimit
	case *event.DoseRule:
		return 0, q.Of == FigureDoseLimit && (substance == "" || f.Substance == substance)
	case *event.Agent:
		return 0, q.Of == FigureDoseLimit && (substance == "" || f.Substance == substance)
	}
	return 0, false
}
