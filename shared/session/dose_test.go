package session

import (
	"reflect"
	"slices"
	"testing"

	"rootledger/shared/dose"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// lido is a dose of plain lidocaine in mL of 2 %.
func lido(ml uint32) *event.Dosed {
	return &event.Dosed{Label: event.Lidocaine, VolumeUL: 1000 * ml, Strength: 2000}
}

func (s *stage) doses() Doses { return s.state.View(replicaOf(lead), s.ms, nil).Doses }

func TestDoses(t *testing.T) {
	s := newStage(t, event.Each)
	if d := s.doses(); len(d.Agents) != event.Labels || len(d.Groups) != 0 || d.WeightKnown || !slices.Equal(d.Cautions, []string{"no-weight"}) {
		t.Errorf("nothing given: got %+v", d)
	}
	s.says(sorter, &event.Weight{Grams: 60_000, Asked: true})
	weighed := s.ms
	first := s.says(placer, lido(5))
	s.says(placer, &event.Dosed{Label: event.LidocaineEpinephrine, VolumeUL: 6_000, Strength: 2000, Ratio: 200_000, Site: "front", Earlier: true, Asked: true})
	d := s.doses()
	if d.Grams != 60_000 || d.WeightBy != "P3" || d.WeightMs != weighed || !d.WeightAsked {
		t.Errorf("weight: got %+v", d)
	}
	g := d.Groups[0]
	if len(d.Groups) != 1 || g.UG != 220_000 || g.LimitUG != 270_000 || g.By != dose.ByWeight || !g.Plain || !g.Epinephrine || g.State != dose.Near ||
		!slices.Equal(d.Cautions, []string{"near", "pooled"}) {
		t.Errorf("pooled: got %+v, %v", d.Groups, d.Cautions)
	}
	if last := d.Last[0]; len(d.Last) != 2 || last.UG != 120_000 || last.Person != "P5" || last.Site != "front" || !last.Earlier || !last.Asked ||
		last.Substance != "lidocaine" || !last.Epinephrine || d.VasoconstrictorNG != 30_000 {
		t.Errorf("last: got %+v, %d ng", d.Last, d.VasoconstrictorNG)
	}
	s.says(lead, &event.DoseRule{Substance: "lidocaine", Apart: true, Reason: "as agreed"})
	if d := s.doses(); len(d.Groups) != 2 || d.Groups[1].LimitUG != 420_000 || d.Rules[0].Person != "P1" || !slices.Contains(d.Cautions, "apart") {
		t.Errorf("apart: got %+v", d)
	}
	s.says(placer, &event.Void{Target: first})
	if d := s.doses(); len(d.Groups) != 1 || d.Count != 1 || d.Groups[0].UG != 120_000 {
		t.Errorf("undone: got %+v", d.Groups)
	}
}

// What is past a limit is asked before all that is no limit.
func TestPastDoseAsks(t *testing.T) {
	for _, c := range []struct {
		name  string
		facts []event.Fact
		want  Ask
	}{
		{"one agent", []event.Fact{lido(16)}, Ask{What: AskPastDose, Limit: true, Zone: "lidocaine", Have: 320, Want: 300}},
		{"by a hair", []event.Fact{lido(15), &event.Dosed{Label: event.Lidocaine, VolumeUL: 1, Strength: 2000}},
			Ask{What: AskPastDose, Limit: true, Zone: "lidocaine", Have: 301, Want: 300}},
		{"two together", []event.Fact{lido(10), &event.Dosed{Label: event.Bupivacaine, VolumeUL: 20_000, Strength: 500}},
			Ask{What: AskPastDoses, Limit: true, Have: 124, Want: 100}},
		{"a day", []event.Fact{&event.Dosed{Label: event.Bupivacaine, VolumeUL: 30_000, Strength: 500}, &event.Dosed{Label: event.Bupivacaine, VolumeUL: 30_000, Strength: 500},
			&event.Dosed{Label: event.Bupivacaine, VolumeUL: 30_000, Strength: 500}}, Ask{What: AskPastDose, Limit: true, Zone: "bupivacaine", Have: 450, Want: 400}},
		{"a dose of a day", []event.Fact{&event.Dosed{Label: event.Bupivacaine, VolumeUL: 36_000, Strength: 500}},
			Ask{What: AskPastDose, Limit: true, Zone: "bupivacaine", Have: 180, Want: 175}},
		{"of two agents the dose that is past, and its own limit", []event.Fact{&event.Dosed{Label: event.Bupivacaine, VolumeUL: 36_000, Strength: 500},
			&event.Dosed{Label: event.BupivacaineEpinephrine, VolumeUL: 44_000, Strength: 500}},
			Ask{What: AskPastDose, Limit: true, Zone: "bupivacaine", Have: 180, Want: 175}},
	} {
		s := newStage(t, event.Each)
		for _, f := range c.facts {
			s.says(sorter, f)
		}
		v := s.state.View(replicaOf(lead), s.ms, nil)
		if len(v.Asks) == 0 || v.Asks[0] != c.want {
			t.Errorf("%s: got %+v, want %+v", c.name, v.Asks, c.want)
		}
	}
}

// Nothing ends what was given past a limit: what can be acted on is asked before it.
func TestPastDoseHidesNoOtherLimit(t *testing.T) {
	for name, c := range map[string]struct {
		does func(s *stage)
		want []AskWhat
	}{
		"grafts out for too long": {func(s *stage) {
			s.taps(event.Intact, 5)
			s.minutes(361)
		}, []AskWhat{AskPauseOld, AskPastDose}},
		"past a region's share": {func(s *stage) { punchesAt(s, back(s, 0), 201) }, []AskWhat{AskPastShare, AskPastDose}},
		"past the donor": {func(s *stage) {
			punchesAt(s, back(s, 0), 201)
			s.says(lead, &event.Budget{Grafts: 1000})
		}, []AskWhat{AskPastDonor, AskPastDose}},
		"the donor stops first": {func(s *stage) {
			punchesAt(s, back(s, 0), 199)
			s.says(lead, &event.Budget{Grafts: 1000})
		}, []AskWhat{AskPastDose, AskDonorFirst}},
	} {
		s := newStage(t, event.Each)
		s.says(sorter, lido(16))
		c.does(s)
		var got []AskWhat
		for _, a := range s.state.View(replicaOf(lead), s.ms, nil).Asks {
			got = append(got, a.What)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", name, got, c.want)
		}
	}
}

// Weighing keeps nothing, and what it doubts is refused until somebody was asked.
func TestWeighing(t *testing.T) {
	s := newStage(t, event.Each)
	by := replicaOf(sorter)
	s.says(sorter, &event.Weight{Grams: 80_000})
	s.says(sorter, lido(2))
	w, err := s.state.Weigh(by, lido(8))
	if err != nil || len(w.Doubts) != 0 || w.UG != 160_000 || w.Parts != 6_667 || w.NextParts != 7_333 || w.Groups[0].UG != 200_000 {
		t.Errorf("an ordinary dose: got %+v, %v", w, err)
	}
	slip := lido(20)
	if w, err = s.state.Weigh(by, slip); err != nil || !reflect.DeepEqual(w.Doubts, []dose.Doubt{{What: "tenfold", N: 400_000, Of: 40_000}, {What: "alone", N: 400_000, Of: 300_000}}) {
		t.Errorf("a slip: got %+v, %v", w, err)
	}
	if err := s.state.Check(by, slip); !fault.Is(err, "dose-unasked") {
		t.Errorf("unasked: got %v", err)
	}
	slip.Asked = true
	if err := s.state.Check(by, slip); err != nil {
		t.Errorf("asked: got %v", err)
	}
	if s.doses().Count != 1 {
		t.Errorf("weighing kept something")
	}
	if w, err = s.state.Weigh(by, &event.Weight{Grams: 8_000}); err != nil || len(w.Doubts) != 2 {
		t.Errorf("weight: got %+v, %v", w, err)
	}
	for code, fact := range map[fault.Code]event.Fact{
		"weight-range": &event.Weight{Grams: 700_000}, "weigh-what": &event.Note{Text: "a"}, "dose-volume": lido(0),
		"agent-missing": &event.Dosed{Agent: event.Ref{Seq: 9}, VolumeUL: 1, Strength: 1},
	} {
		if _, err := s.state.Weigh(by, fact); !fault.Is(err, code) {
			t.Errorf("%v: got %v, want %s", fact.Kind(), err, code)
		}
	}
}

// Agents and rules are the lead's; weights and doses anyone's.
func TestWhoSaysWhatDoses(t *testing.T) {
	s := newStage(t, event.Each)
	agent := &event.Agent{Substance: "articaine", CapUG: 500_000, Source: "a"}
	rule := &event.DoseRule{Substance: "articaine", Apart: true, Reason: "a"}
	for _, fact := range []event.Fact{agent, rule} {
		if err := s.state.Check(replicaOf(sorter), fact); !fault.Is(err, "dose-lead") {
			t.Errorf("%v: got %v", fact.Kind(), err)
		}
		s.says(sorter, fact)
	}
	if d := s.doses(); len(d.Agents) != event.Labels || len(d.Rules) != 0 {
		t.Errorf("from elsewhere: got %+v", d)
	}
	ref := s.says(lead, agent)
	s.says(sorter, &event.Dosed{Agent: ref, VolumeUL: 1700, Strength: 4000})
	s.says(lead, &event.Agent{Of: ref, Substance: "articaine", CapUG: 400_000, Source: "b", Supersedes: s.state.Supersedes(&event.Agent{Of: ref})})
	if d := s.doses(); d.Agents[4].LimitUG != 400_000 || d.Agents[4].Standing != 1 || d.Groups[0].UG != 68_000 {
		t.Errorf("edited: got %+v, %+v", d.Agents[4], d.Groups)
	}
	for range MaxAgents - event.Labels - 1 {
		s.says(lead, agent)
	}
	if err := s.state.Check(replicaOf(lead), agent); !fault.Is(err, "too-many") {
		t.Errorf("one more: got %v", err)
	}
}

// A tap of another kind leaves what was worked out as it is; a new name does not.
func TestDosesAreKept(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(sorter, lido(2))
	before := s.doses()
	s.sorts(1, 3)
	if after := s.doses(); &after.Agents[0] != &before.Agents[0] {
		t.Error("a sort tap had the doses worked out anew")
	}
	s.says(sorter, &event.HandedOver{Person: "Mo"})
	s.says(sorter, lido(2))
	if after := s.doses(); after.Last[0].Person != "Mo" || after.Last[1].Person != "P3" {
		t.Errorf("got %+v", after.Last)
	}
}

// A substance may be held in three groups: each has its own entries behind it.
func TestDosesBehindGroupsAddUp(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(lead, &event.Weight{Grams: 70_000})
	s.says(lead, &event.DoseRule{Substance: "lidocaine", Apart: true, PerKgUG: 28_000, Strength: 100, Source: "a", Reason: "b"})
	for i, f := range []*event.Dosed{lido(2), lido(3), {Strength: 2000, Ratio: 200_000}, {Strength: 100, Ratio: 1_000_000, Tumescent: true},
		{Strength: 200, Ratio: 1_000_000, Tumescent: true}} {
		if f.Label == 0 {
			f.Label, f.VolumeUL = event.LidocaineEpinephrine, uint32(1000*(i+1))
		}
		s.says(sorter, f)
	}
	groups := s.doses().Groups
	if len(groups) != 3 {
		t.Fatalf("got %+v", groups)
	}
	for _, g := range groups {
		b := s.state.Behind(Question{Of: FigureDose, At: g.Ref, Size: g.Asked}, s.ms)
		var sum int64
		for _, p := range b.People {
			sum += p.Plus - p.Minus
		}
		if sum != g.UG || len(b.Terms) != 2 || b.Terms[1].N != g.Doses*b.Terms[1].Per {
			t.Errorf("%+v: the entries add up to %d, the terms are %+v", g, sum, b.Terms)
		}
	}
}

// The entries behind what was given add up to it.
func TestDosesBehindAddUp(t *testing.T) {
	s, _, _ := busyStage(t, event.Each)
	groups := s.doses().Groups
	for of, want := range map[Question]int64{{Of: FigureDose, Size: event.Size(event.Lidocaine)}: groups[0].UG,
		{Of: FigureDose}: groups[0].UG + groups[1].UG} {
		var sum int64
		for _, p := range s.state.Behind(of, s.ms).People {
			sum += p.Plus - p.Minus
		}
		if sum != want || sum == 0 {
			t.Errorf("%+v: the entries add up to %d, the figure is %d", of, sum, want)
		}
	}
}

// A rule was set when the room's clock says, as a dose was given.
func TestRulesFollowClockNotes(t *testing.T) {
	const off = 3_600_000
	s := newStage(t, event.Each)
	e := s.event(lead, &event.DoseRule{Substance: "lidocaine", Apart: true, Reason: "a"})
	set := s.ms
	e.Start, e.SinceMs, e.WallMs, e.Stamp, e.Body = event.StartID{7}, uint64(set-startMs), set-off, event.StampAt(set-off), nil
	if err := e.Seal(); err != nil {
		t.Fatal(err)
	}
	s.heads[lead] = e.Hash
	if err := s.state.Apply(e); err != nil {
		t.Fatal(err)
	}
	s.says(lead, &event.ClockNote{Replica: replicaOf(lead), Start: event.StartID{7}, SinceMs: uint64(set - startMs), RoomMs: uint64(set), AheadMs: -off})
	if got := s.doses().Rules[0].AtMs; got != set {
		t.Errorf("got %d, want %d", got, set)
	}
}
