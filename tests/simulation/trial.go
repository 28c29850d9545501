package simulation

import (
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// trialDeeds are punch set-ups and trials of them.
var trialDeeds = map[string]func(w *World, a Action){
	"set-up":           extracting(makeSetup),
	"set-up, anyhow":   tapping(makeSetup), // which is refused for who sorts
	"put on":           extracting(putOn),
	"trial":            leading(beginTrial),
	"turn":             extracting(nextTurn),
	"try":              tapping(tryOne),
	"try, and again":   tapping(tryOne),
	"to other set-up":  leading(toOtherSetup),
	"undo a trial's":   leading(undoTrial),
	"conclude":         leading(conclude),
	"conclude, anyhow": tapping(conclude), // which is refused for all but the lead
}

func init() {
	for name, do := range trialDeeds {
		deeds[name] = do
	}
	people = append(people, "set-up", "set-up, anyhow", "put on", "trial", "turn", "turn", "try", "try", "try, and again", "to other set-up",
		"undo a trial's", "conclude", "conclude, anyhow")
}

// extracting is tapping for a phone that extracts, or the lead's.
func extracting(fact func(p *Phone, a Action) event.Fact) func(*World, Action) {
	return func(w *World, a Action) {
		for _, p := range w.phones[a.Who%2:] {
			if p.alive() && !p.wall && p.station() != event.Sorting {
				p.tapIf(fact(p, a))
				return
			}
		}
	}
}

// one of the references that a phone knows of a kind, zero when there is none.
func (p *Phone) one(kind event.Kind, arg int64) event.Ref {
	refs := p.made(kind)
	if len(refs) == 0 {
		return event.Ref{}
	}
	return refs[int(arg)%len(refs)]
}

func makeSetup(p *Phone, a Action) event.Fact {
	f := &event.Setup{Name: "A", DiameterUM: uint32(800 + a.Arg%300), WaitMs: uint32(a.Arg % 200), Motions: []event.Motion{event.Oscillation},
		ArcsDeg: []uint32{uint32(1 + a.Arg%700)}, RPM: []uint32{0}, Power: []uint32{50}, StepsMs: []uint32{uint32(1 + a.Arg%400)}}
	if a.Arg%3 == 0 {
		f.Replaces = p.one(event.KindSetup, a.Arg)
	}
	return f
}

func putOn(p *Phone, a Action) event.Fact {
	pass, _ := p.somewhere(a)
	setup := p.one(event.KindSetup, a.Arg/3)
	if pass.IsZero() || setup.IsZero() {
		return makeSetup(p, a)
	}
	return &event.SetupChosen{Pass: pass, Setup: setup}
}

func beginTrial(p *Phone, a Action) event.Fact {
	pass, _ := p.somewhere(a)
	f := &event.Trial{Pass: pass, Block: uint32(5 + a.Arg%10), Seed: uint32(a.Arg)}
	for i := range int64(3) {
		if one := p.one(event.KindSetup, a.Arg+i); !one.IsZero() && !slices.Contains(f.Setups, one) {
			f.Setups = append(f.Setups, one)
		}
	}
	if pass.IsZero() || len(f.Setups) < 2 {
		return makeSetup(p, a)
	}
	return f
}

// trial is one of the trials that the phone sees, nil for none.
func (p *Phone) trial(a Action) *session.Trial {
	all := p.view().Trials
	if len(all) == 0 {
		return nil
	}
	return &all[int(a.Arg)%len(all)]
}

func nextTurn(p *Phone, a Action) event.Fact {
	t := p.trial(a)
	if t == nil {
		return tryOne(p, a)
	}
	return &event.SetupChosen{Pass: t.Pass, Setup: t.Arms[t.Next].Setup, Trial: t.Ref, Turn: uint32(t.NextTurn)}
}

// tryOne taps with what is on, as the phone last heard, at times with something else.
func tryOne(p *Phone, a Action) event.Fact {
	v := p.view()
	if len(v.Chosen) == 0 {
		return putOn(p, a)
	}
	on := v.Chosen[int(a.Arg)%len(v.Chosen)]
	f := &event.Attempt{Pass: on.Pass, Outcome: event.Outcome(1 + a.Arg/8%6), N: p.n(a), Setup: on.Setup, Trial: on.Trial}
	if a.Arg%5 == 0 {
		f.Setup = p.one(event.KindSetup, a.Arg)
	}
	return f
}

// toOtherSetup files a count under another set-up, or under none.
func toOtherSetup(p *Phone, a Action) event.Fact {
	f := &event.Refiled{Targets: []event.Ref{p.one(event.KindAttempt, a.Arg)}, Sets: event.FiledSetup}
	if a.Arg%4 > 0 {
		f.Setup = p.one(event.KindSetup, a.Arg/4)
	}
	if f.Targets[0].IsZero() {
		return tryOne(p, a)
	}
	return f
}

// undoTrial voids a set-up, a choice, a trial or its conclusion.
func undoTrial(p *Phone, a Action) event.Fact {
	kinds := []event.Kind{event.KindSetup, event.KindSetupChosen, event.KindTrial, event.KindTrialConcluded}
	target := p.one(kinds[a.Arg%4], a.Arg/4)
	if target.IsZero() {
		return tryOne(p, a)
	}
	return &event.Void{Target: target, Reason: "a slip"}
}

func conclude(p *Phone, a Action) event.Fact {
	if t := p.trial(a); t != nil {
		return &event.TrialConcluded{Trial: t.Ref, Note: "too few to tell"}
	}
	return tryOne(p, a)
}

// checkTrials counts what set-ups and trials gave by hand.
func (w *World) checkTrials(all []line, v session.View) {
	type cell struct {
		setup, trial event.Ref
	}
	modes, trials := make(map[event.Ref]event.Mode), make(map[event.Ref]*event.Trial)
	next, concluded := make(map[event.Ref]int64), make(map[event.Ref]bool)
	var offered, replaced []event.Ref
	for _, l := range all {
		switch f := l.fact.(type) {
		case *event.PassBegun:
			modes[l.Ref()] = f.Mode
		case *event.Trial:
			trials[l.Ref()] = f
		case *event.SetupChosen:
			next[f.Trial] = max(next[f.Trial], int64(f.Turn))
		case *event.TrialConcluded:
			concluded[f.Trial] = true
		case *event.Setup:
			offered, replaced = append(offered, l.Ref()), append(replaced, f.Replaces)
		}
	}
	tried := make(map[cell]int64)
	for _, l := range all {
		if f, ok := l.fact.(*event.Attempt); ok && !l.setup.IsZero() && modes[l.pass] != event.ByException {
			tried[cell{l.setup, l.trial}] += int64(f.N)
		}
	}
	w.sum("trials", int64(len(v.Trials)), int64(len(trials)))
	for i := range v.Trials {
		t := &v.Trials[i]
		for _, arm := range t.Arms {
			w.sum("tried with an arm", arm.Attempts, tried[cell{arm.Setup, t.Ref}])
		}
		w.sum("the next turn", t.NextTurn, next[t.Ref]+1)
		if trials[t.Ref] == nil || t.Concluded != concluded[t.Ref] {
			w.violate("O2", "trial %v stands: %v, concluded: %v", t.Ref, trials[t.Ref] != nil, concluded[t.Ref])
		}
	}
	for _, one := range v.Setups {
		if want := slices.Contains(offered, one.Ref) && !slices.Contains(replaced, one.Ref); one.Offered != want {
			w.violate("O2", "set-up %v is offered: %v, want %v", one.Ref, one.Offered, want)
		}
	}
}

// mayTry says which events' authors had joined where punch set-ups are made.
func mayTry(final []*event.Event) map[event.Ref]bool {
	out := make(map[event.Ref]bool)
	for _, e := range final { // each after what it follows
		out[e.Ref()] = out[event.Ref{Replica: e.Replica, Seq: e.Seq - 1, Check: [8]byte(e.Prev[:8])}]
		if f, ok := e.Fact.(*event.Joined); ok {
			out[e.Ref()] = f.Station == event.Lead || f.Station == event.Office || f.Station == event.Extraction
		}
	}
	return out
}
