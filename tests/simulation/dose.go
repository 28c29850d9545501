package simulation

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// doseDeeds are weights, doses, agents and rules.
var doseDeeds = map[string]func(w *World, a Action){
	"weigh": tapping(func(_ *Phone, a Action) event.Fact {
		return &event.Weight{Grams: uint32(50_000 + a.Arg%50*1000), Asked: true}
	}),
	"dose":          tapping(doseOf),
	"agent":         leading(agentOf),
	"agent anyhow":  tapping(agentOf), // which is refused for all but the lead
	"rule of doses": leading(ruleOf),
}

func init() {
	for name, do := range doseDeeds {
		deeds[name] = do
	}
}

func doseOf(p *Phone, a Action) event.Fact {
	f := &event.Dosed{Label: event.Label(1 + a.Arg%event.Labels), VolumeUL: uint32(500 + a.Arg%7*250), Strength: 2000, Asked: true}
	if agents := p.made(event.KindAgent); len(agents) > 0 && a.Arg%3 == 0 {
		f.Agent, f.Label = agents[int(a.Arg/3)%len(agents)], 0
	}
	if a.Arg%2 == 0 {
		f.Ratio = 200_000
	}
	return f
}

func agentOf(_ *Phone, a Action) event.Fact {
	return &event.Agent{Substance: "articaine", PerKgUG: 7000, CapUG: uint32(100_000 * (1 + a.Arg%5)), Source: "drawn"}
}

func ruleOf(_ *Phone, a Action) event.Fact {
	return &event.DoseRule{Substance: "lidocaine", Apart: a.Arg%2 == 0, Reason: "drawn"}
}

// checkDoses: what was given is the sum of the doses that stand, and the smallest
// weight that no other one replaces counts.
func (w *World) checkDoses(all []line, final []*event.Event, v session.View) {
	var doses, ng, shown int64
	for _, l := range all {
		if f, ok := l.fact.(*event.Dosed); ok {
			doses, ng = doses+1, ng+int64(f.VolumeUL)*int64(f.Strength)*10
		}
	}
	for _, g := range v.Doses.Groups {
		shown += g.UG
	}
	w.sum("doses", v.Doses.Count, doses)
	w.sum("anaesthetic in µg", shown, ng/1000) // every drawn dose is a whole number of µg
	replaced := make(map[event.Ref]bool)
	grams := int64(0)
	for _, e := range final {
		if f, ok := e.Fact.(*event.Weight); ok {
			for _, ref := range f.Supersedes {
				replaced[ref] = true
			}
		}
	}
	for _, e := range final {
		if f, ok := e.Fact.(*event.Weight); ok && !replaced[e.Ref()] && (grams == 0 || int64(f.Grams) < grams) {
			grams = int64(f.Grams)
		}
	}
	w.sum("the weight", v.Doses.Grams, grams)
}
