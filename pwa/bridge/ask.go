package bridge

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
)

// ask answers what the worker asks of the session as it stands; nothing is kept.
func (g *Engine) ask(in Call, d *Duties) error {
	switch in.Type {
	case CallQuery:
		of := in.Replica
		if of == (event.ReplicaID{}) {
			of = g.replica.Me().Replica
		}
		d.Entries = g.replica.State().Entries(of, int(min(in.Seq, maxEntries)))
		d.Steps = g.steps(d.Entries)
	case CallHandOut:
		d.File = g.replica.Parcel(g.stored)
	case CallBehind:
		behind := g.replica.State().Behind(session.Question{Of: in.Of, At: in.At, Size: in.Size, Limit: int(min(in.Seq, maxEntries))}, g.now().WallMs)
		d.Behind, d.Steps = &behind, g.steps(behind.Entries)
	case CallCompare:
		compared := g.replica.State().Compare(in.At, in.Seq == 1)
		d.Compare = &compared
	case CallContinued:
		rest := g.replica.State().Continued()
		d.Rest = &rest
	case CallChart:
		g.chart(in, d)
	default:
		return fault.New(fault.Invalid, "call-unknown")
	}
	d.Answers = append(d.Answers, Answer{Tap: in.Tap})
	return nil
}

// maxEntries is how many own entries a query returns at most.
const maxEntries = 200
