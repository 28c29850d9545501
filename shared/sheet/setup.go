package sheet

import (
	"strconv"

	"rootledger/shared/event"
	"rootledger/shared/quality"
	"rootledger/shared/session"
)

// setupNames are what set-ups are called on the sheet: numbered, for two may
// have one name.
func setupNames(out map[event.Ref]string, v session.View) map[event.Ref]string {
	for i, one := range v.Setups {
		out[one.Ref] = strconv.Itoa(i+1) + " " + one.Name
	}
	return out
}

// setups states every punch set-up with its steps and what follows from them,
// what was attempted with it, and when it was on.
func (b *builder) setups(s *session.State, v session.View) {
	called := names(s, v)
	for i := range v.Setups {
		one := &v.Setups[i]
		about := called[one.Ref]
		b.number("set-up", about, "punch diameter", one.DiameterUM, "um")
		if one.Edge != "" {
			b.text("set-up", about, "edge", one.Edge)
		}
		if !one.Replaces.IsZero() {
			b.text("set-up", about, "replaces", called[one.Replaces])
		}
		if made := s.Find(one.Ref); made != nil {
			b.text("set-up", about, "made by", s.Person(made.Replica, made.Stamp))
			b.time("set-up", about, "made", at(s, made))
		}
		b.steps(about, one)
	}
	for _, row := range s.Compare(event.Ref{}, false).Rows {
		b.result("set-up", called[row.Setup], &row)
	}
	for _, e := range s.Standing(event.KindSetupChosen) {
		f := e.Fact.(*event.SetupChosen)
		b.text("set-up", "pass "+called[f.Pass], "on from here", called[f.Setup])
		b.time("set-up", "pass "+called[f.Pass], "from", at(s, e))
	}
}

// steps states a set-up step by step, and the whole.
func (b *builder) steps(about string, one *session.Setup) {
	b.number("set-up", about, "wait", one.WaitMs, "ms")
	for i, step := range one.Derived.Steps {
		of := "step " + strconv.Itoa(i+1) + ", "
		b.code("set-up", about, of+"motion", step.Motion.String())
		b.number("set-up", about, of+"lasts", step.Ms, "ms")
		given := func(measure string, n int64, unit string) {
			if n != 0 {
				b.number("set-up", about, of+measure, n, unit)
			}
		}
		given("arc", step.ArcDeg, "degrees")
		given("turns a minute", step.RPM, "turns a minute")
		given("power", step.Power, "per cent")
		given("speed of the edge", step.RimUMPerS, "um/s")
		given("way in one stroke", step.StrokeUM, "um")
	}
	d := &one.Derived
	usual := "outside the usual cycle"
	if d.Common {
		usual = "inside the usual cycle"
	}
	b.number("set-up", about, "one attempt", d.CycleMs, "ms")
	b.code("set-up", about, "500 to 600 ms are usual", usual)
	b.number("set-up", about, "wound", d.WoundUM2, "um2")
}

// result states what a set-up gave, every share with both its numbers.
func (b *builder) result(section, about string, row *session.SetupResult) {
	b.number(section, about, "attempts", row.Attempts, "attempts")
	for o := event.Intact; o <= event.Empty; o++ {
		b.number(section, about, o.String(), row.Outcomes[o-1], "attempts")
	}
	for _, one := range [...]struct {
		measure string
		share   quality.Rate
	}{{"partly or totally transected of outcomes", row.NotWhole}, {"totally transected of outcomes", row.GTR}, {"partly transected of extracted", row.PTR}} {
		b.share(section, about, one.measure, one.share.N, one.share.Of, "attempts")
		if one.share.Known {
			b.share(section, about, one.measure+", low end of 95 %", one.share.Low, 10_000, "")
			b.share(section, about, one.measure+", high end of 95 %", one.share.High, 10_000, "")
		}
	}
}

// trials states how each trial was drawn, what each arm gave, how far the arms
// are apart and how sure that is, and what was made of it.
func (b *builder) trials(s *session.State, v session.View) {
	called := names(s, v)
	for i := range v.Trials {
		t := &v.Trials[i]
		about := strconv.Itoa(i + 1)
		b.text("trial", about, "pass", called[t.Pass])
		b.time("trial", about, "begun", t.BegunMs)
		b.number("trial", about, "attempts of one turn", t.Block, "attempts")
		b.number("trial", about, "turns begun", t.NextTurn-1, "turns")
		b.number("trial", about, "seed of the draw", t.Seed, "")
		c := s.Compare(t.Ref, true)
		for j := range c.Rows {
			b.result("trial", about+", "+called[c.Rows[j].Setup], &c.Rows[j])
		}
		for _, one := range c.Against {
			b.against(about+", "+called[one.Setup]+" against "+called[t.Arms[0].Setup], &one)
		}
		if t.Concluded {
			b.time("trial", about, "concluded", t.ConcludedMs)
		}
		for _, e := range s.Standing(event.KindTrialConcluded) {
			if f := e.Fact.(*event.TrialConcluded); f.Trial == t.Ref {
				b.text("trial", about+" ("+s.Person(e.Replica, e.Stamp)+")", "what was made of it", f.Note)
			}
		}
	}
}

// against states the difference of one arm from the first, with what is not known.
func (b *builder) against(about string, one *session.Against) {
	if !one.Known {
		b.code("trial", about, "difference", "nothing to compare")
		return
	}
	parts := func(measure string, n int64) { b.share("trial", about, measure, n, 10_000, "") }
	parts("difference of what is not whole", one.Diff)
	parts("difference, low end of 95 % (Newcombe)", one.Low)
	parts("difference, high end of 95 % (Newcombe)", one.High)
	if one.FisherP <= 1 {
		b.code("trial", about, "Fisher's p, two-sided", "0.0001 or less")
	} else {
		parts("Fisher's p, two-sided", one.FisherP)
	}
	parts("chance that it cuts more, flat priors", one.Worse)
	if one.MoreKnown {
		b.number("trial", about, "attempts more, of each, to tell (80 % power, 5 %)", one.More, "attempts")
	} else {
		b.code("trial", about, "attempts more, of each, to tell (80 % power, 5 %)", "no number would")
	}
}
