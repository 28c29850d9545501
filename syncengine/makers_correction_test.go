package syncengine

import (
	"rootledger/shared/event"
)

// permitted is a fact that m may record now, else nil.
func permitted[F event.Fact](m *member, fact F) event.Fact {
	if m.State().Check(m.Me().Replica, fact) != nil {
		return nil
	}
	return fact
}

// dish picks a dish that m knows, or none.
func (d *day) dish(m *member) event.Ref {
	if d.pick(2) == 0 {
		return event.Ref{}
	}
	return d.known(m, d.dishes)
}

func makeDish(d *day, m *member) event.Fact {
	if len(d.dishes) >= 5 {
		return nil
	}
	label := []string{"1", "2", "7-b"}[d.pick(3)] // two that are opened apart may share one
	return permitted(m, &event.Dish{Label: label, Size: event.Size(d.pick(event.Sizes + 1))})
}

func makeDishDone(d *day, m *member) event.Fact {
	f := &event.DishDone{Dish: d.known(m, d.dishes), Zone: d.known(m, d.zones)}
	if f.Dish.IsZero() {
		return makeDish(d, m)
	}
	few := func() uint32 { return uint32(max(0, d.pick(9)-4)) }
	for i := range event.Sizes {
		f.Returned[i], f.Rejected[i] = few(), few()
		if !f.Zone.IsZero() {
			f.Placed[i] = few()
		}
		if f.Rejected[i] > 0 {
			f.Reason = event.ReasonDried
		}
	}
	return f
}

func makeDishClosed(d *day, m *member) event.Fact {
	dish := d.known(m, d.dishes)
	if dish.IsZero() || d.pick(3) > 0 {
		return nil
	}
	return &event.DishClosed{Dish: dish}
}

func makeRecount(d *day, m *member) event.Fact {
	f := &event.Recount{Of: event.Stock(1 + d.pick(3)), N: uint32(d.pick(60))}
	switch f.Of {
	case event.Holding:
		f.Dish, f.Size = d.dish(m), event.Size(d.pick(event.Sizes+1))
	case event.OpenSites:
		f.Zone, f.Size = d.known(m, d.zones), event.Size(d.pick(event.Sizes+1))
		if f.Zone.IsZero() {
			return nil
		}
	}
	return permitted(m, f)
}

// makeRefiled moves one to three entries within m's reach, and sets what the
// first of them has.
func makeRefiled(d *day, m *member) event.Fact {
	f := &event.Refiled{}
	reach := append(d.reach(m, false), d.reach(m, true)...)
	for range 1 + d.pick(3) {
		if target := d.known(m, reach); !target.IsZero() {
			f.Targets = append(f.Targets, target)
		}
	}
	if len(f.Targets) == 0 {
		return nil
	}
	d.fileAnywhere(m, f)
	if f.Sets == 0 {
		return nil
	}
	return permitted(m, f)
}

// fileAnywhere has a refile set some fields that its first target has.
func (d *day) fileAnywhere(m *member, f *event.Refiled) {
	bits := []event.Filed{event.FiledPass, event.FiledRegion, event.FiledZone, event.FiledDish, event.FiledSize, event.FiledSetup}
	places := event.Refiled{Pass: d.known(m, d.passes), Region: d.known(m, d.regions), Zone: d.known(m, d.zones), Dish: d.dish(m), Size: d.size(), Setup: d.known(m, d.setups)}
	if d.pick(4) == 0 {
		places.Region = event.Ref{} // takes it away
	}
	for _, bit := range bits {
		one := places
		one.Sets, one.Targets = bit, f.Targets[:1]
		target := m.State().Find(f.Targets[0])
		if target == nil || !one.Fits(countOf(target.Fact)) || d.pick(3) == 0 {
			continue
		}
		d.fileOne(f, &places, bit)
	}
}

// fileOne sets one field of a refile, where there is such a place.
func (d *day) fileOne(f, places *event.Refiled, bit event.Filed) {
	switch bit {
	case event.FiledPass:
		if places.Pass.IsZero() {
			return
		}
		f.Pass = places.Pass
	case event.FiledRegion:
		f.Region = places.Region
	case event.FiledZone:
		if places.Zone.IsZero() {
			return
		}
		f.Zone = places.Zone
	case event.FiledDish:
		f.Dish = places.Dish
	case event.FiledSize:
		f.Size = places.Size
	case event.FiledSetup:
		f.Setup = places.Setup
	}
	f.Sets |= bit
}

// countOf is what an opening count stands for, and any other fact itself.
func countOf(fact event.Fact) event.Fact {
	if f, ok := fact.(*event.OpeningCount); ok {
		return f.Count()
	}
	return fact
}

// makeSettled settles what the lead is asked to settle, or something else.
func makeSettled(d *day, m *member) event.Fact {
	if m.State().Station(m.Me().Replica) != event.Lead {
		return nil
	}
	if d.pick(3) > 0 {
		for _, one := range m.View(d.ms, nil).Differences {
			if one.Settle != 0 && !one.RecountFirst && d.pick(2) == 0 {
				return &event.Settled{What: one.What, At: one.At, Size: one.Size, Amount: one.Settle, Reason: "counted again"}
			}
		}
	}
	f := &event.Settled{What: event.Identity(1 + d.pick(11)), Amount: int64(d.n()) - 10, Reason: "looked everywhere"}
	switch f.What {
	case event.Pending, event.Against, event.Counter:
		f.At = d.known(m, d.passes)
	case event.SitesOpen:
		f.At = d.known(m, d.zones)
	case event.InDish:
		f.At = d.known(m, d.dishes)
	}
	switch f.What {
	case event.Pending, event.LeftIn:
		f.Amount = -int64(d.n())
	case event.Held, event.SitesOpen, event.InDish:
		f.Size = event.Size(d.pick(event.Sizes + 1))
	}
	if f.What == event.Pending {
		f.Region = d.known(m, d.regions)
	}
	if f.Validate() != nil {
		return nil
	}
	return permitted(m, f)
}

func makeOpening(d *day, m *member) event.Fact {
	kinds := []event.Kind{event.KindFired, event.KindAttempt, event.KindSorted, event.KindRejected, event.KindSites, event.KindPlaced}
	f := &event.OpeningCount{Of: kinds[d.pick(len(kinds))], N: 10 * d.n()}
	switch f.Of {
	case event.KindFired:
		f.Pass, f.Region, _ = d.place(m)
	case event.KindAttempt:
		f.Pass, f.Region, _ = d.place(m)
		f.Outcome = event.Outcome(1 + d.pick(event.Outcomes))
	case event.KindSorted:
		f.Size = d.size()
	case event.KindSites, event.KindPlaced:
		f.Zone, f.Size = d.known(m, d.zones), d.size()
	}
	if f.Validate() != nil {
		return nil // no pass or zone yet
	}
	return f
}

// refileApart lets a lead and an entry's author move it without hearing of each
// other, so that fields of both count.
func (d *day) refileApart() {
	for _, m := range d.crew[:2] {
		for range 3 {
			if fact := makeRefiled(d, m); fact != nil {
				d.record(m, fact)
			}
		}
	}
}
