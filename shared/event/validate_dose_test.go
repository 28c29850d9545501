package event_test

import "rootledger/shared/event"

// agent is a good agent, changed.
func agent(change func(*event.Agent)) *event.Agent {
	a := &event.Agent{Substance: "articaine", PerKgUG: 7_000, CapUG: 500_000, Source: "the house's list"}
	change(a)
	return a
}

// dosed is a good dose, changed.
func dosed(change func(*event.Dosed)) *event.Dosed {
	d := &event.Dosed{Label: event.Lidocaine, VolumeUL: 12_000, Strength: 2_000}
	change(d)
	return d
}

// rule is a good rule, changed.
func rule(change func(*event.DoseRule)) *event.DoseRule {
	r := &event.DoseRule{Substance: "lidocaine", PerKgUG: 28_000, Strength: 100, Source: "a", Reason: "b"}
	change(r)
	return r
}

var doseChecks = []check{
	{"any agent", agent(func(*event.Agent) {}), ""},
	{"by weight only", agent(func(a *event.Agent) { a.CapUG = 0 }), ""},
	{"one dose only", agent(func(a *event.Agent) { a.PerKgUG = 0 }), ""},
	{"no limit", agent(func(a *event.Agent) { a.PerKgUG, a.CapUG = 0, 0 }), "agent-limits"},
	{"a day below one dose", agent(func(a *event.Agent) { a.DailyUG = 499_999 }), "agent-daily"},
	{"a day as one dose", agent(func(a *event.Agent) { a.DailyUG = 500_000 }), ""},
	{"limit by weight beyond sense", agent(func(a *event.Agent) { a.PerKgUG = 1_000_001 }), "number-range"},
	{"limit beyond sense", agent(func(a *event.Agent) { a.CapUG = 10_000_001 }), "number-range"},
	{"no substance", agent(func(a *event.Agent) { a.Substance = "" }), "text-length"},
	{"capitals", agent(func(a *event.Agent) { a.Substance = "Articaine" }), "substance-case"},
	{"space behind", agent(func(a *event.Agent) { a.Substance = "articaine " }), "substance-case"},
	{"tab", agent(func(a *event.Agent) { a.Substance = withTab }), "text-control"},
	{"no source", agent(func(a *event.Agent) { a.Source = "" }), "text-length"},
	{"strength of nothing", agent(func(a *event.Agent) { a.Strengths = []uint32{0} }), "number-range"},
	{"strength above pure", agent(func(a *event.Agent) { a.Strengths = []uint32{100_001} }), "number-range"},
	{"strengths beyond sense", agent(func(a *event.Agent) { a.Strengths = make([]uint32, 13) }), "agent-strengths"},

	{"80 kg", &event.Weight{Grams: 80_000}, ""},
	{"400 kg", &event.Weight{Grams: 400_000}, ""},
	{"0 kg", &event.Weight{}, "weight-range"},
	{"700 kg", &event.Weight{Grams: 700_000}, "weight-range"},

	{"any dose", dosed(func(*event.Dosed) {}), ""},
	{"of an agent", dosed(func(d *event.Dosed) { d.Agent, d.Label = refTo(8), 0 }), ""},
	{"of both", dosed(func(d *event.Dosed) { d.Agent = refTo(8) }), "dose-agent"},
	{"of neither", dosed(func(d *event.Dosed) { d.Label = 0 }), "dose-agent"},
	{"unknown label", dosed(func(d *event.Dosed) { d.Label = 5 }), "dose-agent"},
	{"0 mL", dosed(func(d *event.Dosed) { d.VolumeUL = 0 }), "dose-volume"},
	{"above 5 L", dosed(func(d *event.Dosed) { d.VolumeUL = 5_000_001 }), "dose-volume"},
	{"0 %", dosed(func(d *event.Dosed) { d.Strength = 0 }), "dose-strength"},
	{"20 % is asked about, not refused", dosed(func(d *event.Dosed) { d.Strength = 20_000 }), ""},
	{"above 100 %", dosed(func(d *event.Dosed) { d.Strength = 100_001 }), "dose-strength"},
	{"1:200,000", dosed(func(d *event.Dosed) { d.Ratio = 200_000 }), ""},
	{"ratio beyond sense", dosed(func(d *event.Dosed) { d.Ratio = absurd }), "number-range"},
	{"site with a tab", dosed(func(d *event.Dosed) { d.Site = withTab }), "text-control"},
	{"long site", dosed(func(d *event.Dosed) { d.Site = ofLen(81) }), "text-length"},

	{"regime", rule(func(*event.DoseRule) {}), ""},
	{"apart only", rule(func(r *event.DoseRule) { r.Apart, r.PerKgUG, r.Strength, r.Source = true, 0, 0, "" }), ""},
	{"back to the label", rule(func(r *event.DoseRule) { r.PerKgUG, r.Strength, r.Source = 0, 0, "" }), ""},
	{"regime without a strength", rule(func(r *event.DoseRule) { r.Strength = 0 }), "regime-part"},
	{"regime without a source", rule(func(r *event.DoseRule) { r.Source = "" }), "regime-part"},
	{"regime without a limit", rule(func(r *event.DoseRule) { r.PerKgUG = 0 }), "regime-part"},
	{"no reason", rule(func(r *event.DoseRule) { r.Reason = "" }), "text-length"},
	{"no substance", rule(func(r *event.DoseRule) { r.Substance = "" }), "text-length"},
	{"strength beyond sense", rule(func(r *event.DoseRule) { r.Strength = 100_001 }), "number-range"},
}
