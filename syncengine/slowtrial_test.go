package syncengine

import (
	"math/bits"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// station is where an event's author had joined by then, 0 for nowhere.
func (s *slowLedger) station(e *event.Event) event.Station {
	var joined *event.Event
	for _, at := range s.all {
		_, ok := at.Fact.(*event.Joined)
		if ok && at.Replica == e.Replica && at.Seq < e.Seq && (joined == nil || at.Seq > joined.Seq) {
			joined = at
		}
	}
	if joined == nil {
		return 0
	}
	return joined.Fact.(*event.Joined).Station
}

// inOrder lists what stands of a kind, in the total order.
func (s *slowLedger) inOrder(kind event.Kind) []item {
	var out []item
	for _, it := range s.items {
		if it.fact.Kind() == kind {
			out = append(out, it)
		}
	}
	slices.SortFunc(out, func(a, b item) int {
		if later(a.Event, b.Event) {
			return 1
		}
		return -1
	})
	return out
}

// stands says whether an event counts and was not undone.
func (s *slowLedger) stands(ref event.Ref) bool {
	return slices.ContainsFunc(s.items, func(it item) bool { return it.Ref() == ref })
}

// slowDraw is the arm of a turn: the generator run from its start, a round shuffled
// at a time.
func slowDraw(seed uint32, arms, turn int64) (arm int64) {
	state := uint64(seed)
	next := func() uint64 {
		state += 0x9e3779b97f4a7c15
		z := state
		z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9
		z = (z ^ (z >> 27)) * 0x94d049bb133111eb
		return z ^ (z >> 31)
	}
	for first := int64(1); ; first += arms {
		order := []int64{0, 1, 2, 3}[:arms]
		for i := arms - 1; i > 0; i-- {
			j, _ := bits.Mul64(next(), uint64(i+1))
			order[i], order[j] = order[j], order[i]
		}
		if turn < first+arms {
			return order[turn-first]
		}
	}
}

// tried is what was tapped with a set-up, of a trial or of all.
func (s *slowLedger) tried(setup, trial event.Ref) (out [event.Outcomes]int64) {
	modes := map[event.Ref]event.Mode{}
	s.passes(func(pass event.Ref, begun *event.PassBegun) { modes[pass] = begun.Mode })
	for _, it := range s.items {
		f, ok := it.fact.(*event.Attempt)
		if ok && it.setup == setup && (trial.IsZero() || it.trial == trial) && modes[it.pass] != event.ByException {
			out[f.Outcome-1] += int64(f.N)
		}
	}
	return out
}

func total(o [event.Outcomes]int64) (n int64) {
	for _, one := range o {
		n += one
	}
	return n
}

// chosen is the newest choice of a pass that stands, nil for none.
func (s *slowLedger) chosen(pass event.Ref) (best *event.SetupChosen) {
	for _, it := range s.inOrder(event.KindSetupChosen) {
		if f := it.fact.(*event.SetupChosen); f.Pass == pass {
			best = f
		}
	}
	return best
}

// trialAt is one trial as the View should have it, but for its times.
func (s *slowLedger) trialAt(it item) session.Trial {
	f, ref := it.fact.(*event.Trial), it.Ref()
	v := session.Trial{Ref: ref, Pass: f.Pass, Block: int64(f.Block), Seed: int64(f.Seed), On: -1, NextTurn: 1}
	n := int64(len(f.Setups))
	for _, setup := range f.Setups {
		v.Arms = append(v.Arms, session.Arm{Setup: setup, Attempts: total(s.tried(setup, ref))})
	}
	for _, one := range s.inOrder(event.KindSetupChosen) {
		if c := one.fact.(*event.SetupChosen); c.Trial == ref {
			v.NextTurn = max(v.NextTurn, int64(c.Turn)+1)
		}
	}
	v.Next = slowDraw(f.Seed, n, v.NextTurn)
	if on := s.chosen(f.Pass); on != nil && on.Trial == ref {
		v.Turn, v.On = int64(on.Turn), int64(slices.Index(f.Setups, on.Setup))
		for turn := int64(1); turn <= v.Turn; turn++ {
			if slowDraw(f.Seed, n, turn) == v.On {
				v.Left += v.Block
			}
		}
		v.Left = max(0, v.Left-v.Arms[v.On].Attempts)
	}
	for _, one := range s.inOrder(event.KindTrialConcluded) {
		if c := one.fact.(*event.TrialConcluded); c.Trial == ref {
			v.Concluded, v.Note = true, c.Note
		}
	}
	return v
}

func TestTrialsAreTheSumOfWhatStands(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		checkTrials(rt, drawDay(t, rt, 80), map[string]int{})
	})
	seen := map[string]int{} // on days that are long enough
	for seed := range uint64(20) {
		checkTrials(t, fixedDay(t, seed), seen)
	}
	for _, what := range []string{"trials", "concluded", "on", "turns", "attempts"} {
		if seen[what] == 0 {
			t.Errorf("no day had %s", what)
		}
	}
}

// checkTrials holds a day's set-ups and trials to the long way.
func checkTrials(t failer, d *day, seen map[string]int) {
	t.Helper()
	events := d.events()
	slow := newSlowLedger(events)
	wall := d.inOrder(wallIdentity(), shuffled(d.pick, events))
	view := wall.View(d.ms, nil)
	checkSetups(t, slow, view, wall.State().Compare(event.Ref{}, false))
	trials := slow.inOrder(event.KindTrial)
	if len(view.Trials) != len(trials) {
		t.Fatalf("got %d trials, want %d", len(view.Trials), len(trials))
	}
	for i, it := range trials {
		got, want := view.Trials[i], slow.trialAt(it)
		if !slices.Equal(got.Arms, want.Arms) {
			t.Fatalf("arms: got %+v, want %+v", got.Arms, want.Arms)
		}
		seen["trials"]++
		seen["on"] += int(1 + got.On)
		seen["turns"] += int(got.Turn)
		for _, arm := range got.Arms {
			seen["attempts"] += int(arm.Attempts)
		}
		if got.Concluded {
			seen["concluded"]++
		}
		got.Arms, want.Arms, got.BegunMs, got.ConcludedMs = nil, nil, 0, 0
		if !equalTrials(got, want) {
			t.Fatalf("got  %+v\nwant %+v", got, want)
		}
	}
}

func equalTrials(a, b session.Trial) bool {
	return a.Ref == b.Ref && a.Pass == b.Pass && a.Block == b.Block && a.Seed == b.Seed && a.Turn == b.Turn && a.On == b.On &&
		a.Left == b.Left && a.NextTurn == b.NextTurn && a.Next == b.Next && a.Concluded == b.Concluded && a.Note == b.Note
}

// checkSetups holds the set-ups, what is on, and what each gave.
func checkSetups(rt failer, slow *slowLedger, view session.View, all session.Comparison) {
	results := map[event.Ref][event.Outcomes]int64{}
	for _, row := range all.Rows {
		results[row.Setup] = row.Outcomes
	}
	setups := 0
	for _, e := range slow.all {
		if _, ok := e.Fact.(*event.Setup); !ok || !slow.permits(e) {
			continue
		}
		setups++
		ref := e.Ref()
		at := slices.IndexFunc(view.Setups, func(v session.Setup) bool { return v.Ref == ref })
		offered := slow.stands(ref)
		for _, it := range slow.inOrder(event.KindSetup) {
			offered = offered && it.fact.(*event.Setup).Replaces != ref
		}
		if at < 0 || view.Setups[at].Offered != offered || results[ref] != slow.tried(ref, event.Ref{}) {
			rt.Fatalf("set-up %v: at %d, want offered %v, %v of %+v", ref, at, offered, slow.tried(ref, event.Ref{}), results[ref])
		}
	}
	if len(view.Setups) != setups {
		rt.Fatalf("got %d set-ups, want %d", len(view.Setups), setups)
	}
	for _, p := range view.Passes {
		at := slices.IndexFunc(view.Chosen, func(c session.Chosen) bool { return c.Pass == p.Ref })
		want := slow.chosen(p.Ref)
		if (at < 0) != (want == nil) || want != nil && (view.Chosen[at].Setup != want.Setup || view.Chosen[at].Trial != want.Trial) {
			rt.Fatalf("on in %v: got %+v, want %+v", p.Ref, view.Chosen, want)
		}
	}
}
