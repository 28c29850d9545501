package session

import (
	"slices"
	"testing"

	"rootledger/shared/event"
)

func (s *stage) quality(who byte) Quality { return s.state.View(replicaOf(who), s.ms, nil).Quality }

// An alarm asks for a look at grafts, says since when and how many, and only a
// look that was entered, and stands, takes it away.
func TestAlarmAndLook(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 40)
	first := s.ms + 1000
	s.taps(event.Partial, 3)
	s.taps(event.Intact, 2)
	s.checkLook("three cut", 0, 0, 0)
	s.taps(event.Total, 5)
	s.checkLook("eight of ten", 8, 10, first)
	s.ms += 5 * 3_600_000
	s.taps(event.Intact, 400)
	s.checkLook("time goes by", 8, 410, first)
	looked := s.says(sorter, &event.Looked{Pass: s.pass, Grafts: 10, Damaged: 1})
	s.checkLook("looked", 0, 0, 0)
	s.says(sorter, &event.Void{Target: looked})
	s.checkLook("the look undone", 8, 410, first)
	more := s.says(lead, &event.Budget{Grafts: 600})
	s.checkLook("more to take", 8, 410, first)
	none := s.says(lead, &event.Budget{Grafts: 400, Supersedes: []event.Ref{more}})
	s.checkLook("nothing to take", 0, 0, 0)
	s.says(lead, &event.Budget{Grafts: 600, Supersedes: []event.Ref{none}})
	area := func(of event.Ref, mm2 uint32, before ...event.Ref) event.Ref {
		return s.says(lead, &event.Region{Of: of, Code: "L", Name: "left", AreaMM2: mm2, Density10: 800, SharePerMille: 500, Supersedes: before})
	}
	made := area(event.Ref{}, 9000) // 3,600 attempts
	s.checkLook("the donor allows more", 8, 410, first)
	small := area(made, 1000, made) // 400
	s.checkLook("the donor allows no more", 0, 0, 0)
	area(made, 9000, small)
	s.says(lead, &event.Watch{P0Parts: 500, P1Parts: 1_000, H100: 600})
	s.checkLook("a higher limit", 0, 0, 0)
}

func (s *stage) checkLook(when string, cut, trials, since int64) {
	s.t.Helper()
	got := Ask{}
	for _, a := range s.state.View(replicaOf(placer), s.ms, nil).Asks {
		if a.What == AskLook {
			got = a
		}
	}
	want := Ask{}
	if cut > 0 {
		want = Ask{What: AskLook, Zone: "1", Have: cut, Want: trials, SinceMs: since}
	}
	if got != want {
		s.t.Errorf("%s: got %+v, want %+v", when, got, want)
	}
}

// No order is known where only exceptions are tapped, or of what was there before.
func TestNoAlarmWithoutAnOrder(t *testing.T) {
	s := newStage(t, event.ByException)
	s.reads(100)
	s.reads(300)
	s.taps(event.Total, 100)
	if v := s.quality(lead); len(v.Watched) != 0 || v.Rows[0].Rates.Total.N != 100 || v.Rows[0].Rates.Total.Of != 200 {
		t.Errorf("got %+v", v)
	}
	if len(s.state.Chart(s.pass).Groups) != 0 {
		t.Error("it has a chart")
	}
	s = newStage(t, event.Each)
	s.says(puncher, &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Outcome: event.Total, N: 30})
	s.checkLook("opening", 0, 0, 0)
	if v := s.quality(lead); v.Rows[0].Rates.Total.N != 30 {
		t.Errorf("got %+v", v)
	}
}

// Refiling moves attempts to the sum of the other pass.
func TestRefiledAttemptsMoveTheirSum(t *testing.T) {
	s := newStage(t, event.Each)
	tap := s.says(puncher, &event.Attempt{Pass: s.pass, Outcome: event.Total, N: 9})
	other := s.says(puncher, &event.PassBegun{Mode: event.Each})
	s.says(puncher, &event.Refiled{Targets: []event.Ref{tap}, Sets: event.FiledPass, Pass: other})
	if v := s.quality(lead).Watched; v[0].Asks || !v[1].Asks || v[1].Cut != 9 {
		t.Errorf("got %+v", v)
	}
}

func TestQualityRows(t *testing.T) {
	s := newStage(t, event.Each)
	left := s.says(lead, &event.Region{Code: "L", Name: "left", AreaMM2: 1000, Density10: 1000, SharePerMille: 1000})
	s.says(puncher, &event.Attempt{Pass: s.pass, Region: left, Outcome: event.Intact, N: 90})
	s.says(puncher, &event.Attempt{Pass: s.pass, Region: left, Outcome: event.Partial, N: 5})
	s.taps(event.Total, 3)
	s.taps(event.Buried, 2)
	second := s.says(puncher, &event.PassBegun{Mode: event.Each, Operator: "Tam"})
	blunt := s.says(puncher, &event.Setup{Name: "blunt", DiameterUM: 900, Motions: []event.Motion{event.Vibration},
		ArcsDeg: []uint32{0}, RPM: []uint32{0}, Power: []uint32{40}, StepsMs: []uint32{300}})
	s.says(puncher, &event.Attempt{Pass: second, Region: left, Outcome: event.Intact, N: 50})
	third := s.says(puncher, &event.PassBegun{Mode: event.Each})
	s.says(puncher, &event.Attempt{Pass: third, Outcome: event.Empty, N: 4, Setup: blunt})
	s.says(sorter, &event.Inspected{Pass: third, Region: left, Grafts: 4, Whole: 9, Cut: 1})
	type row struct {
		by                            QualityBy
		name                          string
		number, total, outcomes       int64
		extracted, follicles, samples int64
	}
	want := []row{
		{ByAll, "", 0, 3, 154, 148, 10, 4},
		{ByPass, "", 1, 3, 100, 98, 0, 0}, {ByPass, "", 2, 0, 50, 50, 0, 0}, {ByPass, "", 3, 0, 4, 0, 10, 4},
		{ByOperator, "P2", 0, 3, 104, 98, 10, 4}, {ByOperator, "Tam", 0, 0, 50, 50, 0, 0},
		{ByRegion, "", 0, 3, 9, 3, 0, 0}, {ByRegion, "L", 0, 0, 145, 145, 10, 4},
		{BySetup, "blunt", 0, 0, 4, 0, 0, 0},
	}
	got := s.quality(lead).Rows
	if len(got) != len(want) {
		t.Fatalf("got %d rows, want %d", len(got), len(want))
	}
	for i, r := range got {
		if g := (row{r.By, r.Name, r.Number, r.Rates.Total.N, r.Rates.Total.Of, r.Rates.Partial.Of, r.Rates.Follicles.Of, r.Inspected}); g != want[i] {
			t.Errorf("got %+v, want %+v", g, want[i])
		}
	}
	if got[0].BuriedOpen != 2 || got[2].BuriedOpen != 0 {
		t.Errorf("buried: got %d and %d", got[0].BuriedOpen, got[2].BuriedOpen)
	}
	if v := s.quality(sorter); len(v.Rows) != 0 || len(v.Watched) != 1 || !v.Watched[0].Asks {
		t.Errorf("a phone that counts carries more than what asks: got %+v", v)
	}
}

// What a setting leads to is about the day that is planned, or a usual one.
func TestChances(t *testing.T) {
	s := newStage(t, event.Each)
	standing := s.state.Watch()
	if c := s.state.ChancesOf(standing); c.Planned || c.Attempts != 2500 || c.FalseParts < 1800 || c.FalseParts > 2100 || c.NoticedIn > c.FalseEvery {
		t.Errorf("got %+v", c)
	}
	s.says(lead, &event.Budget{Grafts: 440})
	c := s.state.ChancesOf(standing)
	if !c.Planned || c.Attempts != 500 || c.FalseParts > 500 {
		t.Errorf("planned: got %+v", c)
	}
	standing.H100 = 300
	if lower := s.state.ChancesOf(standing); lower.FalseParts <= c.FalseParts || lower.NoticeParts <= c.NoticeParts {
		t.Errorf("a lower limit: got %+v after %+v", lower, c)
	}
}

// The donor area ends a day before the budget does.
func TestChancesOfWhatTheDonorGives(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(lead, &event.Budget{Grafts: 4_400})
	all := s.state.ChancesOf(s.state.Watch())
	s.says(lead, &event.Region{Code: "L", Name: "left", AreaMM2: 1000, Density10: 1000, SharePerMille: 400})
	if c := s.state.ChancesOf(s.state.Watch()); all.Attempts != 5000 || c.Attempts != 400 {
		t.Errorf("got %d, with a donor area %d", all.Attempts, c.Attempts)
	}
}

// Behind a watched sum is what it sums: not what a look saw, nor what was before
// it was 0, nor passes by exception.
func TestBehindTheWatch(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Total, 9)
	s.says(sorter, &event.Looked{Pass: s.pass, Grafts: 5, Upto: s.state.Supersedes(&event.Looked{Pass: s.pass})})
	s.taps(event.Partial, 1)
	s.taps(event.Intact, 400)
	s.taps(event.Total, 2)
	other := s.says(puncher, &event.PassBegun{Mode: event.ByException})
	s.says(puncher, &event.Attempt{Pass: other, Outcome: event.Total, N: 30})
	b := s.state.Behind(Question{Of: FigureWatch, Limit: 9}, s.ms)
	if len(b.Entries) != 2 || b.Entries[0].N != 2 || b.Entries[1].Kind != event.KindLooked {
		t.Errorf("got %+v", b.Entries)
	}
	if b := s.state.Behind(Question{Of: FigureWatch, At: other, Limit: 9}, s.ms); len(b.Entries) != 0 {
		t.Errorf("by exception: got %+v", b.Entries)
	}
}

// Rows are made anew by what can change one and by nothing else, and those kept
// are what they would be, made anew.
func TestRowsAreKept(t *testing.T) {
	s := newStage(t, event.Each)
	tap := s.says(puncher, &event.Attempt{Pass: s.pass, Outcome: event.Buried, N: 9})
	exception := s.says(puncher, &event.PassBegun{Mode: event.ByException, Operator: "Tam"})
	tests := []struct {
		name string
		who  byte
		fact event.Fact
		kept bool
	}{
		{"sorted", sorter, &event.Sorted{Size: 2, N: 3}, true},
		{"sites", siter, &event.Sites{Zone: s.zone, Size: 1, N: 3}, true},
		{"placed", placer, &event.Placed{Zone: s.zone, Size: 1, N: 1}, true},
		{"looked", sorter, &event.Looked{Pass: s.pass, Grafts: 5}, true},
		{"attempt", puncher, &event.Attempt{Pass: s.pass, Outcome: event.Total, N: 2}, false},
		{"there before", puncher, &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Outcome: event.Empty, N: 5}, false},
		{"shots by exception", puncher, &event.Fired{Pass: exception, N: 20}, false},
		{"retrieved", puncher, &event.Retrieved{From: event.Buried, Pass: s.pass, N: 2}, false},
		{"inspected", sorter, &event.Inspected{Pass: s.pass, Grafts: 5, Whole: 9, Cut: 1}, false},
		{"left in", lead, &event.Settled{What: event.LeftIn, Amount: -3, Reason: "a"}, false},
		{"a region", lead, &event.Region{Code: "L", Name: "left", AreaMM2: 1000, Density10: 1000, SharePerMille: 400}, false},
		{"another name", puncher, &event.HandedOver{Person: "Uma"}, false},
		{"undone", puncher, &event.Void{Target: tap}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			was := s.quality(lead).Rows
			before := slices.Clone(was)
			s.says(tt.who, tt.fact)
			is := s.quality(lead).Rows
			if kept := &was[0] == &is[0]; kept != tt.kept {
				t.Errorf("kept: got %v, want %v", kept, tt.kept)
			}
			if !slices.Equal(was, before) {
				t.Error("a list that was handed out changed")
			}
			s.state.rates.fresh = false
			if anew := s.quality(lead).Rows; !slices.Equal(is, anew) {
				t.Errorf("got %+v\nwant %+v", is, anew)
			}
		})
	}
}
