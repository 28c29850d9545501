package session

import (
	"reflect"
	"testing"

	"rootledger/shared/event"
)

// third is one more phone that plans, beside lead and second.
const third = second + 1

// apart is a stage on which three phones edit one thing without hearing of each
// other: each replaces first, the value that all of them knew.
func apart(t *testing.T, edit func(n int, of event.Ref) event.Fact) (s *stage, first event.Ref, refs []event.Ref) {
	s = newStage(t, event.Each)
	s.says(second, &event.Joined{Person: "Ann", Station: event.Lead})
	s.says(third, &event.Joined{Person: "Bo", Station: event.Office})
	first = s.says(lead, edit(0, event.Ref{}))
	for n, who := range []byte{lead, second, third} {
		refs = append(refs, s.says(who, edit(n+1, first)))
	}
	return s, first, refs
}

func replaces(of event.Ref) []event.Ref {
	if of.IsZero() {
		return nil
	}
	return []event.Ref{of}
}

func budgetEdit(n int, of event.Ref) event.Fact {
	return &event.Budget{Grafts: []uint32{2400, 2600, 2200, 2300}[n], Supersedes: replaces(of)}
}

func yieldEdit(n int, of event.Ref) event.Fact {
	return &event.Yield{PerMille: []uint32{880, 850, 910, 900}[n], Supersedes: replaces(of)}
}

// The smallest need has neither the smallest area nor the smallest density.
func zoneEdit(n int, of event.Ref) event.Fact {
	return &event.Zone{Of: of, Name: []string{"Crown", "C1", "C2", "C3"}[n], AreaMM2: []uint32{4000, 3000, 5000, 4000}[n],
		Density10: []uint32{500, 600, 300, 450}[n], Mix: [event.Sizes]uint16{1000}, Supersedes: replaces(of)}
}

// The smallest capacity has neither the smallest share nor the largest earlier harvest.
func regionEdit(n int, of event.Ref) event.Fact {
	return &event.Region{Of: of, Code: "BK", Name: []string{"back", "b1", "b2", "b3"}[n], AreaMM2: 5000, Density10: []uint32{800, 900, 600, 800}[n],
		SharePerMille: []uint32{250, 200, 250, 250}[n], Harvested: []uint32{0, 0, 100, 150}[n], Supersedes: replaces(of)}
}

// conflicts is what the view of a stage lists.
func (s *stage) conflicts() []Conflict {
	return s.state.View(replicaOf(lead), s.ms, nil).Conflicts
}

func TestConflictListsEveryStandingValue(t *testing.T) {
	tests := []struct {
		kind    event.Kind
		edit    func(n int, of event.Ref) event.Fact
		label   string
		counts  func(v View) int64
		figures []int64 // from the safe side on
		persons []string
	}{
		{event.KindBudget, budgetEdit, "", func(v View) int64 { return v.Headline.Budget }, []int64{2200, 2300, 2600}, []string{"Ann", "Bo", "P1"}},
		{event.KindYield, yieldEdit, "", func(v View) int64 { return v.Ledger.PlannedPerMille }, []int64{910, 900, 850}, []string{"Ann", "Bo", "P1"}},
		{event.KindZone, zoneEdit, "C3", func(v View) int64 { return v.Ledger.NeedTotal - 300 }, []int64{1500, 1800, 1800}, []string{"Ann", "P1", "Bo"}}, // 300: the stage's own zone
		{event.KindRegion, regionEdit, "BK b3", func(v View) int64 { return v.Ledger.CapacityTotal }, []int64{650, 850, 900}, []string{"Ann", "Bo", "P1"}},
	}
	for _, tt := range tests {
		t.Run(tt.kind.String(), func(t *testing.T) {
			s, first, _ := apart(t, tt.edit)
			v := s.state.View(replicaOf(lead), s.ms, nil)
			if len(v.Conflicts) != 1 {
				t.Fatalf("got %+v, want one conflict", v.Conflicts)
			}
			c := v.Conflicts[0]
			label := c.Name
			if c.Code != "" {
				label = c.Code + " " + c.Name
			}
			if c.Kind != tt.kind || label != tt.label || c.Standing != 3 || len(c.Values) != 3 {
				t.Fatalf("got %v %q with %d standing, %d listed, want %v %q with 3", c.Kind, label, c.Standing, len(c.Values), tt.kind, tt.label)
			}
			if places := tt.kind == event.KindZone || tt.kind == event.KindRegion; places && c.Of != first || !places && !c.Of.IsZero() {
				t.Errorf("got a conflict of %v", c.Of)
			}
			for i, value := range c.Values {
				e := s.state.Find(value.Ref)
				if value.Figure != tt.figures[i] || value.Person != tt.persons[i] || e == nil || value.AtMs != e.Stamp.Ms() {
					t.Errorf("value %d: got %d by %s at %d, want %d by %s", i, value.Figure, value.Person, value.AtMs, tt.figures[i], tt.persons[i])
				}
			}
			if got := tt.counts(v); got != tt.figures[0] {
				t.Errorf("got %d counting, want the safe side, %d", got, tt.figures[0])
			}
		})
	}
}

func TestConflictCarriesTheFieldsOfItsValues(t *testing.T) {
	tests := []struct {
		edit func(n int, of event.Ref) event.Fact
		want Value // the one that counts, without who and when
	}{
		{budgetEdit, Value{Figure: 2200}},
		{zoneEdit, Value{Figure: 1500, AreaMM2: 5000, Density10: 300, Mix: [event.Sizes]uint16{1000}}},
		{regionEdit, Value{Figure: 650, AreaMM2: 5000, Density10: 600, SharePerMille: 250, Harvested: 100}},
	}
	for _, tt := range tests {
		s, _, refs := apart(t, tt.edit)
		got := s.conflicts()[0].Values[0]
		if got.Ref != refs[1] {
			t.Errorf("got %v first, want %v", got.Ref, refs[1])
		}
		got.Ref, got.Person, got.AtMs = event.Ref{}, "", 0
		if got != tt.want {
			t.Errorf("got %+v, want %+v", got, tt.want)
		}
	}
}

// Who held the phone when the value was set stands beside it, whoever holds it now.
func TestConflictNamesWhoHeldThePhoneThen(t *testing.T) {
	s, _, _ := apart(t, budgetEdit)
	s.says(second, &event.HandedOver{Person: "Cy"})
	if got := s.conflicts()[0].Values[0].Person; got != "Ann" {
		t.Errorf("got %s, want Ann", got)
	}
}

func TestChoosingLeavesOneValue(t *testing.T) {
	for _, edit := range []func(n int, of event.Ref) event.Fact{budgetEdit, yieldEdit, zoneEdit, regionEdit} {
		s, first, _ := apart(t, edit)
		chosen := edit(2, first)
		heads := s.state.Supersedes(chosen)
		if len(heads) != 3 {
			t.Errorf("%v: got %d heads, want 3", chosen.Kind(), len(heads))
		}
		name(chosen, heads)
		s.says(lead, chosen)
		if got := s.conflicts(); len(got) != 0 {
			t.Errorf("%v: got %+v, want none after the choice", chosen.Kind(), got)
		}
	}
}

// Two leads who choose apart make a conflict of their two choices, and of those only.
func TestChoosingApartIsAConflictOfTwo(t *testing.T) {
	for _, edit := range []func(n int, of event.Ref) event.Fact{budgetEdit, yieldEdit, zoneEdit, regionEdit} {
		s, first, _ := apart(t, edit)
		one, other := edit(1, first), edit(2, first)
		heads := s.state.Supersedes(one)
		name(one, heads)
		name(other, heads)
		a, b := s.says(lead, one), s.says(second, other)
		got := s.conflicts()
		if len(got) != 1 || got[0].Standing != 2 {
			t.Fatalf("%v: got %+v, want a conflict of two", one.Kind(), got)
		}
		if refs := [2]event.Ref{got[0].Values[0].Ref, got[0].Values[1].Ref}; refs != [2]event.Ref{b, a} {
			t.Errorf("%v: got %v, want the safe choice first", one.Kind(), refs)
		}
		again := edit(1, first)
		name(again, []event.Ref{a, b})
		s.says(third, again)
		if got := s.conflicts(); len(got) != 0 {
			t.Errorf("%v: got %+v, want none", one.Kind(), got)
		}
	}
}

func TestValuesThatAgreeAreNoConflict(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(lead, &event.Budget{Grafts: 2400})
	s.says(second, &event.Budget{Grafts: 2400, Reason: "as agreed"})
	if v := s.state.View(replicaOf(lead), s.ms, nil); len(v.Conflicts) != 0 || v.Ledger.BudgetsStanding != 2 {
		t.Errorf("got %+v of %d standing, want none of 2", v.Conflicts, v.Ledger.BudgetsStanding)
	}
}

// However many values stand, the list is bounded and keeps the one that counts.
func TestConflictsAreBounded(t *testing.T) {
	s := newStage(t, event.Each)
	for n := range uint32(3 * maxValues) {
		s.says(lead, &event.Budget{Grafts: 3000 - n})
	}
	for range maxConflicts + 3 {
		zone := s.says(lead, zoneEdit(0, event.Ref{}))
		s.says(lead, zoneEdit(1, zone))
		s.says(second, zoneEdit(2, zone))
	}
	got := s.conflicts()
	if len(got) != maxConflicts {
		t.Errorf("got %d conflicts, want %d", len(got), maxConflicts)
	}
	if c := got[0]; c.Standing != 3*maxValues || len(c.Values) != maxValues || c.Values[0].Figure != 3000-3*maxValues+1 {
		t.Errorf("got %d listed of %d, the first %d", len(c.Values), c.Standing, c.Values[0].Figure)
	}
}

// The list is the same whatever the order in which the edits came.
func TestConflictsInAnyOrder(t *testing.T) {
	s := newStage(t, event.Each)
	first := s.says(lead, zoneEdit(0, event.Ref{}))
	edits := []*event.Event{s.event(lead, zoneEdit(1, first)), s.event(second, zoneEdit(2, first)), s.event(third, zoneEdit(3, first))}
	var want []Conflict
	for i, order := range [][]int{{0, 1, 2}, {2, 1, 0}, {1, 2, 0}} {
		var other State
		for _, history := range s.state.histories {
			for _, en := range history.entries() {
				if err := other.Apply(en.event); err != nil {
					t.Fatal(err)
				}
			}
		}
		for _, at := range order {
			if err := other.Apply(edits[at]); err != nil {
				t.Fatal(err)
			}
		}
		got := other.View(replicaOf(lead), s.ms, nil).Conflicts
		if i == 0 {
			want = got
		}
		if len(got) != 1 || !reflect.DeepEqual(got, want) {
			t.Errorf("order %v: got %+v, want %+v", order, got, want)
		}
	}
}

// name lets an edit replace others.
func name(fact event.Fact, heads []event.Ref) {
	switch f := fact.(type) {
	case *event.Budget:
		f.Supersedes = heads
	case *event.Yield:
		f.Supersedes = heads
	case *event.Zone:
		f.Supersedes = heads
	case *event.Region:
		f.Supersedes = heads
	}
}
