package scenes

import (
	"errors"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

// at gives work a phone that has joined a station of the day.
func (t *Tour) at(person, station string, work func(p *browser.Page) error) error {
	return t.with(func(p *browser.Page) error {
		if err := t.day.JoinPage(p, t.day.URL(), person, station); err != nil {
			return err
		}
		return work(p)
	})
}

const (
	big    = ".pads > .pad"         // what is counted most
	four   = ".four-up .pad"        // one for each size
	small  = ".three .pad2"         // what is counted less
	under  = ".under .pad2"         // under the pads of placing
	where  = ".where button"        // what is being counted
	inside = "dialog[open] .inside" // what a sheet holds
)

// planned waits until the station knows what it counts.
var planned = until(`document.querySelector(".where button")?.innerText === "Front"`)

// extraction is the station of the operator and the puller.
func (t *Tour) extraction() error {
	err := t.at("Birch", "extraction", func(p *browser.Page) error {
		pass := func(n int) step {
			return func(p *browser.Page) error {
				return all(p, press(where, 1), press(inside+" .choices button", n), closed)
			}
		}
		return t.visit(p, "extraction",
			plain("each", there(small), taps(big, 0, 37), taps(small, 0, 3), taps(small, 1, 1), inRoom),
			sheet("region", press(where, 0)),
			sheet("pass", press(where, 1)),
			sheet("many", press(small, 5)),
			sheet("many-number", press(small, 5), press(".many li:nth-child(2) .do", 3), press(".keys .go", 0), there(inside+" .wrong")),
			sheet("reading", press(small, 5), press(inside+" .acts .do", 0), there(inside+" .reading")),
			plain("pulled", pass(1), taps(big, 0, 21), inRoom),
			plain("exception", pass(2), taps(big, 0, 12), taps(small, 0, 2), inRoom),
		)
	})
	return errors.Join(err, t.beforePass(), t.extractionSetups())
}

// beforePass is extraction in a session without a pass and without a region.
func (t *Tour) beforePass() error {
	fresh := t.day.Beside("2")
	if err := fresh.OpenWith(fresh.Opening("B-7"), &event.Budget{Grafts: 1800}); err != nil {
		return err
	}
	return t.with(func(p *browser.Page) error {
		if err := fresh.JoinPage(p, fresh.URL(), "Birch", "extraction"); err != nil {
			return err
		}
		begin := press(".pads.begin .pad", 0)
		return t.visit(p, "extraction",
			plain("before", there(".pads.begin"), inRoom),
			sheet("begin", begin),
			sheet("begin-wrong", begin, write(inside+` input[inputmode="decimal"]`, "wide"), press(inside+" .do.first", 0), there(inside+" .wrong")),
		)
	})
}

// sorting is the station at the microscope.
func (t *Tour) sorting() error {
	return errors.Join(t.sortingPlain(), t.sortingDishes())
}

func (t *Tour) sortingPlain() error {
	return t.at("Sorrel", "sorting", func(p *browser.Page) error {
		return t.visit(p, "sorting",
			plain("counting", taps(four, 0, 14), taps(four, 1, 26), taps(four, 2, 11), taps(four, 3, 2), inRoom),
			sheet("reject", press(small, 0)),
			sheet("split", press(small, 1)),
			sheet("many", press(small, 2)),
		)
	})
}

// sites is the station of whoever makes sites.
func (t *Tour) sites() error {
	return t.at("Rowan", "sites", func(p *browser.Page) error {
		return t.visit(p, "sites",
			plain("counting", planned, taps(big, 0, 3), taps(small, 0, 2), inRoom),
			sheet("zone", press(where, 0)),
			sheet("size", press(where, 1)),
			sheet("number", press(small, 2)),
			sheet("number-keys", press(small, 2), press(".many .do", 3), there(inside+" .keys")),
		)
	})
}

// placing is the station of a placer.
func (t *Tour) placing() error {
	return errors.Join(t.placingPlain(), t.placingDishes())
}

func (t *Tour) placingPlain() error {
	return t.at("Willow", "placing", func(p *browser.Page) error {
		return t.visit(p, "placing",
			plain("counting", there(".zonepick, nav.where"), taps(four, 0, 9), taps(four, 1, 17), taps(four, 2, 4), inRoom),
			sheet("many", press(".many-open", 0)),
			sheet("came-back", press(under, 0)),
			sheet("reject-size", press(under, 1)),
			sheet("reject-reason", press(under, 1), press(inside+" .choices button", 1),
				until(`document.querySelectorAll("dialog[open] .choices button").length > 5`)),
		)
	})
}
