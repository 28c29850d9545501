package scenes

import (
	"errors"
	"fmt"

	"rootledger/tests/e2e/browser"
)

// pads is what pads do besides counting, and how a phone can be set.
func (t *Tour) pads() error {
	err := errors.Join(t.heldBack(), t.keyed())
	for _, station := range []string{"extraction", "sorting", "sites", "placing"} {
		err = errors.Join(err, t.setLarge(station))
	}
	return err
}

// bounces touches the n-th pad of a selector twice in one place, sooner than a finger can.
func bounces(selector string, n int) step {
	return func(p *browser.Page) error {
		return p.Inject(fmt.Sprintf(`for (const id of [3001, 3002]) for (const type of ["pointerdown", "pointerup"])
			document.querySelectorAll(%q)[%d].dispatchEvent(new PointerEvent(type, { bubbles: true, button: 0, pointerId: id, clientX: -900 }))`, selector, n))
	}
}

func (t *Tour) heldBack() error {
	return t.at("Willow", "placing", func(p *browser.Page) error {
		return t.visit(p, "pads",
			plain("held", there(".zonepick button"), taps(four, 1, 4), bounces(four, 1), there(".held"), inRoom),
			sheet("held-list", press("button.menu:not(.many-open)", 0), calls("held back 1"), there(".heldlist li")),
		)
	})
}

// sets opens the settings of a phone.
func sets(p *browser.Page) error {
	return all(p, press("button.menu:not(.many-open)", 0), calls("settings of this phone"), there(".switches"))
}

// strikes has keys of a number pad pressed, one after the other, each when the
// sheet asks for the next one.
func strikes(keys ...string) step {
	return func(p *browser.Page) error {
		for _, key := range keys {
			if err := all(p, there(".asks-key h3")); err != nil {
				return err
			}
			const before = `document.querySelector(".asks-key")?.innerText`
			was, err := browser.Eval[string](p, before)
			if err != nil {
				return err
			}
			if err := all(p, func(p *browser.Page) error {
				return p.Inject(fmt.Sprintf(`dispatchEvent(new KeyboardEvent("keydown", { key: %q, code: %q }))`, key, "Numpad"+key))
			}, until(fmt.Sprintf(`%s !== %q`, before, was))); err != nil {
				return err
			}
		}
		return nil
	}
}

func (t *Tour) keyed() error {
	return t.at("Birch", "extraction", func(p *browser.Page) error {
		learn := func(p *browser.Page) error {
			return all(p, sets, calls("Keys of a number pad or pedal"), there(".learn"))
		}
		one := press(".learn li:nth-child(3) .do", 0)
		return t.visit(p, "pads",
			sheet("settings", there(small), taps(big, 0, 12), inRoom, sets),
			sheet("help", there(small), asksHelp, there("#help kbd")),
			sheet("learn-press", learn, one, there(".asks-key")),
			sheet("learn", learn, press(".do.first", 0), strikes("1", "2", "3", "4", "6", "5"), calls("stop"), there(".learn kbd")),
			sheet("learn-clash", learn, one, strikes("5"), there(".asks-key .glyph")),
			plain("keyed", there(".pads kbd")),
		)
	})
}

// setLarge is a station in large text for a left hand.
func (t *Tour) setLarge(station string) error {
	return t.at("Birch", station, func(p *browser.Page) error {
		set := func(p *browser.Page) error {
			return all(p, there(".pads .pad"), sets, press(".switches input", 2), press(".switches input", 3), there("html.large.left"), calls("Close"), closed)
		}
		return t.visit(p, "pads",
			plain("large-"+station, set, taps(".pads .pad", 0, 3), inRoom),
			sheet("large-"+station+"-many", press(`.station :is(.three > button:last-child, .many-open)`, 0), there(".many")),
		)
	})
}

// asksHelp presses the key for help, first where it is only a letter.
func asksHelp(p *browser.Page) error {
	const press = `dispatchEvent(new KeyboardEvent("keydown", { key: "?", bubbles: true }))`
	return p.Inject(`{ const field = document.body.appendChild(document.createElement("input")); field.` + press + `; field.remove(); }
		document.querySelectorAll("#help").length === 0 && document.body.` + press)
}
