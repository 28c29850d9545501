package scenes

import (
	"errors"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// doseDay opens a session in which lidocaine is near its limit, bupivacaine was
// given too, and the office has configured an agent of its own.
func doseDay(r *rig.Rig) error {
	plan := append([]event.Fact{&event.Budget{Grafts: 1200}}, rig.Plan(1200)...)
	if err := r.OpenWith(r.Opening("F-18"), plan...); err != nil {
		return err
	}
	if err := facts(r, "Oak", event.Office, &event.Agent{Substance: "articaine", Epinephrine: true, PerKgUG: 7_000, CapUG: 500_000,
		Strengths: []uint32{4_000}, Source: "The house's list, second edition"}); err != nil {
		return err
	}
	if err := facts(r, "Ash", event.Extraction, &event.PassBegun{Mode: event.Each}); err != nil {
		return err
	}
	if err := facts(r, "Hazel", event.Extraction, &event.Attempt{Pass: r.Names["each"], Region: r.Names["BL"], Outcome: event.Intact, N: 480}); err != nil {
		return err
	}
	return facts(r, "Maple", event.Desk, &event.Weight{Grams: 62_500},
		&event.Dosed{Label: event.Lidocaine, VolumeUL: 5_000, Strength: 2_000, Site: "back, left", Earlier: true},
		&event.Dosed{Label: event.LidocaineEpinephrine, VolumeUL: 6_000, Strength: 2_000, Ratio: 200_000, Site: "back, right"})
}

// key presses the large keys of a number with a point.
func key(digits string) step {
	return func(p *browser.Page) error {
		for _, d := range digits {
			at := int(d-'0') - 1
			switch d {
			case '.':
				at = 9
			case '0':
				at = 10
			}
			if err := p.Press(keys, at); err != nil {
				return err
			}
		}
		return nil
	}
}

// pastDoses opens a day of doses in which lidocaine is past its limit.
func pastDoses(r *rig.Rig) error {
	return errors.Join(doseDay(r), facts(r, "Maple", event.Desk,
		&event.Dosed{Label: event.Bupivacaine, VolumeUL: 12_000, Strength: 500, Asked: true},
		&event.Dosed{Label: event.Lidocaine, VolumeUL: 5_000, Strength: 2_000, Asked: true}))
}

// doses is anaesthetic at the desk and at the lead.
func (t *Tour) doses() error {
	given, past, none := t.day.Beside("doses"), t.day.Beside("doses-past"), t.day.Beside("doses-none")
	if err := errors.Join(doseDay(given), pastDoses(past), none.OpenWith(none.Opening("F-19"), &event.Budget{Grafts: 900})); err != nil {
		return err
	}
	return errors.Join(t.dosesAtTheDesk(given), t.with(func(p *browser.Page) error {
		return errors.Join(none.JoinPage(p, none.URL(), "Alder", "desk"),
			t.visit(p, "doses", plain("desk-none", there(".anaesthetic"), scrolled(".anaesthetic", 0))))
	}), t.with(func(p *browser.Page) error {
		rule := []step{do("dose.setRule"), there(inside + " select"), press(inside+" .tick input", 1), there(inside + " .perKg")}
		refused := func(p *browser.Page) error {
			return p.Holds(inside+" .o-hold", `document.querySelector("dialog[open] .wrong")`)
		}
		return errors.Join(past.JoinLead(p, past.URL(), "Yew"), t.visit(p, "doses",
			plain("lead-past", there(".doses .is-past"), inRoom),
			plain("lead", scrolled(".doses", 0)),
			sheet("rule", rule...),
			sheet("rule-wrong", append(rule, refused)...),
		))
	}))
}

func (t *Tour) dosesAtTheDesk(given *rig.Rig) error {
	log, choice := do("dose.log"), func(n int) step { return press(inside+" .choices button", n) }
	option, goOn := func(n int) step { return press(inside+" .options .pad2", n) }, do("dose.goOn")
	return t.with(func(p *browser.Page) error {
		return errors.Join(given.JoinPage(p, given.URL(), "Alder", "desk"), t.visit(p, "doses",
			plain("desk", there(".doses li"), inRoom, scrolled(".anaesthetic", 0)),
			sheet("agent", log),
			sheet("strength", log, choice(1)),
			sheet("ratio", log, choice(1), option(3)),
			sheet("volume", log, choice(1), option(3), option(2), key("1.8"), there(".live b")),
			sheet("look", log, choice(1), option(1), option(2), key("1.8"), there(".live b"), goOn, there(inside+" .would")),
			sheet("asked", log, choice(0), option(3), key("50"), there(".live b"), goOn, there(inside+" .doubts")),
			sheet("refused", log, choice(0), option(3), key("9000"), there(inside+" .wrong")),
			sheet("weight", do("dose.weigh")),
			sheet("weight-asked", do("dose.weigh"), key("138"), goOn, there(inside+" .doubts")),
			sheet("weight-refused", do("dose.weigh"), key("700"), goOn, there(inside+" .wrong")),
			sheet("where", press(".doses .asked", 0), there(".where-from .terms")),
			sheet("where-share", press(".doses .share .asked", 0), there(".where-from .terms")),
		))
	})
}

// officeDoses is anaesthetic in the office.
func (t *Tour) officeDoses() error {
	past := t.day.Beside("office-doses")
	if err := pastDoses(past); err != nil {
		return err
	}
	return t.with(func(p *browser.Page) error {
		return t.visit(p, "office",
			plain("doses", open(past.URL()+"/office#"+past.API.Office), there(".o-rooms tbody tr"), fill("office.person", "Oak"),
				func(p *browser.Page) error { return p.Do("Open Room office-doses · F-18") }, there(".o-tables"), top(".o-tables > :has(+ .o-doses)")),
			plain("dose-agents", top(".o-doses + *")),
			plain("dose-agents-wrong", fill("dose.substance", "articaine"), do("dose.addAgent"), there("form .o-wrong"), top(".o-tables > :has(form)")),
		)
	})
}

// wallDoses is a wall that says what was given, calm, and past a limit.
func (t *Tour) wallDoses() error {
	calm, past := t.day.Beside("wall-doses"), t.day.Beside("wall-past")
	if err := errors.Join(doseDay(calm), pastDoses(past)); err != nil {
		return err
	}
	return t.with(func(p *browser.Page) error {
		return t.visit(p, "wall", plain("doses", open(calm.URL()+"/wall/wall-doses"), there(".w-foot")),
			plain("past-dose", open(past.URL()+"/wall/wall-past"), there(".w-past")))
	})
}
