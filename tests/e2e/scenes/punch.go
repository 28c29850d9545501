package scenes

import (
	"errors"
	"fmt"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// Trying opens a session with three set-ups, the first of them on, in which
// nothing was tried yet.
func Trying(r *rig.Rig, code string) error {
	if err := r.OpenWith(r.Opening(code), append([]event.Fact{&event.Budget{Grafts: 1200}}, rig.Plan(1200)...)...); err != nil {
		return err
	}
	for _, s := range practice.Setups() {
		if err := r.Do(r.Office, s); err != nil {
			return err
		}
	}
	return facts(r, "Ash", event.Extraction, &event.PassBegun{Mode: event.Each, DiameterUM: 900})
}

// turn is one block of a trial: how many of its attempts were partly and totally
// cut, and that many more in turns of the second set-up.
type turn struct{ n, partial, total, second uint32 }

// tries begins a trial of the first set-ups and plays its turns as they are drawn.
func tries(r *rig.Rig, arms int, block uint32, turns ...turn) error {
	p, err := r.Join("Hazel", event.Extraction)
	if err != nil {
		return err
	}
	setups := p.Settled().Setups
	begun := &event.Trial{Pass: r.Names["each"], Block: block, Seed: 3}
	for _, s := range setups[:arms] {
		begun.Setups = append(begun.Setups, s.Ref)
	}
	if err := r.Do(p, begun); err != nil {
		return err
	}
	for _, t := range turns {
		if err := takes(r, p, t); err != nil {
			return err
		}
	}
	return r.Within(p.InRoom)
}

// takes plays one turn.
func takes(r *rig.Rig, p *practice.Phone, t turn) error {
	v := p.Settled()
	now := v.Trials[len(v.Trials)-1]
	setup := now.Arms[now.Next].Setup
	if err := r.Do(p, &event.SetupChosen{Pass: now.Pass, Setup: setup, Trial: now.Ref, Turn: uint32(now.NextTurn)}); err != nil {
		return err
	}
	if now.Next == 1 {
		t.partial += t.second
	}
	for outcome, n := range map[event.Outcome]uint32{event.Partial: t.partial, event.Total: t.total, event.Intact: t.n - t.partial - t.total} {
		if n == 0 {
			continue
		}
		a := &event.Attempt{Pass: now.Pass, Region: r.Names["BL"], Outcome: outcome, N: n, Setup: setup, Trial: now.Ref}
		if err := r.Do(p, a); err != nil {
			return err
		}
	}
	return nil
}

// onSetup is the button of the set-up in the row of what is counted.
const onSetup = ".setup-pick"

// extractionSetups is the station with set-ups: none chosen, one, and a trial.
func (t *Tour) extractionSetups() error {
	plainDay, trial, full := t.day.Beside("punch-1"), t.day.Beside("punch-2"), t.day.Beside("punch-3")
	if err := errors.Join(Trying(plainDay, "P-1"), Trying(trial, "P-2"), Trying(full, "P-3")); err != nil {
		return err
	}
	if err := errors.Join(tries(trial, 2, 20, turn{n: 20, partial: 1, total: 1}, turn{n: 12, partial: 1}), tries(full, 2, 20, turn{n: 20, partial: 1, total: 1}, turn{n: 20, total: 1})); err != nil {
		return err
	}
	pick := func(p *browser.Page) error {
		return all(p, press("button.menu", 0), press(".entries-open", 0), there(".entries li"), calls("Move entries"), there(".entries .tick"), calls("last 10"))
	}
	ticks := func(n int) step { return press(inside+" .trial-arms input", n) }
	return errors.Join(
		t.with(func(p *browser.Page) error {
			if err := plainDay.JoinPage(p, plainDay.URL(), "Birch", "extraction"); err != nil {
				return err
			}
			return t.visit(p, "extraction",
				plain("setup-none", there(onSetup), taps(big, 0, 3), inRoom),
				sheet("setup", press(onSetup, 0), there(".setup-choices")),
				plain("setup-on", press(onSetup, 0), press(inside+" .setup-choices button", 2), closed, taps(big, 0, 12), inRoom),
				sheet("setup-drawn", press(onSetup, 0), there(inside+" .setup-on .cycle"), scrolledIn(".setup-on")),
				sheet("setup-move", pick, calls("Move 10 entries to"), there(inside+" .choices"), scrolledIn(".row:last-of-type")),
				sheet("trial-begin", press(onSetup, 0), calls(says("trial.begin")), there(".trial-arms"), ticks(0), ticks(1)),
				sheet("trial-wrong", press(onSetup, 0), calls(says("trial.begin")), there(".trial-arms"), ticks(1), calls(says("trial.beginNow")), there(inside+" .wrong")),
			)
		}),
		t.with(func(p *browser.Page) error {
			if err := trial.JoinPage(p, trial.URL(), "Birch", "extraction"); err != nil {
				return err
			}
			return t.visit(p, "extraction",
				plain("trial", until(`document.querySelector(".setup-pick")?.innerText.includes("·")`), taps(big, 0, 2), inRoom),
				sheet("trial-setup", press(onSetup, 0), there(".trial-state")),
			)
		}),
		t.with(func(p *browser.Page) error {
			if err := full.JoinPage(p, full.URL(), "Birch", "extraction"); err != nil {
				return err
			}
			return t.visit(p, "extraction", plain("trial-full", there(onSetup+".asks"), taps(big, 0, 2), inRoom))
		}),
	)
}

// leadTrials is the lead's phone with a trial that is too early to tell, and
// with one that is not, concluded.
func (t *Tour) leadTrials() error {
	early, told := t.day.Beside("punch-4"), t.day.Beside("punch-5")
	if err := errors.Join(Trying(early, "P-4"), Trying(told, "P-5")); err != nil {
		return err
	}
	if err := errors.Join(tries(early, 3, 20, turn{n: 20, partial: 1, total: 1}, turn{n: 20, partial: 2, total: 1}, turn{n: 20}, turn{n: 14, partial: 1}), tries(told, 2, 100, clear...)); err != nil {
		return err
	}
	look := func(r *rig.Rig, stops ...stop) error {
		return t.with(func(p *browser.Page) error {
			if err := r.JoinLead(p, r.URL(), "Yew"); err != nil {
				return err
			}
			return t.visit(p, "lead", stops...)
		})
	}
	return errors.Join(
		look(early, plain("trial", opensNamed(says("trial.title")), there(".trial-card .arm"), inRoom),
			plain("trial-differences", scrolled(".apart-arms", 0)),
			plain("trial-conclude-wrong", calls(says("trial.conclude")), there(".trial-conclude .wrong"), scrolled(".trial-conclude", 0))),
		look(told, plain("trial-told", opensNamed(says("trial.title")), there(".trial-card .arm"), inRoom),
			plain("trial-told-differences", scrolled(".apart-arms", 0)),
			sheet("trial-where", press(".trial-card .arms .asked", 1), there(".where-from .terms")),
			sheet("trial-difference-where", press(".trial-card .apart-arms .asked", 0), there(".where-from .terms"))),
	)
}

// clear is turns of two set-ups that lie apart: whichever is drawn first.
var clear = []turn{{n: 100, partial: 3, total: 1, second: 9}, {n: 100, partial: 2, total: 1, second: 9}, {n: 100, partial: 3, total: 1, second: 9}, {n: 100, partial: 4, second: 9}}

// opensNamed opens the part of the lead's screen that is called so.
func opensNamed(name string) step {
	return until(fmt.Sprintf(`(() => {
		const f = [...document.querySelectorAll(".fold")].find((f) => f.querySelector("h2").innerText === %q);
		if (f) { f.open = true; f.scrollIntoView(); }
		return f !== undefined;
	})()`, name))
}

// scrolledIn brings something to the top of the sheet.
func scrolledIn(selector string) step {
	return func(p *browser.Page) error {
		_, err := browser.Eval[bool](p, fmt.Sprintf(`(document.querySelector("dialog[open] %s").scrollIntoView(), true)`, selector))
		return err
	}
}

// officeSetups is the office's set-ups: none, new ones, bad ones, saved ones.
func (t *Tour) officeSetups() error {
	r := t.day.Beside("punch-6")
	if err := errors.Join(Trying(r, "P-6"), tries(r, 2, 20, turn{n: 20, partial: 1, total: 1}, turn{n: 20, partial: 3, total: 1}, turn{n: 20, total: 1})); err != nil {
		return err
	}
	return t.with(func(p *browser.Page) error {
		first := []step{open(t.day.URL() + "/office#" + t.day.API.Office), there(".o-rooms"), do("office.setups"), there(".o-head .do.first")}
		stepField := func(n int, key, text string) step {
			return func(p *browser.Page) error {
				find := fmt.Sprintf(`[...document.querySelectorAll(".setup-lines > li")][%d].querySelectorAll("label")`, n)
				if _, err := browser.Eval[bool](p, fmt.Sprintf(`([...%s].find((l) => l.innerText === %q).control.setAttribute("data-now", ""), true)`, find, says(key))); err != nil {
					return err
				}
				err := p.Type("[data-now]", text)
				_, cleared := browser.Eval[bool](p, `(document.querySelector("[data-now]").removeAttribute("data-now"), true)`)
				return errors.Join(err, cleared)
			}
		}
		saves := func(*browser.Page) error {
			for _, s := range practice.Setups() {
				if err := t.day.API.SaveSetup(t.day.Ctx, s); err != nil {
					return err
				}
			}
			return nil
		}
		return t.visit(p, "office",
			plain("setups-empty", append(first, there(".o-sum"))...),
			plain("setups-wrong", do("punch.new"), fill("punch.name", "Quick"), fill("punch.diameter", "0.9"), do("punch.add-step"),
				stepField(0, "punch.lasts", "200"), stepField(0, "punch.power-of", "60"), stepField(1, "punch.lasts", "0"), do("punch.keep"), there("form .o-wrong")),
			plain("setups", do("office.leave-it"), saves, do("office.today"), do("office.setups"), until(`document.querySelectorAll(".setup-one .skin").length === 3`)),
			plain("setups-below", scroll(700)),
			plain("setups-change", scroll(0), func(p *browser.Page) error { return p.Do("Change Tremble, then turn twice") }, there(".setup-preview .cycle"), top(".setup-editor")),
			plain("setups-into", do("office.today"), fill("office.person", "Oak"), func(p *browser.Page) error { return p.Do("Open Room punch-6 · P-6") },
				there(".o-figures"), inRoom, do("office.setups"), until(`document.querySelectorAll(".setup-one .o-acts").length === 3`)),
			plain("trial", func(p *browser.Page) error { return p.Do("Room punch-6 · P-6") }, there(".o-tables"), there(".trial-card .arm"), top(".punch-card")),
			plain("trial-below", top(".apart-arms")),
		)
	})
}
