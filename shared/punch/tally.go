package punch

import (
	"slices"

	"rootledger/shared/event"
)

// Tally is the set-ups of one session, what each gave, and which is on.
type Tally struct {
	setups map[event.Ref]*Setup
	order  []*Setup // in the total order: no arrival order changes it
	passes []chosen
}

// Setup is one set-up and the outcomes of what was attempted with it.
type Setup struct {
	Event    *event.Event
	Made     *event.Setup
	Outcomes [event.Outcomes]int64
	Standing bool  // nobody undid it
	replaced int64 // standing set-ups that replace it
}

// Offered says whether it can still be chosen: nobody undid or replaced it.
func (s *Setup) Offered() bool { return s.Standing && s.replaced == 0 }

// chosen is the choices of one pass that stand, in the total order.
type chosen struct {
	pass event.Ref
	list []*event.Event
}

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
		t.choose(e, f, sign)
	case *event.Attempt:
		if s := t.setups[f.Setup]; s != nil {
			s.Outcomes[f.Outcome-1] += sign * int64(f.N)
		}
	}
}

func (t *Tally) setup(e *event.Event, f *event.Setup) *Setup {
	s := t.setups[e.Ref()]
	if s != nil {
		return s
	}
	if t.setups == nil {
		t.setups = make(map[event.Ref]*Setup)
	}
	s = &Setup{Event: e, Made: f}
	t.setups[e.Ref()] = s
	at, _ := slices.BinarySearchFunc(t.order, s, func(a, b *Setup) int { return event.Compare(a.Event, b.Event) })
	t.order = slices.Insert(t.order, at, s)
	return s
}

func (t *Tally) choose(e *event.Event, f *event.SetupChosen, sign int64) {
	at := slices.IndexFunc(t.passes, func(c chosen) bool { return c.pass == f.Pass })
	if at < 0 {
		at = len(t.passes)
		t.passes = append(t.passes, chosen{pass: f.Pass})
	}
	c := &t.passes[at]
	i, found := slices.BinarySearchFunc(c.list, e, event.Compare)
	switch {
	case sign > 0 && !found:
		c.list = slices.Insert(c.list, i, e)
	case sign < 0 && found:
		c.list = slices.Delete(c.list, i, i+1)
	}
}

// Setups lists every set-up that was ever made, in the total order.
func (t *Tally) Setups() []*Setup { return t.order }

// Find is one set-up, nil when it is not there.
func (t *Tally) Find(ref event.Ref) *Setup { return t.setups[ref] }

// Chosen is the newest choice that stands in a pass, nil for none: the set-up
// that is on.
func (t *Tally) Chosen(pass event.Ref) *event.Event {
	for i := range t.passes {
		if list := t.passes[i].list; t.passes[i].pass == pass && len(list) > 0 {
			return list[len(list)-1]
		}
	}
	return nil
}
