package session

import (
	"testing"

	"rootledger/shared/event"
)

// While counting goes on, a stock above zero is work on its way; one below
// zero says that one tally is ahead of the other.
func TestOnlyWhatIsBelowZeroWhileCounting(t *testing.T) {
	tests := []struct {
		name  string
		mode  event.Mode
		below func(s *stage)
		want  []found
		level func(s *stage) // what makes it a stock above zero
	}{
		{"pending", event.Pulled, func(s *stage) { s.fires(3); s.taps(event.Total, 5) },
			[]found{{event.Pending, 0, -2}}, func(s *stage) { s.fires(9) }},
		{"derived intact", event.ByException, func(s *stage) { s.fires(3); s.taps(event.Total, 5) },
			[]found{{event.Derived, 0, -2}, {event.OnBench, 0, -2}}, func(s *stage) { s.fires(9) }},
		{"buried", event.Each, func(s *stage) {
			s.taps(event.Buried, 1)
			s.says(puncher, &event.Retrieved{From: event.Buried, Pass: s.pass, N: 3})
		}, []found{{event.LeftIn, 0, -2}, {event.Beyond, 0, 2}}, func(s *stage) { s.taps(event.Buried, 9) }},
		{"bench", event.Each, func(s *stage) {
			s.taps(event.Intact, 8)
			s.says(sorter, &event.Rejected{From: event.Bench, Reason: 1, N: 10})
		},
			[]found{{event.OnBench, 0, -2}}, func(s *stage) { s.taps(event.Intact, 9) }},
		{"holding, one size", event.Each, func(s *stage) { s.taps(event.Intact, 9); s.makes(2, 9); s.sorts(1, 3); s.sorts(2, 3); s.places(2, 5) },
			[]found{{event.Held, 2, -2}}, func(s *stage) { s.sorts(2, 3) }},
		{"holding, sizes unknown", event.Each, func(s *stage) { s.says(placer, &event.Rejected{From: event.Holding, Reason: 1, N: 2}) },
			[]found{{event.Held, 0, -2}}, func(s *stage) { s.taps(event.Intact, 9); s.sorts(1, 4) }},
		{"sites", event.Each, func(s *stage) { s.taps(event.Intact, 9); s.sorts(1, 9); s.makes(1, 3); s.places(1, 5) },
			[]found{{event.SitesOpen, 1, -2}}, func(s *stage) { s.makes(1, 9) }},
		{"placed", event.Each, func(s *stage) { s.says(placer, &event.CameBack{Zone: s.zone, Size: 3, N: 2}) },
			[]found{{event.PlacedIn, 3, -2}}, func(s *stage) { s.taps(event.Intact, 9); s.makes(3, 9); s.sorts(3, 9); s.places(3, 9) }},
		{"more usable than outcomes", event.Each, func(s *stage) { s.taps(event.Intact, 3); s.sorts(1, 5) },
			[]found{{event.OnBench, 0, -2}, {event.Beyond, 0, 2}}, func(s *stage) { s.taps(event.Intact, 9) }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, tt.mode)
			s.checkFound("before")
			tt.below(s)
			s.checkFound("below zero", tt.want...)
			tt.level(s)
			s.checkFound("above zero")
		})
	}
}

func TestACounterAgainstItsDirection(t *testing.T) {
	s := newStage(t, event.Pulled)
	s.reads(100)
	s.reads(130)
	s.checkFound("forward")
	s.reads(128)
	s.checkFound("back", found{event.Against, 0, 2})
	s.reads(140)
	s.checkFound("forward again", found{event.Against, 0, 2})
	s.says(puncher, &event.Void{Target: event.Ref{Replica: replicaOf(puncher), Seq: s.seqs[puncher] - 1, Check: s.checkOf(puncher, s.seqs[puncher]-1)}})
	s.checkFound("the wrong reading undone")
}

// checkOf is the check of a phone's event.
func (s *stage) checkOf(who byte, seq uint64) [8]byte {
	return s.state.histories[replicaOf(who)].chain[seq-1].event.Ref().Check
}

// phones are links as the server says them: the same for all, but for some.
func phones(heardMs int64, but map[byte]Link) Links {
	links := Links{}
	for who := byte(lead); who <= placer; who++ {
		links[replicaOf(who)] = Link{heardMs, true}
	}
	for who, link := range but {
		links[replicaOf(who)] = link
	}
	return links
}

func TestADifferenceWaitsForPhones(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 8)
	s.says(sorter, &event.Rejected{From: event.Bench, Reason: 1, N: 10}) // the bench is at -2 from here
	since := s.ms
	now := since + 10_000
	away := since + 5_000 - AwayAfterMs(0) // silent for longer than a phone that is here
	tests := []struct {
		name  string
		links Links
		left  []byte
		now   int64
		waits int64
	}{
		{"all are taken as heard", nil, nil, now, 0},
		{"all heard since", phones(now, nil), nil, now, 0},
		{"heard in that very moment", phones(now, map[byte]Link{puncher: {since, true}, sorter: {since, true}}), nil, now, 0},
		{"one heard before", phones(now, map[byte]Link{puncher: {since - 1, true}}), nil, now, 1},
		{"both heard before", phones(now, map[byte]Link{puncher: {since - 1, true}, sorter: {since - 1, true}}), nil, now, 2},
		{"one has something unsent", phones(now, map[byte]Link{sorter: {now, false}}), nil, now, 1},
		{"one is away", phones(now, map[byte]Link{sorter: {away, true}}), nil, now, 1},
		{"one was never heard", phones(now, map[byte]Link{sorter: {}}), nil, now, 1},
		{"no links at all", Links{}, nil, now, 2},
		{"phones of other stations", phones(now, map[byte]Link{placer: {}, siter: {}, lead: {}}), nil, now, 0},
		{"heard since, but away by now", phones(since+1, nil), nil, since + 2 + AwayAfterMs(0), 2},
		{"a clock ahead of ours", phones(since-500, nil), nil, since - 400, 0},
		{"a clock ahead of ours, one away", phones(since-500, map[byte]Link{puncher: {away - 20_000, true}}), nil, since - 400, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := s.state.View(replicaOf(lead), tt.now, tt.links).Differences
			if len(d) != 1 || d[0].What != event.OnBench || d[0].Amount != -2 || d[0].SinceMs != since {
				t.Fatalf("got %+v, want a bench of -2 since %d", d, since)
			}
			if d[0].WaitingFor != tt.waits || d[0].Open != (tt.waits == 0) {
				t.Errorf("got open %v, waiting for %d, want waiting for %d", d[0].Open, d[0].WaitingFor, tt.waits)
			}
		})
	}
}

func TestAPhoneThatLeftIsNotWaitedFor(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(puncher, &event.Left{})
	s.sorts(1, 2)
	d := s.state.View(replicaOf(lead), s.ms, phones(s.ms, map[byte]Link{puncher: {}})).Differences
	if len(d) != 2 || !d[0].Open || !d[1].Open {
		t.Errorf("got %+v, want bench and beyond, open", d)
	}
}

func TestAHandOverOpens(t *testing.T) {
	tests := []struct {
		name  string
		who   byte
		early bool // before the difference arose
		opens bool
	}{
		{"at the one station", puncher, false, true},
		{"at the other", sorter, false, true},
		{"elsewhere", placer, false, false},
		{"of the lead", lead, false, false},
		{"before it arose", sorter, true, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each)
			if tt.early {
				s.says(tt.who, &event.HandedOver{Person: "X"})
			}
			s.says(sorter, &event.Rejected{From: event.Bench, Reason: 1, N: 2})
			if !tt.early {
				s.says(tt.who, &event.HandedOver{Person: "X"})
			}
			d := s.state.View(replicaOf(lead), s.ms, phones(s.ms, map[byte]Link{puncher: {}})).Differences
			if len(d) != 1 || d[0].Open != tt.opens || d[0].WaitingFor != map[bool]int64{true: 0, false: 1}[tt.opens] {
				t.Errorf("got %+v, want open %v", d, tt.opens)
			}
		})
	}
}

func TestPendingOpensAtTheEndOfItsPass(t *testing.T) {
	s := newStage(t, event.Pulled)
	other := s.says(puncher, &event.PassBegun{Mode: event.Pulled})
	s.fires(50)
	s.taps(event.Total, 30)
	s.says(puncher, &event.Fired{Pass: other, N: 4})
	s.checkFound("while the pass runs")
	s.says(puncher, &event.PassEnded{Pass: s.pass})
	s.checkFound("at its end", found{event.Pending, 0, 20})
	d := s.state.View(replicaOf(lead), s.ms, Links{}).Differences
	if len(d) != 1 || !d[0].Open || d[0].At != s.pass {
		t.Errorf("with every phone away: got %+v, want it open at %v", d, s.pass)
	}
	s.taps(event.Empty, 20)
	s.checkFound("all pulled")
	s.says(lead, &event.Ended{})
	s.checkFound("at the close, the other pass", found{event.Pending, 0, 4})
}

func TestWhatIsLeftOpensAtTheClose(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 20)
	s.taps(event.Buried, 3)
	s.says(puncher, &event.Retrieved{From: event.Buried, Pass: s.pass, N: 2})
	s.sorts(2, 10)
	s.sorts(3, 5)
	s.makes(2, 30)
	s.places(2, 6)
	s.checkFound("while counting")
	s.says(lead, &event.Ended{})
	want := []found{{event.OnBench, 0, 7}, {event.Held, 2, 4}, {event.Held, 3, 5}, {event.LeftIn, 0, 1}} // and no open sites
	s.checkFound("at the close", want...)
	for _, d := range s.state.View(replicaOf(lead), s.ms, Links{}).Differences {
		if !d.Open || d.WaitingFor != 0 {
			t.Errorf("%s: got waiting for %d, want open whoever is away", d.What, d.WaitingFor)
		}
	}
	s.says(sorter, &event.Rejected{From: event.Bench, Reason: event.ReasonSurplus, N: 7})
	s.says(placer, &event.Rejected{From: event.Holding, Size: 2, Reason: event.ReasonSurplus, N: 4})
	s.says(placer, &event.Rejected{From: event.Holding, Size: 3, Reason: event.ReasonSurplus, N: 5})
	s.says(puncher, &event.Retrieved{From: event.Buried, Pass: s.pass, N: 1})
	s.says(sorter, &event.Rejected{From: event.Bench, Reason: event.ReasonSurplus, N: 1})
	s.checkFound("told after the close")
}

// A reject whose size nobody noted was one of the grafts in holding.
func TestNothingIsLeftWhenRejectsOfUnknownSizeAccountForIt(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Intact, 3)
	s.sorts(2, 3)
	s.says(placer, &event.Rejected{From: event.Holding, Reason: event.ReasonLost, N: 3})
	s.says(lead, &event.Ended{})
	if got := s.state.View(replicaOf(lead), s.ms, nil).Ledger.HoldingTotal; got != 0 {
		t.Fatalf("got %d in holding, want 0", got)
	}
	s.checkFound("at the close")
}

func TestAStationThatDoesNotCountIsNotChecked(t *testing.T) {
	all := func(s *stage) {
		s.taps(event.Intact, 1)
		s.taps(event.Buried, 1)
		s.sorts(1, 3)
		s.places(2, 5)
		s.says(placer, &event.CameBack{Zone: s.zone, Size: 3, N: 1})
		s.says(puncher, &event.Retrieved{From: event.Buried, Pass: s.pass, N: 2})
	}
	tests := []struct {
		name     string
		counting []event.Station
		want     []found
	}{
		{"all", nil, []found{{event.LeftIn, 0, -1}, {event.Beyond, 0, 2}, {event.Held, 2, -5}, {event.SitesOpen, 2, -5}, {event.PlacedIn, 3, -1}}},
		{"extraction", []event.Station{event.Extraction}, []found{{event.LeftIn, 0, -1}}},
		{"sorting", []event.Station{event.Sorting}, nil},
		{"extraction and sorting", []event.Station{event.Extraction, event.Sorting}, []found{{event.LeftIn, 0, -1}, {event.Beyond, 0, 2}}},
		{"sorting and placing", []event.Station{event.Sorting, event.Placing}, []found{{event.Held, 2, -5}, {event.PlacedIn, 3, -1}}},
		{"sites and placing", []event.Station{event.SiteMaking, event.Placing}, []found{{event.SitesOpen, 2, -5}, {event.PlacedIn, 3, -1}}},
		{"placing", []event.Station{event.Placing}, []found{{event.PlacedIn, 3, -1}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each, tt.counting...)
			all(s)
			s.checkFound("below zero", tt.want...)
		})
	}
}
