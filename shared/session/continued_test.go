package session

import (
	"slices"
	"testing"

	"rootledger/shared/donor"
	"rootledger/shared/event"
	"rootledger/shared/plan"
)

// A first day by hand: 300 needed in Front (200 singles, 100 doubles), 260
// placed of them; 90 of 400 native units in the one region.
func TestContinued(t *testing.T) {
	s := newStage(t, event.Each)
	s.says(lead, &event.Zone{Of: s.zone, Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{667, 333}, Supersedes: []event.Ref{s.zone}})
	crown := s.says(lead, &event.Zone{Name: "Crown", AreaMM2: 2000, Density10: 50, Mix: [event.Sizes]uint16{0, 1000}}) // 100
	region := s.says(lead, &event.Region{Code: "BL", Name: "Back left", AreaMM2: 500, Density10: 700, Today: true, SharePerMille: 300, Harvested: 50, HairsPerUnit100: 210})
	s.says(lead, &event.Budget{Grafts: 380})
	s.says(lead, &event.Yield{PerMille: 900})
	s.says(puncher, &event.Attempt{Pass: s.pass, Region: region, Outcome: event.Intact, N: 40})
	s.taps(event.Empty, 15) // of no region
	s.places(1, 180)
	s.places(2, 80)
	s.says(placer, &event.Placed{Zone: crown, Size: 2, N: 101})
	c := s.state.Continued()
	if len(c.Regions) != 1 || len(c.Zones) != 1 {
		t.Fatalf("got %d regions and %d zones, want 1 and 1 (Crown is done): %+v", len(c.Regions), len(c.Zones), c)
	}
	// native: 5 cm² × 70 + 50 = 400 units, 80.0 per cm²; 50 + 40 are taken
	if r, want := c.Regions[0], (ContinuedRegion{"BL", "Back left", 500, 800, 300, 90, 210}); r != want {
		t.Errorf("region: got %+v, want %+v", r, want)
	}
	z := c.Zones[0]
	if want := (event.BySize{20, 20}); z.Left != want || z.LeftTotal != 40 || z.Density10 != 40 || z.Mix != [event.Sizes]uint16{500, 500} {
		t.Errorf("zone: got %+v, want 20 + 20 left, 4.0 per cm², half and half", z)
	}
	// 380 − 361 placed = 19; the donor allows (30 − 15) attempts × 0.9 = 13, the need 40
	if c.Budget != 13 || c.Dropped != 6 || c.Placed != 361 || c.Punched != 55 || c.Nowhere != 15 || c.YieldPM != 900 || len(c.Blind) != 0 {
		t.Errorf("got %+v", c)
	}
}

func TestContinuedBudgetIsHeldToNeedAndDonor(t *testing.T) {
	s := newStage(t, event.Each) // Front needs 300
	s.says(lead, &event.Region{Code: "BL", Name: "Back left", AreaMM2: 500, Density10: 800, SharePerMille: 250})
	s.says(lead, &event.Yield{PerMille: 900})
	s.says(lead, &event.Budget{Grafts: 300, Reason: "as agreed"})
	if c := s.state.Continued(); c.Budget != 90 || c.Dropped != 210 { // 100 attempts × 0.9
		t.Errorf("donor: got %d and %d dropped, want 90 and 210", c.Budget, c.Dropped)
	}
	bare := newStage(t, event.Each)
	bare.says(lead, &event.Budget{Grafts: 500, Reason: "as agreed"})
	bare.places(1, 100)
	if c := bare.state.Continued(); c.Budget != 200 || c.Dropped != 200 {
		t.Errorf("need: got %d and %d dropped, want 200 and 200", c.Budget, c.Dropped)
	}
	blind := newStage(t, event.Each, event.Sorting)
	if c := blind.state.Continued(); !slices.Equal(c.Blind, []event.Station{event.Extraction, event.Placing}) || c.Budget != 0 {
		t.Errorf("got %+v, want extraction and placing blind, no budget", c)
	}
}

// Whatever was placed, the other day never needs more than what is left, misses
// it by less than one step of the density, and its plan is one that the engine takes.
func TestContinuedNeverNeedsMoreThanIsLeft(t *testing.T) {
	for _, placed := range []uint32{0, 1, 7, 150, 298, 299} {
		s := newStage(t, event.Each)
		if placed > 0 {
			s.places(1, placed)
		}
		c := s.state.Continued()
		for _, z := range c.Zones {
			f := event.Zone{Name: z.Name, AreaMM2: uint32(z.AreaMM2), Density10: uint32(z.Density10), Mix: z.Mix}
			if need := plan.Need(&f); need > z.LeftTotal || need <= z.LeftTotal-(z.AreaMM2+999)/1000 {
				t.Errorf("%d placed: needs %d of %d left", placed, need, z.LeftTotal)
			}
			if err := f.Validate(); err != nil {
				t.Errorf("%d placed: %v", placed, err)
			}
		}
	}
}

// Doubles placed for singles are not asked for again, and what no density can
// say is told.
func TestContinuedZones(t *testing.T) {
	mixed := [event.Sizes]uint16{500, 300, 200}
	tests := []struct {
		name   string
		area   uint32 // mm², at 30 per cm²
		mix    [event.Sizes]uint16
		placed event.BySize
		left   event.BySize
		tooFew int64
	}{
		{"all of the other size", 1000, [event.Sizes]uint16{1000}, event.BySize{0, 300}, event.BySize{}, 0},
		{"more of the other size", 1000, [event.Sizes]uint16{1000}, event.BySize{100, 260}, event.BySize{}, 0},
		{"some of the other size", 1000, mixed, event.BySize{0, 190, 20}, event.BySize{71, 0, 19}, 0}, // short: 150 + 40, and 90 left
		{"fewer than a tenth per cm²", 20_000, [event.Sizes]uint16{1000}, event.BySize{5981}, event.BySize{}, 19},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newStage(t, event.Each)
			s.says(lead, &event.Zone{Of: s.zone, Name: "Front", AreaMM2: tt.area, Density10: 300, Mix: tt.mix, Supersedes: []event.Ref{s.zone}})
			for size, n := range tt.placed {
				for ; n > 0; n -= min(n, 500) {
					s.places(event.Size(size+1), uint32(min(n, 500)))
				}
			}
			c := s.state.Continued()
			var got event.BySize
			for _, z := range c.Zones {
				got = z.Left
			}
			if got != tt.left || c.TooFew != tt.tooFew || (len(c.Zones) == 0) != (tt.left.Total() == 0) {
				t.Errorf("got %v left and %d too few in %d zones, want %v and %d", got, c.TooFew, len(c.Zones), tt.left, tt.tooFew)
			}
		})
	}
}

// What is left to take from a region does not change overnight.
func TestContinuedRegionKeepsItsCapacity(t *testing.T) {
	for _, today := range []bool{false, true} {
		s := newStage(t, event.Each)
		region := s.says(lead, &event.Region{Code: "BL", Name: "Back left", AreaMM2: 700, Density10: 700, Today: today, SharePerMille: 400, Harvested: 35})
		s.says(puncher, &event.Attempt{Pass: s.pass, Region: region, Outcome: event.Intact, N: 60})
		left := s.view().Regions[0].Left
		r := s.state.Continued().Regions[0]
		f := event.Region{Code: r.Code, Name: r.Name, AreaMM2: uint32(r.AreaMM2), Density10: uint32(r.Density10), SharePerMille: uint32(r.SharePerMille), Harvested: uint32(r.Harvested)}
		if got := donor.Capacity(&f); got > left || got < left-1 { // the density is rounded down
			t.Errorf("today's density %v: %d left, and %d on the other day", today, left, got)
		}
		if err := f.Validate(); err != nil {
			t.Error(err)
		}
	}
}
