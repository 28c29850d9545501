package scenes

import (
	"errors"
	"time"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// held opens a room in which grafts are out for an hour and more, and that asks
// from amber minutes on, with its limit at red.
func held(r *rig.Rig, code string, amber, red int64) error {
	plan := append([]event.Fact{&event.Budget{Grafts: 2400}}, rig.Plan(2400)...)
	keeping := &event.Keeping{AmberMin: amber, RedMin: red, PlacingMs: time.Now().Add(-time.Hour).UnixMilli(), PerHour10: 3000,
		Solution: "chilled saline", Temperature10: 40, TemperatureKnown: true}
	hands := func() []hand {
		all := usual(r, 24, 42)()
		all[1].taps[0] = &event.Sorted{Size: 1, N: 24, Dish: r.Names["dish 7"]}
		all[3].taps[0] = &event.Placed{Zone: r.Names["Front"], Size: 1, N: 15, Dish: r.Names["dish 7"]}
		return all
	}
	opened := &event.Dish{Label: "7", Size: 1}
	if err := paced(r, code, append(plan, opened), hands, keeping); err != nil {
		return err
	}
	return r.Within(r.Office.InRoom)
}

// timeOut are the phones of a room that asks to pause extraction.
func (t *Tour) timeOut() error {
	asks, past := t.day.Beside("held"), t.day.Beside("held-past")
	if err := errors.Join(held(asks, "H-3", 45, 240), held(past, "H-4", 30, 45)); err != nil {
		return err
	}
	on := func(r *rig.Rig, person, station string, stops ...stop) error {
		return t.with(func(p *browser.Page) error {
			if err := r.JoinPage(p, r.URL(), person, station); err != nil {
				return err
			}
			return t.visit(p, "out", stops...)
		})
	}
	line := until(`document.querySelector(".line .tight")`)
	lead := t.with(func(p *browser.Page) error {
		if err := asks.JoinLead(p, asks.URL(), "Yew"); err != nil {
			return err
		}
		return t.visit(p, "out", plain("lead-asks", there(".ask h2"), inRoom),
			plain("lead", folded("out.title")),
			sheet("set", press(".fold[open] .floor .do", 0), there(inside+" .do.first")),
			sheet("set-wrong", press(".fold[open] .floor .do", 0), write(inside+" .field:nth-of-type(1) input", "soon"), press(inside+" .do.first", 0), there(inside+" .wrong")),
			sheet("where", press(".fold[open] .paces .asked", 0), there(".where-from .terms")))
	})
	leadPast := t.with(func(p *browser.Page) error {
		if err := past.JoinLead(p, past.URL(), "Yew"); err != nil {
			return err
		}
		return t.visit(p, "out", plain("lead-past", folded("out.title")))
	})
	return errors.Join(lead, leadPast,
		on(asks, "Birch", "extraction", plain("extraction", line, inRoom)),
		on(asks, "Willow", "placing", plain("placing", line, inRoom)),
		on(asks, "Alder", "desk", plain("desk", there(".dishes .tight"), inRoom)))
}
