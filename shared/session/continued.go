package session

import (
	"slices"

	"rootledger/shared/budget"
	"rootledger/shared/donor"
	"rootledger/shared/event"
	"rootledger/shared/plan"
)

// Continued is what another day of a case starts from: the plan that this
// session leaves. What was attempted here is harvested there, what was placed
// here is needed there no more, and grafts that were out and not placed are not
// kept overnight. A zone with nothing left to place is left out, and so is one
// where that is too little for a density. (Arithmetic;
// what is planned for the other day is the lead's.)
type Continued struct {
	Regions  []ContinuedRegion `json:"regions"`
	Zones    []ContinuedZone   `json:"zones"`
	Budget   int64             `json:"budget"`   // grafts: the budget less what was placed, as far as need and donor allow; 0 for none
	Dropped  int64             `json:"dropped"`  // grafts of the budget left that they do not allow
	TooFew   int64             `json:"tooFew"`   // grafts left in zones where they are fewer than the least density
	Out      int64             `json:"out"`      // grafts that are out and not placed
	Punched  int64             `json:"punched"`  // attempts here, in all
	Nowhere  int64             `json:"nowhere"`  // of them, those that name no region: no region has them
	Placed   int64             `json:"placed"`   // grafts, in all
	YieldPM  int64             `json:"yieldPM"`  // planned yield in per mille, 0 where none was set
	FloorX10 int64             `json:"floorX10"` // residual density floor in hairs per cm² × 10, 0 for none
	Blind    []event.Station   `json:"blind"`    // extraction or placing where they did not count here: what they did is not in it
}

// ContinuedRegion is a donor region for the other day, in the terms of
// event.Region; its density is native, rounded down.
type ContinuedRegion struct {
	Code            string `json:"code"`
	Name            string `json:"name"`
	AreaMM2         int64  `json:"areaMm2"`
	Density10       int64  `json:"density10"`
	SharePerMille   int64  `json:"sharePerMille"`
	Harvested       int64  `json:"harvested"` // before this session and in it
	HairsPerUnit100 int64  `json:"hairsPerUnit100"`
}

// ContinuedZone is a recipient zone for the other day, in the terms of
// event.Zone: the density that what is left to place has in the zone, rounded
// down, and its mix.
type ContinuedZone struct {
	Name      string              `json:"name"`
	AreaMM2   int64               `json:"areaMm2"`
	Density10 int64               `json:"density10"`
	Mix       [event.Sizes]uint16 `json:"mixPerMille"`
	Left      event.BySize        `json:"left"` // grafts
	LeftTotal int64               `json:"leftTotal"`
}

// Continued works out what another day starts from.
func (s *State) Continued() Continued {
	v := s.View(event.ReplicaID{}, 0, nil)
	c := Continued{Regions: []ContinuedRegion{}, Zones: []ContinuedZone{}, Blind: []event.Station{},
		Nowhere: v.Ledger.PunchedNowhere, Punched: v.Ledger.PunchedNowhere, Placed: v.Ledger.PlacedTotal,
		Out:      v.Ledger.Bench + v.Ledger.HoldingTotal,
		FloorX10: v.Ledger.FloorHairs10}
	if len(s.budgets.YieldHeads()) > 0 {
		c.YieldPM = s.budgets.YieldPerMille()
	}
	var capacity, need int64
	for i := range v.Regions {
		r := &v.Regions[i]
		f := event.Region{AreaMM2: uint32(r.AreaMM2), Density10: uint32(r.Density10), Today: r.Today, Harvested: uint32(r.Harvested), SharePerMille: uint32(r.SharePerMille)}
		f.Density10, f.Today = uint32(donor.Native(&f)/r.AreaMM2), false
		f.Harvested += uint32(max(0, r.Punched))
		c.Regions = append(c.Regions, ContinuedRegion{r.Code, r.Name, r.AreaMM2, int64(f.Density10), r.SharePerMille, int64(f.Harvested), r.HairsPerUnit100})
		c.Punched += r.Punched
		capacity += max(0, donor.Capacity(&f))
	}
	for i := range v.Zones {
		z := &v.Zones[i]
		left := restOf(z)
		if left.Density10 == 0 {
			c.TooFew += left.LeftTotal
			continue
		}
		c.Zones = append(c.Zones, left)
		need += plan.Need(&event.Zone{AreaMM2: uint32(z.AreaMM2), Density10: uint32(left.Density10)})
	}
	if v.Headline.BudgetKnown {
		left := max(0, v.Headline.Budget-c.Placed)
		c.Budget = left
		capacity = max(0, capacity-c.Nowhere)
		if limit := budget.LimitOf(need, len(v.Zones) > 0, capacity, len(v.Regions) > 0, s.budgets.YieldPerMille()); limit.By != budget.StopsUnknown {
			c.Budget = min(left, limit.Grafts)
		}
		c.Dropped = left - c.Budget
	}
	for _, s := range []event.Station{event.Extraction, event.Placing} {
		if !slices.Contains(v.Session.Stations, s) {
			c.Blind = append(c.Blind, s)
		}
	}
	return c
}

// restOf is what a zone still needs. Where one size was placed for another, what
// is left in all is shared out among the sizes that are short.
func restOf(z *Zone) ContinuedZone {
	left := ContinuedZone{Name: z.Name, AreaMM2: z.AreaMM2}
	for size := range left.Left {
		left.Left[size] = max(0, z.Need[size]-z.Placed[size])
	}
	left.Mix = plan.Mix(left.Left)
	if left.Left.Total() > z.ToPlace {
		left.Left = plan.BySize(z.ToPlace, left.Mix)
	}
	left.LeftTotal = left.Left.Total()
	left.Density10 = left.LeftTotal * 1000 / z.AreaMM2
	return left
}
