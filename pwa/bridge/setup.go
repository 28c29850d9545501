package bridge

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
)

// draftSetup works out what follows from a set-up that is still being put
// together; its faults are those of recording it.
func (g *Engine) draftSetup(in Call, d *Duties) error {
	fact, ok := event.DecodeFact(event.KindSetup, in.Fact).(*event.Setup)
	if !ok {
		return fault.New(fault.Damaged, "call-damaged")
	}
	setup, err := session.DraftSetup(fact)
	if err != nil {
		return err
	}
	d.Setup = &setup
	d.Answers = append(d.Answers, Answer{Tap: in.Tap})
	return nil
}

// encodeSetups writes a draft and a comparison, an empty array for none.
func (d *Duties) encodeSetups(w *event.Writer) {
	if d.Setup == nil {
		w.Array(0)
	} else {
		writeSessionSetup(w, d.Setup)
	}
	if d.Compare == nil {
		w.Array(0)
	} else {
		writeSessionComparison(w, d.Compare)
	}
}
