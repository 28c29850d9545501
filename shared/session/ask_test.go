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
	tests := []struct {
		name string
		play func(s *stage)
		want []Ask
	}{
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
		}, []Ask{{What: AskPastDonor, Have: 0, Want: 2}}}, // y = 0.88 × 30/42
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
