package syncengine

import "rootledger/shared/event"

// doseFacts are drawn by whoever counts, beside their own table.
var doseFacts = []maker{makeWeight, makeDosed, makeDosed, makeDosed, makeDosed, makeAgent, makeAgent, makeDoseRule, makeDoseRule}

func makeWeight(d *day, _ *member) event.Fact {
	return &event.Weight{Grams: uint32(50_000 + 500*d.pick(120)), Asked: d.pick(4) > 0}
}

// substances are configured ones; of lidocaine there are labels too.
var substances = []string{"articaine", "lidocaine"}

func makeAgent(d *day, m *member) event.Fact {
	f := &event.Agent{Substance: substances[d.pick(2)], Epinephrine: d.pick(2) == 0, PerKgUG: uint32(1_000 * d.pick(8)),
		CapUG: uint32(100_000 * d.pick(6)), Source: "as drawn"}
	if f.CapUG > 0 && d.pick(3) == 0 {
		f.DailyUG = 2 * f.CapUG
	}
	if of := d.known(m, d.agents); !of.IsZero() && d.pick(2) == 0 {
		f.Of = of
	}
	if f.Validate() != nil || f.Of.IsZero() && len(d.agents) >= 3 {
		return nil
	}
	return permitted(m, f)
}

func makeDosed(d *day, m *member) event.Fact {
	strengths := []uint32{100, 500, 1_000, 2_000}
	f := &event.Dosed{Label: event.Label(1 + d.pick(event.Labels)), VolumeUL: uint32(1 + d.pick(40_000)), Strength: strengths[d.pick(4)],
		Ratio: []uint32{0, 100_000, 300_000}[d.pick(3)], Tumescent: d.pick(3) == 0, Earlier: d.pick(8) == 0, Asked: d.pick(8) > 0}
	if agent := d.known(m, d.agents); !agent.IsZero() && d.pick(3) > 0 {
		f.Agent, f.Label = agent, 0
	}
	return f
}

func makeDoseRule(d *day, m *member) event.Fact {
	f := &event.DoseRule{Substance: []string{"lidocaine", "articaine", "bupivacaine"}[d.pick(3)], Apart: d.pick(2) == 0, Reason: "as drawn"}
	if d.pick(3) > 0 {
		f.PerKgUG, f.Strength, f.Source = uint32(20_000+1_000*d.pick(4)), uint32(50+50*d.pick(2)), []string{"as drawn", "as read"}[d.pick(2)]
	}
	return permitted(m, f)
}
