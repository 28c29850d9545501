package scenes

import (
	"errors"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// lead is the lead's phone, on a calm day and on one with everything to ask.
func (t *Tour) lead() error {
	asking := t.day.Beside("3")
	if err := ask(asking); err != nil {
		return err
	}
	scrolled := func(p *browser.Page) error {
		_, err := browser.Eval[bool](p, `(document.querySelector(".scroll").scrollTop = 1e6) > 0`)
		return err
	}
	calm := t.with(func(p *browser.Page) error {
		if err := t.day.JoinLead(p, t.day.URL(), "Yew"); err != nil {
			return err
		}
		return t.visit(p, "lead", plain("calm", there(".say h2"), inRoom))
	})
	return errors.Join(calm, t.with(func(p *browser.Page) error {
		if err := asking.JoinLead(p, asking.URL(), "Yew"); err != nil {
			return err
		}
		return t.visit(p, "lead",
			plain("asks", until(`document.querySelectorAll(".ask").length === 3`), inRoom),
			plain("differences", scrolled),
			sheet("budget", press(".scroll .row .do", 0)),
			sheet("budget-wrong", press(".scroll .row .do", 0), write(inside+` input[inputmode="numeric"]`, "x"),
				press(inside+" .do.first", 0), there(inside+" .wrong")),
		)
	}))
}

// ask opens a session in which the donor stops first, two budgets were set
// apart, sites wait for grafts, and tallies do not agree.
func ask(r *rig.Rig) error {
	plan := []event.Fact{
		&event.Budget{Grafts: 2400},
		&event.Zone{Name: "Front", AreaMM2: 2400, Density10: 500, Mix: [4]uint16{600, 350, 50, 0}},
		&event.Zone{Name: "Middle", AreaMM2: 2400, Density10: 500, Mix: [4]uint16{50, 500, 400, 50}},
		&event.Region{Code: "SL", Name: "Side left", AreaMM2: 3600, Density10: 800, SharePerMille: 200},
		&event.Region{Code: "BK", Name: "Back", AreaMM2: 5000, Density10: 800, SharePerMille: 200},
	}
	if err := r.OpenWith(r.Opening("C-31"), plan...); err != nil {
		return err
	}
	if err := facts(r, "Ash", event.Extraction, &event.PassBegun{Mode: event.Each}); err != nil {
		return err
	}
	if err := facts(r, "Hazel", event.Extraction,
		&event.Attempt{Pass: r.Names["each"], Region: r.Names["BK"], Outcome: event.Intact, N: 400},
		&event.Attempt{Pass: r.Names["each"], Region: r.Names["BK"], Outcome: event.Total, N: 12}); err != nil {
		return err
	}
	if err := facts(r, "Cedar", event.Sorting, &event.Sorted{Size: 1, N: 210}, &event.Sorted{Size: 2, N: 203}, &event.HandedOver{Person: "Fern"}); err != nil {
		return err
	}
	if err := facts(r, "Rowan", event.SiteMaking, &event.Sites{Zone: r.Names["Front"], Size: 1, N: 240}, &event.Sites{Zone: r.Names["Front"], Size: 3, N: 60}); err != nil {
		return err
	}
	if err := facts(r, "Linden", event.Placing, &event.Placed{Zone: r.Names["Front"], Size: 2, N: 31},
		&event.Placed{Zone: r.Names["Middle"], Size: 3, N: 4}, &event.HandedOver{Person: "Maple"}); err != nil {
		return err
	}
	return twoBudgets(r)
}

// twoBudgets sets the budget on two phones that do not hear each other.
func twoBudgets(r *rig.Rig) error {
	apart, err := r.Join("Yew", event.Lead)
	if err != nil {
		return err
	}
	if err := r.Within(apart.InRoom); err != nil {
		return err
	}
	apart.Away(true)
	if err := r.Do(apart, &event.Budget{Grafts: 2600}); err != nil {
		return err
	}
	if err := r.Do(r.Office, &event.Budget{Grafts: 2200}); err != nil {
		return err
	}
	if err := r.Within(r.Office.InRoom); err != nil {
		return err
	}
	apart.Away(false)
	return r.Within(apart.InRoom)
}
