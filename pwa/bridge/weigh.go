package bridge

import "rootledger/shared/event"

// weigh looks at a dose or a weight before it is kept.
func (g *Engine) weigh(in Call, d *Duties) error {
	weighed, err := g.replica.State().Weigh(g.replica.Me().Replica, event.DecodeFact(in.Kind, in.Fact))
	if err == nil {
		d.Weighed, d.Answers = &weighed, append(d.Answers, Answer{Tap: in.Tap})
	}
	return err
}
