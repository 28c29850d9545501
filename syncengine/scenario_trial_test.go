package syncengine

import (
	"slices"
	"strings"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// trialVerbs are punch set-ups and trials.
var trialVerbs = []verb{
	line(`makes set-up `+name+`: ([\d.]+) mm, waits (\d+) ms, (.+)`, func(s *stage, a []string) event.Fact {
		f := &event.Setup{Name: a[1], DiameterUM: 100 * s.tenths(a[2]), WaitMs: s.number(a[3])}
		for step := range strings.SplitSeq(a[4], ", ") {
			s.step(f, strings.Fields(step))
		}
		return f
	}),
	line(`puts on `+name+` in pass `+name, func(s *stage, a []string) event.Fact {
		return &event.SetupChosen{Setup: s.ref("set-up " + a[1]), Pass: s.ref(a[2])}
	}),
	line(`begins trial `+name+` in pass `+name+` of (.+), `+number+` a turn, seed `+number, func(s *stage, a []string) event.Fact {
		f := &event.Trial{Pass: s.ref(a[2]), Block: s.number(a[4]), Seed: s.number(a[5])}
		for one := range strings.SplitSeq(a[3], " and ") {
			f.Setups = append(f.Setups, s.ref("set-up "+one))
		}
		return f
	}),
	line(`begins turn `+number+` of trial `+name+` in pass `+name+` with `+name, func(s *stage, a []string) event.Fact {
		return &event.SetupChosen{Turn: s.number(a[1]), Trial: s.ref("trial " + a[2]), Pass: s.ref(a[3]), Setup: s.ref("set-up " + a[4])}
	}),
	line(`taps `+number+` (intact|partial|total|topped|buried|empty) in pass `+name+` with `+name+`(?: in trial `+name+`)?`, func(s *stage, a []string) event.Fact {
		f := &event.Attempt{N: s.number(a[1]), Pass: s.ref(a[3]), Setup: s.ref("set-up " + a[4])}
		f.Outcome, _ = event.ParseOutcome(a[2])
		if a[5] != "" {
			f.Trial = s.ref("trial " + a[5])
		}
		return f
	}),
	line(`concludes trial `+name+`: (.+)`, func(s *stage, a []string) event.Fact {
		return &event.TrialConcluded{Trial: s.ref("trial " + a[1]), Note: a[2]}
	}),
}

// step adds "rotation 3,000 rpm 200 ms" or "oscillation 120 degrees 200 ms".
func (s *stage) step(f *event.Setup, words []string) {
	motion, _ := event.ParseMotion(words[0])
	values := map[string]uint32{}
	for i := 1; i+1 < len(words); i += 2 {
		values[words[i+1]] = s.number(words[i])
	}
	f.Motions, f.ArcsDeg = append(f.Motions, motion), append(f.ArcsDeg, values["degrees"])
	f.RPM, f.Power, f.StepsMs = append(f.RPM, values["rpm"]), append(f.Power, values["%"]), append(f.StepsMs, values["ms"])
}

// tried finds a figure of a trial, "attempts of A in t", or of a set-up.
func (s *stage) tried(words string) func(session.View) int64 {
	a := strings.Fields(words)
	switch {
	case strings.HasPrefix(words, "attempts of ") && len(a) == 5:
		return s.ofTrial(a[4], func(t session.Trial) int64 {
			arm := slices.IndexFunc(t.Arms, func(arm session.Arm) bool { return arm.Setup == s.ref("set-up "+a[2]) })
			return t.Arms[arm].Attempts
		})
	case strings.HasPrefix(words, "left in ") && len(a) == 3:
		return s.ofTrial(a[2], func(t session.Trial) int64 { return t.Left })
	case strings.HasPrefix(words, "next turn of ") && len(a) == 4:
		return s.ofTrial(a[3], func(t session.Trial) int64 { return t.NextTurn })
	case strings.HasPrefix(words, "cycle of ") && len(a) == 3:
		return func(v session.View) int64 {
			at := slices.IndexFunc(v.Setups, func(one session.Setup) bool { return one.Ref == s.ref("set-up "+a[2]) })
			return v.Setups[at].Derived.CycleMs
		}
	}
	return nil
}

func (s *stage) ofTrial(name string, figure func(session.Trial) int64) func(session.View) int64 {
	return func(v session.View) int64 {
		at := slices.IndexFunc(v.Trials, func(t session.Trial) bool { return t.Ref == s.ref("trial "+name) })
		return figure(v.Trials[at])
	}
}
