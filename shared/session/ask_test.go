package session

import (
	"reflect"
	"testing"

	"rootledger/shared/event"
)

func TestAsks(t *testing.T) {
	region := func(s *stage, area uint32) event.Ref { // an attempt per mm²
		return s.says(lead, &event.Region{Code: "L", Name: "left", AreaMM2: area, Density10: 1000, SharePerMille: 1000})
	}
	budget := func(s *stage, who byte, grafts uint32) { s.says(who, &event.Budget{Grafts: grafts}) }
	tests := []askCase{
		{"nothing", func(*stage) {}, []Ask{}},
		{"a budget and no donor", func(s *stage) { budget(s, lead, 880) }, []Ask{}},
		{"a donor and no budget", func(s *stage) { region(s, 10) }, []Ask{}},
		{"the need stops first", func(s *stage) { region(s, 1000); budget(s, lead, 880) }, []Ask{}},
		{"the donor stops first", func(s *stage) { region(s, 999); budget(s, lead, 880) },
			[]Ask{{What: AskDonorFirst, Have: 999, Want: 1000}}},
		{"the donor allows no more", func(s *stage) {
			at := region(s, 10)
			s.says(puncher, &event.Attempt{Pass: s.pass, Region: at, Outcome: event.Empty, N: 12})
			budget(s, lead, 1)
		}, []Ask{{What: AskPastDonor, Limit: true, Have: 0, Want: 2}}}, // y = 0.88 × 30/42
		{"two budgets made apart", func(s *stage) { budget(s, lead, 10); budget(s, second, 20) }, []Ask{{What: AskChoose, Want: 1}}},
		{"budgets, and edits of a zone", func(s *stage) {
			budget(s, lead, 10)
			budget(s, second, 20)
			for i, who := range []byte{lead, second} {
				s.says(who, &event.Zone{Of: s.zone, Name: "Front", AreaMM2: 900 + uint32(i), Density10: 300, Mix: [event.Sizes]uint16{1000}, Supersedes: []event.Ref{s.zone}})
			}
		}, []Ask{{What: AskChoose, Want: 2}}},
		{"two budgets made apart that agree", func(s *stage) { budget(s, lead, 10); budget(s, second, 10) }, []Ask{}},
		{"nine open sites", func(s *stage) { s.makes(2, 9) }, []Ask{}},
		{"ten open sites", func(s *stage) { s.makes(2, 10) }, []Ask{{What: AskShort, Zone: "Front", Size: 2, Have: 0, Want: 10}}},
		{"as many held", func(s *stage) { s.makes(2, 10); s.taps(event.Intact, 10); s.sorts(2, 10) }, []Ask{}},
		{"held in another size", func(s *stage) { s.makes(2, 10); s.taps(event.Intact, 10); s.sorts(1, 10) },
			[]Ask{{What: AskShort, Zone: "Front", Size: 2, Have: 0, Want: 10}}},
		{"the size that lacks the most", func(s *stage) {
			s.makes(1, 12)
			s.makes(2, 30)
			s.makes(3, 20)
			s.taps(event.Intact, 15)
			s.sorts(2, 15)
		},
			[]Ask{{What: AskShort, Zone: "Front", Size: 3, Have: 0, Want: 20}}},
		{"all at once", func(s *stage) {
			region(s, 10)
			budget(s, lead, 100)
			budget(s, second, 120)
			s.makes(1, 40)
		}, []Ask{{What: AskDonorFirst, Have: 10, Want: 114}, {What: AskChoose, Want: 1}, {What: AskShort, Zone: "Front", Size: 1, Want: 40}}},
	}
	checkAsks(t, tests)
}

func TestAsksOfTheDonor(t *testing.T) {
	checkAsks(t, []askCase{
		{"a region at its share", func(s *stage) { punchesAt(s, back(s, 0), 200) }, []Ask{}},
		{"a region one past its share", func(s *stage) { punchesAt(s, back(s, 0), 201) },
			[]Ask{{What: AskPastShare, Limit: true, Zone: "BK", Have: 201, Want: 200}}},
		{"a region at the floor", func(s *stage) { // 160 hairs per cm² less 27.5 × 2
			s.says(lead, &event.Floor{HairsPerCM2x10: 1200})
			punchesAt(s, back(s, 200), 200)
		}, []Ask{}},
		{"a region below the floor", func(s *stage) {
			s.says(lead, &event.Floor{HairsPerCM2x10: 1200})
			punchesAt(s, back(s, 195), 198) // (800 − 198) units of 1.95 hairs on 10 cm²
		}, []Ask{{What: AskBelowFloor, Limit: true, Zone: "BK", Have: 1173, Want: 1200}}},
		{"a floor where hairs are not known", func(s *stage) {
			s.says(lead, &event.Floor{HairsPerCM2x10: 3000})
			punchesAt(s, back(s, 0), 1)
		}, []Ask{}},
		{"of two regions the one that is further past", func(s *stage) {
			at := s.says(lead, &event.Region{Code: "L", Name: "left", AreaMM2: 10, Density10: 1000, SharePerMille: 1000})
			punchesAt(s, back(s, 0), 203)
			punchesAt(s, at, 12)
		}, []Ask{{What: AskPastShare, Limit: true, Zone: "BK", Have: 203, Want: 200}}},
		{"past its share where the donor allows no more", func(s *stage) {
			punchesAt(s, back(s, 0), 201)
			s.says(lead, &event.Budget{Grafts: 1000})
		}, []Ask{{What: AskPastDonor, Limit: true, Have: 0, Want: 812}}}, // R = 799, y = (201 + 26.4) / 231
	})
}

func TestAsksOfTallies(t *testing.T) {
	checkAsks(t, []askCase{
		{"a stock below zero, to be counted again", func(s *stage) { s.taps(event.Intact, 5); s.sorts(2, 8) },
			[]Ask{{What: AskRecount, Of: event.OnBench, Have: -3, Want: 1}}},
		{"counted again", func(s *stage) {
			s.taps(event.Intact, 5)
			s.sorts(2, 8)
			s.says(sorter, &event.Recount{Of: event.Bench, N: 0})
		}, []Ask{}},
		{"of two the newer, and how many", func(s *stage) {
			s.taps(event.Intact, 5)
			s.sorts(2, 8)
			s.places(1, 2)
		}, []Ask{{What: AskRecount, Of: event.Held, Size: 1, Have: -2, Want: 3}}},
		{"a difference that only corrections end", func(s *stage) { s.says(placer, &event.CameBack{Zone: s.zone, Size: 2, N: 1}) }, []Ask{}},
		{"singles that will be short", func(s *stage) { mixed(s, 20, 80) },
			[]Ask{{What: AskSingles, Size: 1, Have: 60, Want: 210, Splits: 75}}}, // a double makes two
		{"singles by too few sorted", func(s *stage) { mixed(s, 2, 27) }, []Ask{}},
		{"singles short by no more than chance", func(s *stage) { mixed(s, 24, 16) }, []Ask{}},
		{"singles enough", func(s *stage) { mixed(s, 75, 25) }, []Ask{}},
	})
}

type askCase struct {
	name string
	play func(s *stage)
	want []Ask
}

func checkAsks(t *testing.T, tests []askCase) {
	t.Helper()
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each)
			tt.play(s)
			if got := s.state.View(replicaOf(lead), s.ms, nil).Asks; !reflect.DeepEqual(got, tt.want) {
				t.Errorf("got  %+v\nwant %+v", got, tt.want)
			}
		})
	}
}

// punch takes whole grafts from a region.
func punchesAt(s *stage, at event.Ref, n uint32) {
	s.says(puncher, &event.Attempt{Pass: s.pass, Region: at, Outcome: event.Intact, N: n})
}

// back is a region: a square of 10 cm² with 80 units of 2 hairs per cm², of which the lead allows 25 %: 200 attempts
func back(s *stage, hairs100 uint32) event.Ref {
	return s.says(lead, &event.Region{Code: "BK", Name: "back", AreaMM2: 1000, Density10: 800, SharePerMille: 250, HairsPerUnit100: hairs100})
}

// mixed sorts some grafts for a zone that wants 210 of 300 as singles.
func mixed(s *stage, singles, doubles uint32) {
	s.says(lead, &event.Zone{Of: s.zone, Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{700, 300}, Supersedes: []event.Ref{s.zone}})
	s.says(lead, &event.Budget{Grafts: 300})
	s.taps(event.Intact, singles+doubles)
	s.sorts(1, singles)
	s.sorts(2, doubles)
}
