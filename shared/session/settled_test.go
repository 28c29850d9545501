package session

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Readings of a pass that is counted each are a second tally: ahead of the taps
// they open at once, behind them only when the pass ends.
func TestACounterBesideTaps(t *testing.T) {
	s := newStage(t, event.Each)
	s.reads(100)
	s.checkFound("a baseline")
	s.taps(event.Total, 10)
	s.reads(104)
	s.checkFound("behind, while the pass runs")
	s.reads(116)
	s.checkFound("ahead", found{event.Counter, 0, -6})
	waits := s.state.View(replicaOf(lead), s.ms, phones(s.ms, map[byte]Link{puncher: {}})).Differences
	if len(waits) != 1 || waits[0].Open || waits[0].WaitingFor != 1 || waits[0].Settle != 6 || waits[0].RecountFirst {
		t.Errorf("with the phone away: got %+v, want it to wait for one, settled by 6", waits)
	}
	if got := s.state.View(replicaOf(lead), s.ms, nil).Ledger.Attempts.Punched; got != 10 {
		t.Errorf("got %d punched, want the 10 tapped", got)
	}
	s.taps(event.Total, 8)
	s.checkFound("behind again")
	s.says(puncher, &event.PassEnded{Pass: s.pass})
	s.checkFound("at the pass's end", found{event.Counter, 0, 2})
	waits = s.state.View(replicaOf(lead), s.ms, phones(s.ms, map[byte]Link{puncher: {}})).Differences
	if len(waits) != 1 || !waits[0].Open {
		t.Errorf("at the pass's end, with the phone away: got %+v, want it open", waits)
	}
	s.settles(event.Counter, s.pass, 0, -2)
	s.checkFound("settled")
}

// What was settled counts in whether a counter is ahead: five more than the taps
// were written off, and the taps came after all.
func TestACounterSettledTooFar(t *testing.T) {
	s := newStage(t, event.Each)
	s.reads(100)
	s.reads(105)
	s.checkFound("ahead", found{event.Counter, 0, -5})
	s.settles(event.Counter, s.pass, 0, 5)
	s.checkFound("settled")
	s.reads(108)
	s.checkFound("ahead by three more", found{event.Counter, 0, -3})
	s.taps(event.Total, 9)
	s.checkFound("taps ahead by what was settled, while the pass runs")
	s.says(puncher, &event.PassEnded{Pass: s.pass})
	s.checkFound("at its end", found{event.Counter, 0, 6}) // 9 − 8 + 5
}

func TestASettledCounterGoesOnBeingHeld(t *testing.T) {
	s := newStage(t, event.Each)
	s.reads(100)
	s.reads(110)
	s.taps(event.Total, 12)
	s.settles(event.Counter, s.pass, 0, -5) // by a lead who miscounted: 2 were too many
	s.checkFound("ahead by what was settled too much", found{event.Counter, 0, -3})
}

// Shots in the air come off what was punched, of the region that they name.
func TestShotsInTheAir(t *testing.T) {
	tests := []struct {
		name            string
		mode            event.Mode
		intact, pending int64
		bench           int64
	}{
		{"pulled", event.Pulled, 0, 34, 0}, // 60 − 20 − 6
		{"by exception", event.ByException, 34, 0, 34},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, tt.mode)
			left := s.says(lead, &event.Region{Code: "L", Name: "left", AreaMM2: 2000, Density10: 700, SharePerMille: 300})
			s.says(puncher, &event.Fired{Pass: s.pass, Region: left, N: 60})
			s.taps(event.Total, 20)
			air := &event.Settled{What: event.Pending, At: s.pass, Region: left, Amount: -6, Reason: "fired in the air"}
			if err := s.state.Check(replicaOf(lead), air); err != nil {
				t.Fatalf("without a recount: got %v, want none", err)
			}
			settled := s.says(lead, air)
			v := s.state.View(replicaOf(lead), s.ms, nil)
			a := v.Ledger.Attempts
			if a.Punched != 54 || a.Outcomes[0] != tt.intact || a.Pending != tt.pending || v.Ledger.Bench != tt.bench || v.Regions[0].Punched != 54 {
				t.Errorf("got punched %d (%d left), intact %d, pending %d, bench %d, want 54 (54), %d, %d, %d",
					a.Punched, v.Regions[0].Punched, a.Outcomes[0], a.Pending, v.Ledger.Bench, tt.intact, tt.pending, tt.bench)
			}
			s.voids(settled)
			if got := s.state.View(replicaOf(lead), s.ms, nil).Ledger.Attempts.Punched; got != 60 {
				t.Errorf("undone: got %d punched, want 60", got)
			}
		})
	}
}

func TestBuriedDeclaredLeft(t *testing.T) {
	s := newStage(t, event.Each)
	s.taps(event.Buried, 3)
	s.says(lead, &event.Ended{})
	s.checkFound("at the close", found{event.LeftIn, 0, 3})
	s.settles(event.LeftIn, event.Ref{}, 0, -3)
	s.checkFound("declared left")
	v := s.state.View(replicaOf(lead), s.ms, nil)
	if v.Ledger.BuriedOpen != 0 || v.Ledger.Out != 0 || v.Ledger.Attempts.Outcomes[event.Buried-1] != 3 {
		t.Errorf("got %d open, %d out, %v, want 0, 0, three buried as before", v.Ledger.BuriedOpen, v.Ledger.Out, v.Ledger.Attempts.Outcomes)
	}
}

func TestSettlingIsRefusedInWords(t *testing.T) {
	s, _, _ := short(t)
	dish := s.says(sorter, &event.Dish{Label: "1"})
	tests := []struct {
		name string
		by   byte
		fact *event.Settled
		want fault.Code
	}{
		{"the holding, counted again", lead, &event.Settled{What: event.Held, Size: 2, Amount: -2}, ""},
		{"by no lead", sorter, &event.Settled{What: event.Held, Size: 2, Amount: -2}, "settle-lead"},
		{"another size", lead, &event.Settled{What: event.Held, Size: 3, Amount: -2}, "recount-first"},
		{"all sizes", lead, &event.Settled{What: event.Held, Amount: -2}, "recount-first"},
		{"the bench", lead, &event.Settled{What: event.OnBench, Amount: -2}, "recount-first"},
		{"open sites", lead, &event.Settled{What: event.SitesOpen, At: s.zone, Size: 1, Amount: -2}, "recount-first"},
		{"a dish", lead, &event.Settled{What: event.InDish, At: dish, Size: 2, Amount: -2}, "recount-first"},
		{"more than is apart", lead, &event.Settled{What: event.Held, Size: 2, Amount: -3}, "settle-beyond"},
		{"the other way", lead, &event.Settled{What: event.Held, Size: 2, Amount: 2}, "settle-beyond"},
		{"shots in the air of a pass without shots", lead, &event.Settled{What: event.Pending, At: s.pass, Amount: -2}, "settle-beyond"},
		{"left, and nothing is buried", lead, &event.Settled{What: event.LeftIn, Amount: -2}, "settle-beyond"},
		{"a pass that is not here", lead, &event.Settled{What: event.Pending, At: dish, Amount: -2}, "pass-missing"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := s.state.Check(replicaOf(tt.by), tt.fact)
			if tt.want == "" && err != nil || tt.want != "" && !fault.Is(err, tt.want) {
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
}
