package session

import (
	"reflect"
	"slices"
	"testing"

	"rootledger/shared/budget"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

func TestApplyKeepsToTheOrderOfAReplica(t *testing.T) {
	s := newStage(t, event.Each)
	next, later := s.event(sorter, &event.Sorted{Size: 1, N: 1}), s.event(sorter, &event.Sorted{Size: 1, N: 1})
	before := s.state.View(replicaOf(lead), s.ms, nil)
	for name, e := range map[string]*event.Event{"a gap": later, "a repeat": s.state.histories[replicaOf(sorter)].chain[0].event} {
		if err := s.state.Apply(e); !fault.Is(err, "out-of-order") {
			t.Errorf("%s: got %v, want out-of-order", name, err)
		}
		if after := s.state.View(replicaOf(lead), s.ms, nil); !reflect.DeepEqual(after, before) {
			t.Errorf("%s changed the view", name)
		}
	}
	for _, e := range []*event.Event{next, later} {
		if err := s.state.Apply(e); err != nil {
			t.Errorf("seq %d: %v", e.Seq, err)
		}
	}
	if got := s.state.View(replicaOf(lead), s.ms, nil).Ledger.Sorted[0]; got != 2 {
		t.Errorf("got %d sorted, want 2", got)
	}
}

func TestFindNeedsTheWholeReference(t *testing.T) {
	s := newStage(t, event.Each)
	other := s.zone
	other.Check[7] ^= 1
	tests := []struct {
		name string
		ref  event.Ref
		want bool
	}{
		{"the zone", s.zone, true},
		{"another check", other, false},
		{"nothing", event.Ref{}, false},
		{"beyond the last", event.Ref{Replica: replicaOf(lead), Seq: 99}, false},
		{"another replica", event.Ref{Replica: replicaOf(9), Seq: 1}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := s.state.Find(tt.ref); (got != nil) != tt.want {
				t.Errorf("got %v, want found %v", got, tt.want)
			}
		})
	}
}

func TestVoidsAreASet(t *testing.T) {
	s := newStage(t, event.Each)
	entry := s.says(sorter, &event.Sorted{Size: 1, N: 8})
	check := func(when string, want int64, voids int) {
		t.Helper()
		if got := s.state.View(replicaOf(lead), s.ms, nil).Ledger.Sorted[0]; got != want {
			t.Errorf("%s: got %d sorted, want %d", when, got, want)
		}
		if got := s.state.Voids(entry); len(got) != voids || s.state.Undone(entry) != (voids > 0) {
			t.Errorf("%s: got %d voids, undone %v, want %d", when, len(got), s.state.Undone(entry), voids)
		}
	}
	check("recorded", 8, 0)
	one := s.says(sorter, &event.Void{Target: entry})
	other := s.says(lead, &event.Void{Target: entry})
	check("undone twice", 0, 2)
	s.says(sorter, &event.Restore{Target: entry, Voids: []event.Ref{one}})
	check("one cancelled", 0, 1)
	s.says(sorter, &event.Restore{Target: entry, Voids: []event.Ref{one, other}})
	check("both cancelled", 8, 0)
	s.says(lead, &event.Void{Target: entry})
	check("undone anew", 0, 1)
	s.says(lead, &event.Restore{Target: s.zone, Voids: s.state.Voids(entry)})
	check("a restore of something else", 0, 1)
}

func TestARestoreMayArriveBeforeItsVoid(t *testing.T) {
	s := newStage(t, event.Each)
	entry := s.says(sorter, &event.Sorted{Size: 1, N: 8})
	s.says(second, &event.Joined{Person: "Max", Station: event.Lead})
	void := s.event(second, &event.Void{Target: entry})
	s.says(lead, &event.Restore{Target: entry, Voids: []event.Ref{void.Ref()}})
	if err := s.state.Apply(void); err != nil {
		t.Fatal(err)
	}
	if got := s.state.View(replicaOf(lead), s.ms, nil).Ledger.Sorted[0]; got != 8 {
		t.Errorf("got %d sorted, want 8", got)
	}
	s.says(second, &event.Void{Target: entry})
	if got := s.state.View(replicaOf(lead), s.ms, nil).Ledger.Sorted[0]; got != 0 {
		t.Errorf("a second void: got %d sorted, want 0", got)
	}
}

// Who may undo is read off the author's own chain, up to the void.
func TestWhoMayUndo(t *testing.T) {
	join := func(s event.Station) event.Fact { return &event.Joined{Person: "X", Station: s} }
	tests := []struct {
		name    string
		before  []event.Fact // by the author of the void
		after   []event.Fact
		undoes  bool
		waiting int64
	}{
		{"a lead", []event.Fact{join(event.Lead)}, nil, true, 0},
		{"the office", []event.Fact{join(event.Office)}, nil, true, 0},
		{"a table", []event.Fact{join(event.Placing)}, nil, false, 1},
		{"nobody yet", nil, nil, false, 1},
		{"a lead only later", []event.Fact{join(event.Placing)}, []event.Fact{join(event.Lead)}, false, 1},
		{"a lead no more", []event.Fact{join(event.Lead), join(event.Placing)}, nil, false, 1},
		{"a lead until after", []event.Fact{join(event.Lead)}, []event.Fact{join(event.Placing)}, true, 0},
		{"a lead handed over", []event.Fact{join(event.Lead), &event.HandedOver{Person: "Y"}}, nil, true, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each)
			entry := s.says(sorter, &event.Sorted{Size: 1, N: 8})
			for _, fact := range tt.before {
				s.says(second, fact)
			}
			void := &event.Void{Target: entry}
			if err := s.state.Check(replicaOf(second), void); fault.Is(err, "undo-others") == tt.undoes {
				t.Errorf("check: got %v, want allowed %v", err, tt.undoes)
			}
			s.says(second, void)
			for _, fact := range tt.after {
				s.says(second, fact)
			}
			v := s.state.View(replicaOf(lead), s.ms, nil)
			if s.state.Undone(entry) != tt.undoes || v.Ledger.Sorted[0] != map[bool]int64{true: 0, false: 8}[tt.undoes] || v.Session.Waiting != tt.waiting {
				t.Errorf("got undone %v, %d sorted, %d waiting, want %v and %d waiting", s.state.Undone(entry), v.Ledger.Sorted[0], v.Session.Waiting, tt.undoes, tt.waiting)
			}
		})
	}
}

// What a restore names goes into its bytes: chance must not order it.
func TestVoidsAreListedInOneOrder(t *testing.T) {
	s := newStage(t, event.Each)
	entry := s.says(sorter, &event.Sorted{Size: 1, N: 8})
	for range 8 {
		s.says(lead, &event.Void{Target: entry})
	}
	first := s.state.Voids(entry)
	for range 20 {
		if again := s.state.Voids(entry); !slices.Equal(again, first) {
			t.Fatalf("got %v, then %v", first, again)
		}
	}
}

func TestBudgetLimits(t *testing.T) {
	zone := func(area uint32) event.Fact {
		return &event.Zone{Name: "Z", AreaMM2: area, Density10: 100, Mix: [event.Sizes]uint16{1000}} // a graft per 10 mm²
	}
	region := func(area uint32) event.Fact {
		return &event.Region{Code: "L", Name: "left", AreaMM2: area, Density10: 1000, SharePerMille: 1000} // an attempt per mm²
	}
	tests := []struct {
		name  string
		plan  []event.Fact
		by    budget.Stops
		above bool
	}{
		{"no plan", []event.Fact{&event.Budget{Grafts: 20_000}}, budget.StopsUnknown, false},
		{"need alone", []event.Fact{zone(10_000), &event.Budget{Grafts: 1000}}, budget.StopsNeed, false},
		{"one above the need", []event.Fact{zone(10_000), &event.Budget{Grafts: 1001}}, budget.StopsNeed, true},
		{"donor alone: 880 grafts of 1,000 attempts", []event.Fact{region(1000), &event.Budget{Grafts: 880}}, budget.StopsDonor, false},
		{"one above what the donor yields", []event.Fact{region(1000), &event.Budget{Grafts: 881}}, budget.StopsDonor, true},
		{"the donor is smaller", []event.Fact{zone(10_000), region(1000), &event.Budget{Grafts: 900}}, budget.StopsDonor, true},
		{"the need is smaller", []event.Fact{zone(5_000), region(1000), &event.Budget{Grafts: 501}}, budget.StopsNeed, true},
		{"a tie names the need", []event.Fact{zone(8_800), region(1000), &event.Budget{Grafts: 880}}, budget.StopsNeed, false},
		{"no budget", []event.Fact{zone(5_000), region(1000)}, budget.StopsNeed, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := &stage{t: t, seqs: map[byte]uint64{}, heads: map[byte]event.Hash{}, ms: startMs}
			for _, fact := range tt.plan {
				s.says(lead, fact)
			}
			l := s.state.View(replicaOf(lead), s.ms, nil).Ledger
			if l.BudgetLimitedBy != tt.by || l.BudgetAboveLimit != tt.above {
				t.Errorf("got limited by %v, above %v, want %v, %v", l.BudgetLimitedBy, l.BudgetAboveLimit, tt.by, tt.above)
			}
		})
	}
}

func TestABudgetAboveItsLimitNeedsAReason(t *testing.T) {
	zone := &event.Zone{Name: "Z", AreaMM2: 10_000, Density10: 100, Mix: [event.Sizes]uint16{1000}}       // 1,000 grafts
	region := &event.Region{Code: "L", Name: "left", AreaMM2: 1000, Density10: 1000, SharePerMille: 1000} // 880 of 1,000 attempts
	tests := []struct {
		name string
		plan []event.Fact
		fact event.Budget
		says string
	}{
		{"nothing planned", nil, event.Budget{Grafts: 20_000}, ""},
		{"all that is needed", []event.Fact{zone}, event.Budget{Grafts: 1000}, ""},
		{"one above the need", []event.Fact{zone}, event.Budget{Grafts: 1001}, "budget-above limit=1000 side=need"},
		{"all that the donor yields", []event.Fact{zone, region}, event.Budget{Grafts: 880}, ""},
		{"one above what the donor yields", []event.Fact{zone, region}, event.Budget{Grafts: 881}, "budget-above limit=880 side=donor"},
		{"with a reason", []event.Fact{zone, region}, event.Budget{Grafts: 881, Reason: "a second day"}, ""},
		{"one that stands already", []event.Fact{&event.Budget{Grafts: 1200}, zone}, event.Budget{Grafts: 1200}, ""},
		{"less than stands, and still above", []event.Fact{&event.Budget{Grafts: 1200}, zone}, event.Budget{Grafts: 1100}, "budget-above limit=1000 side=need"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := &stage{t: t, seqs: map[byte]uint64{}, heads: map[byte]event.Hash{}, ms: startMs}
			s.says(lead, &event.Joined{Person: "P1", Station: event.Lead})
			for _, fact := range tt.plan {
				s.says(lead, fact)
			}
			got := ""
			if err := s.state.Check(replicaOf(lead), &tt.fact); err != nil {
				got = err.Error()
			}
			if got != tt.says {
				t.Errorf("got %q, want %q", got, tt.says)
			}
		})
	}
}

func TestARegionGaveNoMoreThanGrewThere(t *testing.T) {
	region := func(harvested uint32, today bool) *event.Region { // 8,000 units
		return &event.Region{Code: "L", Name: "left", AreaMM2: 10_000, Density10: 800, SharePerMille: 250, Harvested: harvested, Today: today}
	}
	tests := []struct {
		name string
		fact *event.Region
		says string
	}{
		{"nothing", region(0, false), ""},
		{"all of it", region(8000, false), ""},
		{"one more", region(8001, false), "harvested-above max=8000"},
		{"of today's density", region(8001, true), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, got := newStage(t, event.Each), ""
			if err := s.state.Check(replicaOf(lead), tt.fact); err != nil {
				got = err.Error()
			}
			if got != tt.says {
				t.Errorf("got %q, want %q", got, tt.says)
			}
		})
	}
}
