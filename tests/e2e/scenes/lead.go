package scenes

import (
	"errors"
	"fmt"

	"rootledger/server/practice"
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
	choosing := t.day.Beside("4")
	if err := PlansApart(choosing); err != nil {
		return err
	}
	calm := t.with(func(p *browser.Page) error {
		if err := t.day.JoinLead(p, t.day.URL(), "Yew"); err != nil {
			return err
		}
		return t.visit(p, "lead", plain("calm", there(".say h2"), inRoom),
			plain("folds", opens(0), opens(1), opens(2), scrolled(".fold", 0)),
			plain("folds-donor", folded("donor.title")),
			plain("folds-close", folded("close.title")),
			sheet("floor", press(".floor .do", 0)),
			sheet("where", press(".say .asked", 0), there(".where-from .terms")),
			sheet("where-deeper", press(".say .asked", 0), there(".where-from .terms"), press(".where-from .terms .asked", 0), until(`document.querySelector(".where-from .do:first-child")`), press(".where-from .terms .asked", 0),
				there(".where-from .entries, .where-from .terms")),
			sheet("where-placed", press(".close .asked", 1), there(".where-from .entries")),
			sheet("entries-of", func(p *browser.Page) error { return p.Do("Hazel Extraction") }, there(".entries li")))
	})
	chosen := t.with(func(p *browser.Page) error {
		if err := choosing.JoinLead(p, choosing.URL(), "Yew"); err != nil {
			return err
		}
		return t.visit(p, "lead",
			plain("choose", cards(4), inRoom),
			plain("choose-yield", scrolled(".stand", 1)),
			plain("choose-zone", scrolled(".stand", 2)),
			plain("choose-region", scrolled(".stand", 3)),
			plain("chosen", chooses(1, 3), scrolled(".say", 0)),
			plain("chosen-all", chooses(1, 2), chooses(1, 1), chooses(0, 0), inRoom),
		)
	})
	return errors.Join(calm, chosen, t.apart(), t.pace(), t.leadTrials(), t.with(func(p *browser.Page) error {
		if err := asking.JoinLead(p, asking.URL(), "Yew"); err != nil {
			return err
		}
		return t.visit(p, "lead",
			plain("asks", there(".stand .ask"), inRoom),
			plain("differences", scrolled(".apart-card", 0)),
			plain("budget-fold", opens(0), scrolled(".fold", 0)),
			sheet("budget", press(".fold .do", 0)),
			sheet("budget-wrong", press(".fold .do", 0), write(inside+` input[inputmode="numeric"]`, "x"),
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
		&event.Attempt{Pass: r.Names["each"], Region: r.Names["BK"], Outcome: event.Empty, N: 12}); err != nil {
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
	return apart(r, []event.Fact{&event.Budget{Grafts: 2600, Reason: "Drawn again"}}, []event.Fact{&event.Budget{Grafts: 2200, Reason: "Drawn again"}})
}

// PlansApart opens a session in which three people who did not hear each other
// planned the same things: the budget, the yield, a zone and a region.
func PlansApart(r *rig.Rig) error {
	plan := []event.Fact{
		&event.Budget{Grafts: 2400},
		&event.Zone{Name: "Front", AreaMM2: 2400, Density10: 500, Mix: [4]uint16{600, 350, 50, 0}},
		&event.Zone{Name: "Middle", AreaMM2: 2400, Density10: 500, Mix: [4]uint16{50, 500, 400, 50}},
		&event.Region{Code: "SL", Name: "Side left", AreaMM2: 6000, Density10: 800, SharePerMille: 250},
		&event.Region{Code: "BK", Name: "Back", AreaMM2: 9000, Density10: 800, SharePerMille: 250, HairsPerUnit100: 210},
	}
	if err := r.OpenWith(r.Opening("D-7"), plan...); err != nil {
		return err
	}
	front, back := r.Names["Front"], r.Names["BK"]
	return apart(r, []event.Fact{
		&event.Budget{Grafts: 2600, Reason: "The need of the front grew after the drawing was done once more"},
		&event.Yield{PerMille: 850},
		&event.Zone{Of: front, Name: "Front", AreaMM2: 2800, Density10: 480, Mix: [4]uint16{600, 350, 50, 0}},
		&event.Region{Of: back, Code: "BK", Name: "Back", AreaMM2: 9000, Density10: 850, SharePerMille: 250, HairsPerUnit100: 215},
	}, []event.Fact{
		&event.Budget{Grafts: 2200},
		&event.Yield{PerMille: 905},
		&event.Zone{Of: front, Name: "Front", AreaMM2: 3000, Density10: 400, Mix: [4]uint16{450, 400, 100, 50}},
		&event.Region{Of: back, Code: "BK", Name: "Back", AreaMM2: 9500, Density10: 700, SharePerMille: 250, Harvested: 180, Today: true, HairsPerUnit100: 210},
	}, []event.Fact{
		&event.Budget{Grafts: 2300},
		&event.Zone{Of: front, Name: "Front", AreaMM2: 2600, Density10: 450, Mix: [4]uint16{600, 350, 50, 0}},
	})
}

// apart says facts by several people: by the office, and by leads that hear
// nobody until all are said.
func apart(r *rig.Rig, office []event.Fact, leads ...[]event.Fact) error {
	var away []*practice.Phone
	for i, said := range leads {
		p, err := r.Join([]string{"Yew", "Juniper Oakwood-Marsh"}[i], event.Lead)
		if err != nil {
			return err
		}
		if err := r.Within(p.InRoom); err != nil {
			return err
		}
		p.Away(true)
		away = append(away, p)
		if err := tell(p, said); err != nil {
			return err
		}
	}
	if err := tell(r.Office, office); err != nil {
		return err
	}
	if err := r.Within(r.Office.InRoom); err != nil {
		return err
	}
	for _, p := range away {
		p.Away(false)
		if err := r.Within(p.InRoom); err != nil {
			return err
		}
	}
	return nil
}

// tell says facts that change what is planned already.
func tell(p *practice.Phone, said []event.Fact) error {
	for _, fact := range said {
		if _, err := p.Tap(fact, false); err != nil {
			return err
		}
	}
	return nil
}

// cards waits until so many things of the plan are to be chosen.
func cards(n int) step {
	return until(fmt.Sprintf(`document.querySelectorAll(".stand").length === %d`, n))
}

// scrolled brings the n-th element of a selector to the top of the lead's phone.
func scrolled(selector string, n int) step {
	return func(p *browser.Page) error {
		_, err := browser.Eval[bool](p, fmt.Sprintf(`(() => {
			const box = document.querySelector(".scroll");
			box.scrollTop += document.querySelectorAll(%q)[%d].getBoundingClientRect().top - box.getBoundingClientRect().top;
			return true;
		})()`, selector, n))
		return err
	}
}

// chooses taps the n-th value of the first thing that is to be chosen, and
// waits until so many things are left.
func chooses(n, left int) step {
	return func(p *browser.Page) error {
		return all(p, there(".stand .do:not(:disabled)"), press(".stand li .do", n), cards(left), there(".chosen"))
	}
}
