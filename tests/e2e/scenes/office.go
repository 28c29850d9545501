package scenes

import (
	"errors"
	"os"

	"rootledger/pwa/words"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// says is a sentence of the screens.
func says(key string) string { return words.English().Text(key) }

// do presses the button with a sentence on it.
func do(key string) step {
	return func(p *browser.Page) error { return p.Do(says(key)) }
}

// fill types into the field with a sentence beside it.
func fill(key, text string) step {
	return func(p *browser.Page) error { return p.Fill(says(key), text) }
}

// office is the office in every state.
func (t *Tour) office() error {
	return errors.Join(t.officeEmpty(), t.officeDay())
}

// officeEmpty is the office without its link, and on a server without sessions.
func (t *Tour) officeEmpty() error {
	dir, err := os.MkdirTemp("", "rootledger-office-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	fresh, err := rig.Start(dir)
	if err != nil {
		return err
	}
	err = t.with(func(p *browser.Page) error {
		base := fresh.URL() + "/office"
		return t.visit(p, "office",
			plain("no-token", open(base), there("main h1")),
			plain("wrong-token", open("about:blank"), open(base+"#0123456789abcdef0123456789abcdef01234567"), there("main .o-wrong")),
			plain("empty", open("about:blank"), open(base+"#"+fresh.API.Office), there(".o-empty")),
			plain("start-wrong", fill("office.case-code", "No name, please"), do("office.start-do"), there("form .o-wrong")),
		)
	})
	return errors.Join(err, fresh.Close())
}

// officeDay is the office with sessions, one of them being planned, one
// running, and one with everything to ask.
func (t *Tour) officeDay() error {
	asking, choosing, running := t.day.Beside("office-asks"), t.day.Beside("office-plans"), t.day.Beside("OR-1")
	if err := errors.Join(ask(asking), PlansApart(choosing), running.Open("A-12", 2400), crowd(running, busy)); err != nil {
		return err
	}
	planned := t.day.Beside("OR-2")
	if err := planned.OpenWith(planned.Opening("B-8"), &event.Budget{Grafts: 1500}); err != nil {
		return err
	}
	opened := func(r *rig.Rig) step {
		return func(p *browser.Page) error {
			what := "Open Room " + r.Room + " · " + map[*rig.Rig]string{asking: "C-31", choosing: "D-7", running: "A-12", planned: "B-8"}[r]
			return all(p, do("office.today"), func(p *browser.Page) error { return p.Do(what) }, there(".o-session .o-figures"), inRoom)
		}
	}
	return t.with(func(p *browser.Page) error {
		return t.visit(p, "office",
			plain("list", open(t.day.URL()+"/office#"+t.day.API.Office), there(".o-rooms tbody tr")),
			plain("running", fill("office.person", "Oak"), opened(running)),
			plain("running-end", scroll(9000)),
			plain("asks", opened(asking)),
			plain("asks-below", scroll(1000)),
			plain("choose", opened(choosing), cards(4), scroll(0)),
			plain("choose-below", scroll(700)),
			plain("choose-plan", scroll(1400)),
			plain("chosen", scroll(0), chooses(1, 3), inRoom),
			plain("planning", opened(planned)),
			plain("planning-wrong", do("office.zone-add"), fill("office.area", "forty"), fill("office.density", "45"), do("office.zone-add"),
				do("office.region-add"), fill("office.share", "120"), do("office.region-add"), there("form .o-wrong"), scroll(0)),
			plain("planning-wrong-below", scroll(600)),
		)
	})
}

// scroll moves the page down.
func scroll(to int) step {
	return func(p *browser.Page) error { return p.Scroll(to) }
}
