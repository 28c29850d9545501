package session

import (
	"cmp"
	"slices"
	"testing"

	"rootledger/shared/event"
)

func TestAnEmptySession(t *testing.T) {
	var state State
	v := state.View(replicaOf(lead), startMs, nil)
	if v.Session.OpenedMs != 0 || v.Session.Events != 0 || v.Headline.BudgetKnown || v.Headline.DonorKnown {
		t.Errorf("got %+v, %+v", v.Session, v.Headline)
	}
	if v.Zones == nil || v.Regions == nil || v.Passes == nil || v.Phones == nil || v.Differences == nil || v.Own.Last == nil {
		t.Errorf("a list is missing: %+v", v)
	}
}

func TestTheSessionThatWasOpenedFirst(t *testing.T) {
	s := newStage(t, event.Each)
	openedMs := int64(startMs + 1000)
	s.says(second, &event.Opened{Case: "C-2", Room: "9", Stations: []event.Station{event.Extraction}})
	s.says(lead, &event.Ended{})
	endedMs := s.ms
	s.says(second, &event.Ended{})
	v := s.state.View(replicaOf(lead), s.ms, nil).Session
	if v.Case != "C-1" || v.Room != "1" || len(v.Stations) != 4 || v.OpenedMs != openedMs || v.EndedMs != endedMs || v.Practice {
		t.Errorf("got %+v, want the first opening and end", v)
	}
}

func TestWhichTallyCarriesTheTotal(t *testing.T) {
	tests := []struct {
		name     string
		counting []event.Station
		play     func(s *stage)
		carried  string
		usable   int64
	}{
		{"nothing yet", nil, func(*stage) {}, "placed", 0},
		{"the bench and holding", nil, func(s *stage) { s.taps(event.Intact, 9); s.sorts(1, 4) }, "sorted", 9},
		{"all placed", nil, func(s *stage) { s.taps(event.Intact, 9); s.sorts(1, 9); s.places(1, 9) }, "placed", 9},
		{"placed ahead of sorting", nil, func(s *stage) { s.taps(event.Intact, 2); s.sorts(1, 2); s.places(1, 9) }, "placed", 9},
		{"sorting does not count", []event.Station{event.Extraction, event.Placing}, func(s *stage) { s.taps(event.Intact, 9) }, "bench", 9},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each, tt.counting...)
			tt.play(s)
			if h := s.state.View(replicaOf(lead), s.ms, nil).Headline; h.Carried != tt.carried || h.Usable != tt.usable {
				t.Errorf("got %s carries %d, want %s, %d", h.Carried, h.Usable, tt.carried, tt.usable)
			}
		})
	}
}

// Phones come by station, then by name, whatever their ids are.
func TestPhonesInOrder(t *testing.T) {
	phones := newStage(t, event.Each).state.View(event.ReplicaID{}, startMs, nil).Phones
	if len(phones) != 5 || !slices.IsSortedFunc(phones, func(a, b Phone) int { return cmp.Compare(a.Station, b.Station) }) {
		t.Errorf("got %+v", phones)
	}
}

func TestPhonesThatAreAway(t *testing.T) {
	tests := []struct {
		name  string
		speed uint32
		links func(nowMs int64) Links
		left  byte
		away  int64
	}{
		{"no links asked", 0, func(int64) Links { return nil }, 0, 0},
		{"all here", 0, func(now int64) Links { return phones(now-15_000, nil) }, 0, 0},
		{"one silent for too long", 0, func(now int64) Links { return phones(now, map[byte]Link{sorter: {now - 15_001, true}}) }, 0, 1},
		{"it left", 0, func(now int64) Links { return phones(now, map[byte]Link{sorter: {now - 15_001, true}}) }, sorter, 0},
		{"a lead counts nothing", 0, func(now int64) Links { return phones(now, map[byte]Link{lead: {}}) }, 0, 0},
		{"all of them", 0, func(int64) Links { return Links{} }, 0, 4},
		{"a fast practice clock", 1000, func(now int64) Links { return phones(now-300_000, nil) }, 0, 0},
		{"a fast practice clock, silent for too long", 1000, func(now int64) Links { return phones(now-300_001, nil) }, 0, 4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each)
			if tt.speed > 0 {
				s = &stage{t: t, seqs: map[byte]uint64{}, heads: map[byte]event.Hash{}, ms: startMs}
				s.says(lead, &event.Opened{Case: "C-1", Room: "1", Stations: []event.Station{1, 2, 3, 4},
					Practice: event.Practice{StartMs: startMs, RealMs: startMs, Speed: tt.speed}})
				for who := byte(lead); who <= placer; who++ {
					s.says(who, &event.Joined{Person: "P", Station: stations[who]})
				}
			}
			if tt.left != 0 {
				s.says(tt.left, &event.Left{})
			}
			v := s.state.View(replicaOf(lead), s.ms, tt.links(s.ms))
			if v.Headline.Away != tt.away || v.Session.Practice != (tt.speed > 0) {
				t.Errorf("got %d away, practice %v, want %d, %v", v.Headline.Away, v.Session.Practice, tt.away, tt.speed > 0)
			}
		})
	}
}

func TestOwnEntries(t *testing.T) {
	s := newStage(t, event.Each)
	s.sorts(1, 1)
	s.says(sorter, &event.Note{Text: "not an entry"})
	split := s.says(sorter, &event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{1, 2}, N: 2})
	undone := s.says(sorter, &event.Sorted{Size: 2, N: 50})
	s.says(sorter, &event.Void{Target: undone})
	s.places(2, 7)
	last := s.says(sorter, &event.Sorted{Size: 4, N: 3})
	own := s.state.View(replicaOf(sorter), s.ms, nil).Own
	if own.Person != "P3" || own.Station != event.Sorting || own.Tally.Sorted != (event.BySize{1, 0, 0, 3}) || own.Tally.Split != 2 {
		t.Errorf("got %+v", own)
	}
	if len(own.Last) != 3 || own.Last[0].Ref != last || own.Last[0].N != 3 || own.Last[0].Size != 4 || own.Last[0].AtMs != s.ms {
		t.Errorf("newest: got %+v", own.Last)
	}
	if own.Last[1].Ref != split || own.Last[1].Kind != event.KindSplit || own.Last[2].N != 1 {
		t.Errorf("the others: got %+v", own.Last)
	}
	listed := s.state.Entries(replicaOf(sorter), 10)
	if len(listed) != 4 || listed[0].Undone || listed[1].Ref != undone || !listed[1].Undone || listed[1].N != 50 || listed[2].Ref != split {
		t.Errorf("with what is undone: got %+v", listed)
	}
	if other := s.state.View(event.ReplicaID{}, s.ms, nil).Own; other.Person != "" || len(other.Last) != 0 {
		t.Errorf("a wall has none: got %+v", other)
	}
}

func TestTheOperatorOfAPass(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(puncher, &event.HandedOver{Person: "Ria"})
	s.says(puncher, &event.PassBegun{Mode: event.Pulled, DiameterUM: 900})
	s.says(puncher, &event.PassBegun{Mode: event.ByException, Operator: "Dr T"})
	got := ""
	for _, p := range s.state.View(replicaOf(lead), s.ms, nil).Passes {
		got += p.Operator + " " + p.Mode.String() + "; "
	}
	if want := "P2 each; Ria pulled; Dr T exception; "; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestRegionsAndZones(t *testing.T) {
	s := newStage(t, event.Pulled)
	region := s.says(lead, &event.Region{Code: "L", Name: "left", AreaMM2: 1000, Density10: 800, SharePerMille: 250})
	s.says(puncher, &event.Fired{Pass: s.pass, Region: region, N: 230})
	s.fires(5)
	s.makes(1, 9)
	s.places(1, 4)
	v := s.state.View(replicaOf(lead), s.ms, nil)
	if len(v.Regions) != 1 || v.Regions[0].Capacity != 200 || v.Regions[0].Punched != 230 || v.Regions[0].Left != -30 {
		t.Errorf("got %+v, want 200, 230, -30", v.Regions)
	}
	if v.Headline.DonorLeft != 0 || v.Ledger.PunchedNowhere != 5 || v.Ledger.CapacityTotal != 200 || v.Ledger.CapacityGrafts != 176 {
		t.Errorf("got donor left %d, nowhere %d, capacity %d, %d", v.Headline.DonorLeft, v.Ledger.PunchedNowhere, v.Ledger.CapacityTotal, v.Ledger.CapacityGrafts)
	}
	z := v.Zones[0]
	if z.Need != (event.BySize{300}) || z.Sites != (event.BySize{9}) || z.Open != (event.BySize{5}) || z.Placed != (event.BySize{4}) || v.Ledger.OpenSites != 5 {
		t.Errorf("got %+v, open in all %d", z, v.Ledger.OpenSites)
	}
}
