package scenes

import (
	"rootledger/shared/event"
	"rootledger/tests/e2e/rig"
)

// crowded is how far a day has come: what is out, sorted, made and placed.
type crowded struct {
	outcomes [event.Outcomes]uint32 // in the order of event.Outcome
	sorted   [event.Sizes]uint32
	rejected uint32
	sites    [event.Sizes]uint32 // in each of three zones
	placed   [event.Sizes]uint32 // in the first zone, half of it in the second
}

// busy is a day some hours old: the need stops first, and nothing asks.
var busy = crowded{
	outcomes: [...]uint32{1196, 61, 22, 9, 4, 6},
	sorted:   [...]uint32{288, 470, 292, 61},
	rejected: 17,
	sites:    [...]uint32{160, 170, 90, 10},
	placed:   [...]uint32{150, 140, 60, 4},
}

// crowd plays a day's counts by Go phones, in a session that is planned: a pass
// of each mode, and every station at work.
func crowd(r *rig.Rig, c crowded) error {
	if err := facts(r, "Ash", event.Extraction,
		&event.PassBegun{Mode: event.Each, DiameterUM: 900},
		&event.PassBegun{Mode: event.Pulled, DiameterUM: 850, Operator: "Elder"},
		&event.PassBegun{Mode: event.ByException, DiameterUM: 950},
	); err != nil {
		return err
	}
	var out []event.Fact
	regions := []event.Ref{r.Names["SL"], r.Names["BL"], r.Names["BR"], r.Names["SR"]}
	const rounds = 10 // as on a day: cut ones come among the others, and nothing asks for a look at them
	for round := uint32(1); round <= rounds; round++ {
		for j, region := range regions { // the back gives more
			for i, n := range c.outcomes {
				part := n * [...]uint32{2, 3, 3, 2}[j] / 10
				if j == 0 {
					part = n - n*3/10*2 - n*2/10
				}
				if part = part*round/rounds - part*(round-1)/rounds; part > 0 {
					out = append(out, &event.Attempt{Pass: r.Names["each"], Region: region, Outcome: event.Outcome(i + 1), N: part})
				}
			}
		}
	}
	if err := facts(r, "Hazel", event.Extraction, out...); err != nil {
		return err
	}
	return crowdHands(r, c)
}

func crowdHands(r *rig.Rig, c crowded) error {
	var sorted, made, placed []event.Fact
	zones := []event.Ref{r.Names["Front"], r.Names["Middle"], r.Names["Crown"]}
	for i := range event.Sizes {
		size := event.Size(i + 1)
		if c.sorted[i] > 0 {
			sorted = append(sorted, &event.Sorted{Size: size, N: c.sorted[i]})
		}
		for j, zone := range zones {
			if n := c.sites[i] >> j; n > 0 && !zone.IsZero() {
				made = append(made, &event.Sites{Zone: zone, Size: size, N: n})
			}
			if n := c.placed[i] >> j; n > 0 && j < 2 && !zone.IsZero() {
				placed = append(placed, &event.Placed{Zone: zone, Size: size, N: n})
			}
		}
	}
	if c.rejected > 0 {
		sorted = append(sorted, &event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: c.rejected})
	}
	if err := facts(r, "Cedar", event.Sorting, sorted...); err != nil {
		return err
	}
	if err := facts(r, "Rowan", event.SiteMaking, made...); err != nil {
		return err
	}
	return facts(r, "Linden", event.Placing, placed...)
}
