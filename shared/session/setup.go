package session

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/punch"
)

// MaxSetups is how many set-ups a session can have, those too that are no longer
// offered; Record holds it, what arrives beyond counts.
const MaxSetups = 48

// Setup is one punch set-up and what follows from it. Those that are no longer
// offered stay in the list: attempts may name them. In the total order.
type Setup struct {
	Ref        event.Ref     `json:"ref"` // zero for a draft
	Name       string        `json:"name"`
	DiameterUM int64         `json:"diameterUm"`
	Edge       string        `json:"edge"` // the clinic's own word, "" for none
	WaitMs     int64         `json:"waitMs"`
	Replaces   event.Ref     `json:"replaces"` // the one that it took the place of
	Offered    bool          `json:"offered"`  // it can be chosen: nobody undid it, none replaces it
	Derived    punch.Derived `json:"derived"`
}

// Chosen is the set-up that is on in a pass; a pass without one is not listed.
// What a tap on Attempt writes: Setup, and Trial unless that is concluded.
type Chosen struct {
	Pass    event.Ref `json:"pass"`
	Setup   event.Ref `json:"setup"`
	Trial   event.Ref `json:"trial"` // zero out of a trial
	Turn    int64     `json:"turn"`  // 0 out of a trial
	SinceMs int64     `json:"sinceMs"`
}

// punches is what is kept of the set-ups and trials, and their sections as they
// were drawn last: a tap that does not touch them costs nothing, so a section is
// made anew, never changed, and the bridge knows the old one by its place.
type punches struct {
	setups punch.Tally
	drawn  []Setup
	chosen []Chosen
	stale  bool
}

// DraftSetup is a set-up that nobody recorded, and what follows from it, for the
// screen where one is put together. Its faults are those of recording it.
func DraftSetup(fact *event.Setup) (Setup, error) {
	if err := fact.Validate(); err != nil {
		return Setup{}, err
	}
	return setupOf(fact), nil
}

func setupOf(f *event.Setup) Setup {
	return Setup{Name: f.Name, DiameterUM: int64(f.DiameterUM), Edge: f.Edge, WaitMs: int64(f.WaitMs), Replaces: f.Replaces,
		Offered: true, Derived: punch.Derive(f)}
}

// route hands the set-ups what speaks to them.
func (p *punches) route(e *event.Event, sign int64) {
	p.setups.Add(e, sign)
	if e.Fact.Kind() != event.KindAttempt {
		p.stale = true
	}
}

// routeSetup counts an attempt to the set-up and the trial that it names; not
// one of a pass by exception, where nobody taps what is intact, so that only
// what is not would count.
func (s *State) routeSetup(e *event.Event, f *event.Attempt, sign int64) {
	if f.Setup.IsZero() || s.attempts.Mode(f.Pass) == event.ByException {
		return
	}
	s.punches.route(e, sign)
	if !f.Trial.IsZero() {
		s.trials.route(e, sign)
	}
}

// setupViews are the sections about set-ups and what is on.
func (s *State) setupViews(passes []Pass) ([]Setup, []Chosen) {
	p := &s.punches
	if p.stale || p.drawn == nil {
		p.stale = false
		p.drawn, p.chosen = []Setup{}, []Chosen{}
		for _, e := range p.setups.Setups() {
			v := setupOf(e.Fact.(*event.Setup))
			v.Ref = e.Ref()
			v.Offered = p.setups.Find(v.Ref).Offered()
			p.drawn = append(p.drawn, v)
		}
		for _, one := range passes {
			if e := p.setups.Chosen(one.Ref); e != nil {
				f := e.Fact.(*event.SetupChosen)
				p.chosen = append(p.chosen, Chosen{f.Pass, f.Setup, f.Trial, int64(f.Turn), s.atMs(e)})
			}
		}
	}
	return p.drawn, p.chosen
}

// checkSetup refuses a set-up that is one more than there can be.
func (s *State) checkSetup() error {
	if len(s.punches.setups.Setups()) >= MaxSetups {
		return fault.New(fault.TooMuch, "too-many").With("field", "punch set-ups").WithInt("max", MaxSetups)
	}
	return nil
}
