package punch

import "rootledger/shared/event"

// Tally is the set-ups of one session, what each gave, and which is on.
type Tally struct {
	setups  map[event.Ref]*Setup
	order   []*event.Event // set-ups in the total order: no arrival order changes it
	choices []*event.Event // those that stand, in the total order
}

// Setup is one set-up and the outcomes of what was attempted with it.
type Setup struct {
	Made     *event.Setup
	Outcomes [event.Outcomes]int64
	Standing bool  // nobody undid it
	replaced int64 // standing set-ups that replace it
}

// Offered says whether it can still be chosen: nobody undid or replaced it.
func (s *Setup) Offered() bool { return s.Standing && s.replaced == 0 }

// Add takes one event in (sign 1) or out again (sign -1). It knows set-ups,
// their choice, and attempts that name one.
func (t *Tally) Add(e *event.Event, sign int64) {
	switch f := e.Fact.(type) {
	case *event.Setup:
		s := t.setup(e, f)
		s.Standing = sign > 0
		if old := t.setups[f.Replaces]; old != nil {
			old.replaced += sign
		}
	case *event.SetupChosen:
		t.choices = event.Turned(t.choices, e, sign)
	case *event.Attempt:
		if s := t.setups[f.Setup]; s != nil {
			s.Outcomes[f.Outcome-1] += sign * int64(f.N)
		}
	}
}

func (t *Tally) setup(e *event.Event, f *event.Setup) *Setup {
	if t.setups == nil {
		t.setups = make(map[event.Ref]*Setup)
	}
	ref := e.Ref()
	s := t.setups[ref]
	if s == nil {
		s = &Setup{Made: f}
		t.setups[ref] = s
		t.order = event.Turned(t.order, e, 1)
	}
	return s
}

// Setups lists every set-up that was ever made, in the total order.
func (t *Tally) Setups() []*event.Event { return t.order }

// Find is one set-up, nil when it is not there.
func (t *Tally) Find(ref event.Ref) *Setup { return t.setups[ref] }

// Chosen is the newest choice that stands in a pass, nil for none: the set-up
// that is on.
func (t *Tally) Chosen(pass event.Ref) *event.Event {
	for i := len(t.choices) - 1; i >= 0; i-- {
		if e := t.choices[i]; e.Fact.(*event.SetupChosen).Pass == pass {
			return e
		}
	}
	return nil
}
