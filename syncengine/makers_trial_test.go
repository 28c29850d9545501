package syncengine

import "rootledger/shared/event"

// makeSetup makes a punch set-up, at times one that takes the place of another.
func makeSetup(d *day, m *member) event.Fact {
	if len(d.setups) >= 5 {
		return nil
	}
	f := &event.Setup{Name: []string{"A", "B"}[d.pick(2)], DiameterUM: uint32(800 + 50*d.pick(4)), WaitMs: uint32(d.pick(200))}
	for range 1 + d.pick(3) {
		motion, arc := event.Motion(1+d.pick(3)), uint32(0)
		if motion == event.Oscillation {
			arc = uint32(30 + d.pick(500))
		}
		f.Motions, f.ArcsDeg = append(f.Motions, motion), append(f.ArcsDeg, arc)
		f.RPM, f.Power, f.StepsMs = append(f.RPM, 0), append(f.Power, uint32(d.pick(101))), append(f.StepsMs, uint32(1+d.pick(300)))
	}
	if d.pick(3) == 0 {
		f.Replaces = d.known(m, d.setups)
	}
	return permitted(m, f)
}

// makeChosen puts a set-up on, mostly as the next turn of a trial.
func makeChosen(d *day, m *member) event.Fact {
	views := m.View(d.ms, nil).Trials
	if len(views) > 0 && d.pick(4) > 0 {
		if v := views[d.pick(len(views))]; d.pick(6) > 0 {
			return permitted(m, &event.SetupChosen{Pass: v.Pass, Setup: v.Arms[v.Next].Setup, Trial: v.Ref, Turn: uint32(v.NextTurn)})
		}
	}
	f := &event.SetupChosen{Pass: d.known(m, d.passes), Setup: d.known(m, d.setups)}
	if f.Validate() != nil {
		return makeSetup(d, m)
	}
	return permitted(m, f)
}

func makeTrial(d *day, m *member) event.Fact {
	f := &event.Trial{Pass: d.known(m, d.passes), Block: uint32(5 + d.pick(20)), Seed: uint32(d.pick(1000))}
	for range 4 {
		if one := d.known(m, d.setups); !one.IsZero() {
			f.Setups = append(f.Setups, one)
		}
		if f.Validate() == nil && d.pick(2) == 0 {
			break
		}
	}
	if f.Validate() != nil {
		return makeSetup(d, m)
	}
	return permitted(m, f)
}

func makeConcluded(d *day, m *member) event.Fact {
	trial := d.known(m, d.trials)
	if trial.IsZero() || d.pick(3) > 0 {
		return nil
	}
	return permitted(m, &event.TrialConcluded{Trial: trial, Note: "too few to tell"})
}

// withSetup names, at times, the set-up and trial that an attempt was made with,
// not always those that are on.
func (d *day) withSetup(m *member, f *event.Attempt) *event.Attempt {
	if d.pick(2) == 0 {
		f.Setup = d.known(m, d.setups)
	}
	if !f.Setup.IsZero() && d.pick(3) > 0 {
		f.Trial = d.known(m, d.trials)
	}
	return f
}
