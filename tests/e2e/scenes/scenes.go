// Package scenes walks through every screen of the app with made-up data: one
// place for whoever looks at all of them, in pictures or by rules.
package scenes

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// Scene is one screen in one state.
type Scene struct {
	Screen, State string
	Page          *browser.Page
}

// Name is how the scene is called in files and messages.
func (s Scene) Name() string { return s.Screen + "_" + s.State }

// Size is a screen's size in CSS pixels.
type Size struct{ Width, Height int64 }

// String is the size as files are called by it.
func (s Size) String() string { return fmt.Sprintf("%dx%d", s.Width, s.Height) }

// Tour is a walk through the scenes.
type Tour struct {
	Browser *browser.Browser
	Want    func(screen string) bool // nil: all
	See     func(Scene) error        // looks at a scene; it may change size and theme

	day   *rig.Rig // the session that most scenes show
	long  *rig.Rig // the session with the longest names
	waits waits
}

// parts are the screens in the order of the walk.
var parts = []struct {
	screen string
	walk   func(*Tour) error
}{
	{"join", (*Tour).joining},
	{"practice", (*Tour).practice},
	{"extraction", (*Tour).extraction},
	{"sorting", (*Tour).sorting},
	{"sites", (*Tour).sites},
	{"placing", (*Tour).placing},
	{"desk", (*Tour).desk},
	{"lead", (*Tour).lead},
	{"out", (*Tour).timeOut},
	{"doses", (*Tour).doses},
	{"phone", (*Tour).phone},
	{"long", (*Tour).longNames},
	{"figures", (*Tour).figures},
	{"office", (*Tour).office},
	{"wall", (*Tour).wall},
	{"quality", (*Tour).qualities},
	{"pads", (*Tour).pads},
}

// Screens are the names of all screens.
func Screens() []string {
	var names []string
	for _, part := range parts {
		names = append(names, part.screen)
	}
	return names
}

// Walk shows every scene to See. A screen that fails does not keep the others
// from being seen.
func (t *Tour) Walk() error {
	dir, err := os.MkdirTemp("", "rootledger-scenes-")
	if err != nil {
		return fmt.Errorf("scenes: %w", err)
	}
	defer os.RemoveAll(dir)
	if t.day, err = rig.Start(dir); err != nil {
		return err
	}
	if err := t.begin(); err != nil {
		return errors.Join(err, t.endWaits(), t.day.Close())
	}
	var failed []error
	for _, part := range parts {
		if t.wants(part.screen) {
			if err := part.walk(t); err != nil {
				failed = append(failed, fmt.Errorf("scenes: %s: %w", part.screen, err))
			}
		}
	}
	return errors.Join(append(failed, t.endWaits(), t.day.Close())...)
}

func (t *Tour) wants(screen string) bool { return t.Want == nil || t.Want(screen) }

// begin opens the day, and what needs time before it can be seen.
func (t *Tour) begin() error {
	if err := t.day.Open("A-12", 2400); err != nil {
		return err
	}
	if err := crowd(t.day, busy); err != nil {
		return err
	}
	if !t.wants("wall") {
		return nil
	}
	return t.beginWaits()
}

// device is a new phone of the tour, looked at in the middle size until a
// scene is seen.
func (t *Tour) device() (*browser.Page, error) { return t.Browser.Device(390, 844, false) }

// with gives work a phone of its own.
func (t *Tour) with(work func(p *browser.Page) error) error {
	p, err := t.device()
	if err != nil {
		return err
	}
	defer p.Close()
	return work(p)
}

// step is one thing that is done to reach a state.
type step func(p *browser.Page) error

// stop is one scene of a screen: what leads to it, and what it is called.
type stop struct {
	state string
	sheet bool // a sheet lies over the screen, and is closed again
	steps []step
}

func plain(state string, steps ...step) stop { return stop{state, false, steps} }
func sheet(state string, steps ...step) stop { return stop{state, true, steps} }

// visit goes from stop to stop on one phone.
func (t *Tour) visit(p *browser.Page, screen string, stops ...stop) error {
	for _, one := range stops {
		if err := t.stopAt(p, screen, one); err != nil {
			return fmt.Errorf("%s: %w", one.state, err)
		}
	}
	return nil
}

// stopAt has one scene seen, and gives the device its own look back.
func (t *Tour) stopAt(p *browser.Page, screen string, at stop) error {
	if at.sheet {
		at.steps = append(at.steps, until(`document.querySelector("dialog[open]")`))
	}
	if err := all(p, at.steps...); err != nil {
		return err
	}
	if err := t.See(Scene{screen, at.state, p}); err != nil {
		return err
	}
	if err := p.Look(390, 844, false); err != nil || !at.sheet {
		return err
	}
	return all(p, press("dialog[open] > header button", 0), closed)
}

// all takes steps one after the other.
func all(p *browser.Page, steps ...step) error {
	for _, one := range steps {
		if err := one(p); err != nil {
			return err
		}
	}
	return nil
}

// press clicks the n-th element of a selector, from 0.
func press(selector string, n int) step {
	return func(p *browser.Page) error { return p.Press(selector, n) }
}

// until waits until an expression is true.
func until(expression string) step {
	return func(p *browser.Page) error { return p.Until(expression) }
}

// there waits until a selector finds something.
func there(selector string) step { return until(fmt.Sprintf("document.querySelector(%q)", selector)) }

// closed waits until the sheet is gone.
var closed = until(`!document.querySelector("dialog")`)

// write types into a field.
func write(selector, text string) step {
	return func(p *browser.Page) error { return p.Type(selector, text) }
}

// open goes to an address.
func open(url string) step {
	return func(p *browser.Page) error { return p.Open(url) }
}

// taps counts on the n-th pad of a selector, some times, each time in another place.
func taps(selector string, n, times int) step {
	return func(p *browser.Page) error {
		find := fmt.Sprintf("document.querySelectorAll(%q)[%d]", selector, n)
		if err := p.Until(find); err != nil {
			return err
		}
		_, err := browser.Eval[bool](p, fmt.Sprintf(`(async () => {
			while (document.querySelector("dialog")) await new Promise((r) => setTimeout(r, 10));
			await new Promise((r) => setTimeout(r, 130)); // no finger is there sooner after it closed a sheet
			const pad = %s;
			for (let i = 0; i < %d; i++) {
				const finger = { bubbles: true, button: 0, pointerId: 9 + i, isPrimary: true, clientX: window.fingers = (window.fingers ?? 0) + 100 };
				for (const type of ["pointerdown", "pointerup"]) pad.dispatchEvent(new PointerEvent(type, finger));
				if (i %% 8 === 7) await new Promise((r) => setTimeout(r));
			}
			return true;
		})()`, find, times))
		return err
	}
}

// inRoom waits until everything that the phone counted is stored.
var inRoom = until(`document.querySelector(".truth").classList.length === 1`)

// facts says facts as a phone of the room, and waits until they are stored.
func facts(r *rig.Rig, person string, station event.Station, said ...event.Fact) error {
	p, err := r.Join(person, station)
	if err != nil {
		return err
	}
	for _, fact := range said {
		if err := r.Do(p, fact); err != nil {
			return fmt.Errorf("%s: %w", strings.ToLower(person), err)
		}
	}
	return r.Within(p.InRoom)
}
