package main

import (
	"errors"
	"fmt"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/tests/e2e/rig"
)

// dayHand is a phone that taps through the day, one after the other.
type dayHand struct {
	person  string
	station event.Station
	from    time.Duration // before now
	taps    int
	fact    func(i int) event.Fact
}

// fullDay opens room 1 with a day that began five hours ago, of 6,000 events:
// three zones, all sizes, singles that will be short, and a region past its
// share. It returns the phones, which go on.
func fullDay(r *rig.Rig) (phones []*practice.Phone, err error) {
	r.Ago(5 * time.Hour)
	plan := []event.Fact{&event.Budget{Grafts: 2400}, &event.Floor{HairsPerCM2x10: 1050}}
	for _, fact := range rig.Plan(2400) {
		if region, is := fact.(*event.Region); is && region.Code == "BL" {
			region.AreaMM2 = 2500
		}
		plan = append(plan, fact)
	}
	if err := r.OpenWith(r.Opening("bench"), plan...); err != nil {
		return nil, err
	}
	if err := r.Do(r.Office, &event.PassBegun{Mode: event.Each, DiameterUM: 900}); err != nil {
		return nil, err
	}
	hands := dayHands(r)
	for _, h := range hands {
		p, err := r.Join(h.person, h.station)
		if err != nil {
			return nil, err
		}
		p.Away(true) // what it taps was long ago, and its clock must not be asked for
		phones = append(phones, p)
	}
	for i, h := range hands {
		for n := range h.taps {
			r.Ago(h.from - h.from*time.Duration(n)/time.Duration(h.taps))
			if _, err := phones[i].Tap(h.fact(n), false); err != nil {
				return nil, fmt.Errorf("%s: %w", h.person, err)
			}
		}
	}
	r.Ago(0)
	for _, p := range phones {
		p.Away(false)
		err = errors.Join(err, r.Within(p.InRoom))
	}
	return phones, err
}

func dayHands(r *rig.Rig) []dayHand {
	regions := []event.Ref{r.Names["BL"], r.Names["BR"], r.Names["SL"], r.Names["SR"]}
	zones := []event.Ref{r.Names["Front"], r.Names["Middle"], r.Names["Crown"]}
	sizes := []event.Size{2, 1, 2, 3, 2, 2, 1, 3, 2, 4}
	return []dayHand{
		{"Hazel", event.Extraction, 290 * time.Minute, 2000, func(i int) event.Fact {
			outcome := event.Intact
			if i%25 == 24 {
				outcome = event.Partial
			}
			return &event.Attempt{Pass: r.Names["each"], Region: regions[i%len(regions)], Outcome: outcome, N: 1}
		}},
		{"Cedar", event.Sorting, 280 * time.Minute, 1800, func(i int) event.Fact { return &event.Sorted{Size: sizes[i%10], N: 1} }},
		{"Rowan", event.SiteMaking, 270 * time.Minute, 900, func(i int) event.Fact {
			return &event.Sites{Zone: zones[i%3], Size: sizes[i%10], N: 2}
		}},
		{"Linden", event.Placing, 200 * time.Minute, 1300, func(i int) event.Fact {
			return &event.Placed{Zone: zones[i%3], Size: sizes[i%10], N: 1}
		}},
	}
}
