package session

import (
	"rootledger/shared/dose"
	"rootledger/shared/event"
)

// Figures of doses are asked about by one of the agents of a substance: At is a
// configured agent, or else Size is the number of a label. Neither is all.

// asksDoses says whether a question is about doses.
func asksDoses(of Figure) bool { return of >= FigureDose && of <= FigureVasoconstrictor }

// substanceAsked is the substance of a question, "" for all.
func (s *State) substanceAsked(q Question) string {
	f, _ := s.doses.FormOf(q.At, event.Label(q.Size))
	return f.Substance
}

// doseEffect is what an entry does to a figure of doses, in µg. What sets a limit,
// and what tells the vasoconstrictor, adds nothing by itself.
func (s *State) doseEffect(q Question, e *event.Event) (n int64, ok bool) {
	substance := s.substanceAsked(q)
	switch f := e.Fact.(type) {
	case *event.Dosed:
		form, _ := s.doses.FormOf(f.Agent, f.Label)
		of := substance == "" || form.Substance == substance
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
