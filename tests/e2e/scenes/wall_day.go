package scenes

import (
	"errors"
	"fmt"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/tests/e2e/rig"
)

// hand is a phone that goes on counting through a day: what it taps at a time.
type hand struct {
	person  string
	station event.Station
	taps    []event.Fact // every ten minutes the same
	since   time.Duration
}

// paced opens a room whose day began hours ago and goes on till now, by hands
// that tap every ten minutes. What is said last is said now, by the office.
func paced(r *rig.Rig, code string, plan []event.Fact, hands func() []hand, last ...event.Fact) error {
	r.Ago(4 * time.Hour)
	if err := r.OpenWith(r.Opening(code), plan...); err != nil {
		return err
	}
	if err := r.Do(r.Office, &event.PassBegun{Mode: event.Each, DiameterUM: 900}); err != nil {
		return err
	}
	if err := r.Within(r.Office.InRoom); err != nil {
		return err
	}
	all := hands()
	phones := make([]*practice.Phone, len(all))
	for i, h := range all {
		var err error
		if phones[i], err = r.Join(h.person, h.station); err != nil {
			return err
		}
	}
	for ago := 150 * time.Minute; ago > 0; ago -= 10 * time.Minute {
		r.Ago(ago)
		for i, h := range all {
			if ago > h.since {
				continue
			}
			for _, fact := range h.taps {
				if err := r.Do(phones[i], fact); err != nil {
					return fmt.Errorf("%s: %w", h.person, err)
				}
			}
		}
	}
	r.Ago(0)
	var failed []error
	for _, p := range phones {
		failed = append(failed, r.Within(p.InRoom))
	}
	for _, fact := range last {
		failed = append(failed, r.Do(r.Office, fact))
	}
	return errors.Join(append(failed, r.Within(r.Office.InRoom))...)
}

// usual are four hands: taking is fast enough, and placing goes on longest.
func usual(r *rig.Rig, singles, doubles uint32) func() []hand {
	return func() []hand {
		at := func(code string, n uint32) event.Fact {
			return &event.Attempt{Pass: r.Names["each"], Region: r.Names[code], Outcome: event.Intact, N: n}
		}
		put := func(zone string, size event.Size, n uint32) []event.Fact {
			return []event.Fact{&event.Sites{Zone: r.Names[zone], Size: size, N: n}}
		}
		made := append(append(put("Front", 1, 15), put("Front", 2, 14)...), put("Middle", 2, 26)...)
		return []hand{
			{"Hazel", event.Extraction, []event.Fact{at("BL", 30), at("BR", 30), at("SR", 14), at("SL", 13), &event.Attempt{Pass: r.Names["each"], Region: r.Names["BR"], Outcome: event.Partial, N: 3}}, 150 * time.Minute},
			{"Cedar", event.Sorting, []event.Fact{&event.Sorted{Size: 1, N: singles}, &event.Sorted{Size: 2, N: doubles}, &event.Sorted{Size: 3, N: 19},
				&event.Sorted{Size: 4, N: 2}, &event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: 1}}, 140 * time.Minute},
			{"Rowan", event.SiteMaking, made, 120 * time.Minute},
			{"Linden", event.Placing, []event.Fact{&event.Placed{Zone: r.Names["Front"], Size: 1, N: 15}, &event.Placed{Zone: r.Names["Front"], Size: 2, N: 13},
				&event.Placed{Zone: r.Names["Middle"], Size: 2, N: 25}}, 110 * time.Minute},
		}
	}
}

// pacedRooms are rooms that go on while they are looked at: calm, with singles
// that will be short, paused, with a region below the floor and one past its
// share, and with tallies that disagree.
func (t *Tour) pacedRooms() error {
	calm, short, paused := t.day.Beside("paced"), t.day.Beside("singles"), t.day.Beside("paused")
	floor, share, recount := t.day.Beside("floor"), t.day.Beside("share"), t.day.Beside("recount")
	plan := func(change func(f *event.Region), floor uint32) []event.Fact {
		out := []event.Fact{&event.Budget{Grafts: 2400}, &event.Floor{HairsPerCM2x10: floor}}
		for _, fact := range rig.Plan(2400) {
			if region, is := fact.(*event.Region); is && region.Code == "BL" && change != nil {
				change(region)
			}
			out = append(out, fact)
		}
		return out
	}
	usualPlan := plan(nil, 1050)
	thin := plan(func(f *event.Region) { f.HairsPerUnit100, f.SharePerMille = 180, 300 }, 1300)
	small := plan(func(f *event.Region) { f.AreaMM2 = 2500 }, 1050)
	over := func() []hand {
		hands := usual(recount, 22, 44)()
		hands[1].taps[1] = &event.Sorted{Size: 2, N: 60}
		return hands
	}
	return errors.Join(
		paced(calm, "A-12", usualPlan, usual(calm, 24, 42)),
		paced(short, "A-14", usualPlan, usual(short, 13, 50)),
		paced(paused, "A-15", usualPlan, usual(paused, 24, 42), &event.Paused{Room: true, Reason: "lunch"}),
		paced(floor, "A-16", thin, usual(floor, 24, 42)),
		paced(share, "A-17", small, usual(share, 24, 42)),
		paced(recount, "A-18", usualPlan, over),
	)
}

// fullDay is a paced day with dishes, recounts, differences, and a region past
// its share: everything that tables show.
func fullDay(r *rig.Rig) error {
	plan := []event.Fact{&event.Budget{Grafts: 2400}}
	for _, fact := range rig.Plan(2400) {
		if region, is := fact.(*event.Region); is && region.Code == "BL" {
			region.AreaMM2, region.HairsPerUnit100 = 2500, 180
		}
		plan = append(plan, fact)
	}
	if err := paced(r, "C-40", plan, usual(r, 18, 48)); err != nil {
		return err
	}
	dishes, err := r.Join("Juniper", event.Desk)
	if err != nil {
		return err
	}
	tap := func(fact event.Fact) error { return r.Do(dishes, fact) }
	if err := errors.Join(tap(&event.Dish{Label: "1", Size: 1}), tap(&event.Dish{Label: "2"})); err != nil {
		return err
	}
	one, two := r.Names["dish 1"], r.Names["dish 2"]
	return errors.Join(
		tap(&event.Sorted{Size: 1, N: 24, Dish: one}), tap(&event.Sorted{Size: 2, N: 31, Dish: two}), tap(&event.Sorted{Size: 3, N: 12, Dish: two}),
		tap(&event.Placed{Zone: r.Names["Crown"], Size: 3, N: 14, Dish: two}),
		tap(&event.Recount{Of: event.Holding, Dish: one, Size: 1, N: 22}),
		tap(&event.Recount{Of: event.Bench, N: 17}),
		tap(&event.Placed{Zone: r.Names["Crown"], Size: 4, N: 40}),
		tap(&event.HandedOver{Person: "Alder"}),
		r.Within(dishes.InRoom))
}
