package scenes

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"rootledger/pwa/words"
	"rootledger/server/practice"
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
	return errors.Join(t.officeEmpty(), t.officeDay(), t.officeQuality(), t.officeLost(), t.officeSetups(), t.officeDoses())
}

// officeLost is the office at an address whose server lost its data, and then
// refills a session of which nobody brings the end.
func (t *Tour) officeLost() error {
	dir, err := os.MkdirTemp("", "rootledger-office-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	before, err := rig.Start(filepath.Join(dir, "before"))
	if err != nil {
		return err
	}
	defer before.Close()
	after, err := rig.Start(filepath.Join(dir, "after"))
	if err != nil {
		return err
	}
	defer after.Close()
	g, err := rig.NewGate(before.Serving.Addr)
	if err != nil {
		return err
	}
	defer g.Close()
	if err := errors.Join(before.Open("A-12", 2400), crowd(before, busy)); err != nil {
		return err
	}
	elder, err := before.Join("Elder", event.Desk) // the one phone that comes back
	if err != nil {
		return err
	}
	at := func(r *rig.Rig) step { return open(g.URL() + "/office#" + r.API.Office) }
	return t.with(func(p *browser.Page) error {
		err := all(p, at(before), fill("office.person", "Oak"), func(p *browser.Page) error { return p.Do("Open Room 1 · A-12") }, there(".o-figures"), inRoom)
		if err := errors.Join(err, rig.Forget(p, 10)); err != nil {
			return err
		}
		g.Shut()
		g.Lead(after.Serving.Addr)
		g.Open()
		if err := t.visit(p, "office",
			plain("lost", at(after), there(".o-lost")),
			plain("refill", do("office.lost-do"), there(".o-refill li"), inRoom),
		); err != nil {
			return err
		}
		rejoin := func(wall *browser.Page) error {
			return t.visit(wall, "wall", plain("rejoin", open(after.URL()+"/wall/1"), there(".w-alarm")))
		}
		if err := t.with(rejoin); err != nil {
			return err
		}
		return t.visit(p, "office",
			plain("refill-whole", func(*browser.Page) error {
				return errors.Join(moves(before.Office, after), moves(elder, after))
			}, there(".o-refill .o-kept")),
			plain("refill-ended", func(p *browser.Page) error {
				return p.Holds(".o-refill .o-hold", `!document.querySelector(".o-refill")`)
			}),
		)
	})
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
	full, over := t.day.Beside("OR-3"), t.day.Beside("OR-4")
	if err := errors.Join(fullDay(full), over.Open("F-2", 900), crowd(over, busy), over.Do(over.Office, &event.Ended{}), over.Within(over.Office.InRoom)); err != nil {
		return err
	}
	opened := func(r *rig.Rig) step {
		return func(p *browser.Page) error {
			what := "Open Room " + r.Room + " · " + map[*rig.Rig]string{asking: "C-31", choosing: "D-7", running: "A-12", planned: "B-8", full: "C-40", over: "F-2"}[r]
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
			plain("tables", opened(full), there(".o-tables"), top(".o-tables")),
			plain("tables-donor", top(".o-tables > :nth-child(4)")),
			plain("tables-dishes", top(".o-tables > :nth-child(7)")),
			plain("differences", top(".o-cols > :last-child > :nth-child(3)")),
			plain("budget-refused", fill("office.grafts", "2600"), do("office.set-budget"), there("form .o-wrong"), scroll(700)),
			plain("area-sides", scroll(0), do("office.zone-add"), do("area.ellipse"), fill("area.ellipse-a", "120"), fill("area.ellipse-b", "90"),
				there(".area-answer b"), top(".area-way")),
			plain("area-photo", do("area.outline"), there(".trace-file"), photographed, there(".trace svg"), traced,
				fill("trace.ruler-mm", "100"), there(".area-answer b"), top(".trace")),
			plain("hairs-wanted", do("area.use"), do("wanted.open"), fill("wanted.hairs", "180"), fill("wanted.share", "30"), fill("wanted.perGraft", "2.2"),
				there(".area-way [role=status]"), enabled("wanted.use"), top(".o-card form")),
			plain("another-day", opened(over), there(".o-cols .o-pairs dd"), top(".o-cols > :last-child > :last-child")),
		)
	})
}

// enabled waits until the button that is called so can be pressed.
func enabled(key string) step {
	return until(fmt.Sprintf(`[...document.querySelectorAll("button")].some((b) => b.innerText === %q && !b.disabled)`, says(key)))
}

// moves has a phone join the room 1 of another server.
func moves(phone *practice.Phone, to *rig.Rig) error {
	room, err := to.API.Room(to.Ctx, to.Room)
	if err != nil {
		return err
	}
	phone.Away(true)
	defer phone.Away(false)
	return phone.Rejoin(to.Ctx, practice.NewAPI(to.URL(), ""), room.Code)
}

// scroll moves the page down.
func scroll(to int) step {
	return func(p *browser.Page) error { return p.Scroll(to) }
}

// top scrolls until something is at the top.
func top(selector string) step {
	return func(p *browser.Page) error {
		_, err := browser.Eval[bool](p, fmt.Sprintf(`(document.querySelector(%q).scrollIntoView(), true)`, selector))
		return err
	}
}
