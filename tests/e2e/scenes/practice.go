package scenes

import (
	"errors"
	"fmt"

	"rootledger/tests/e2e/browser"
)

// practice is practice on a phone alone: which station, the guide before its
// first task, at one, where the network turns and at the end.
func (t *Tour) practice() error {
	var failed []error
	for i, station := range []string{"extraction", "sorting", "sites", "placing", "desk", "lead"} {
		failed = append(failed, t.with(func(p *browser.Page) error { return t.practises(p, i, station) }))
	}
	return errors.Join(failed...)
}

func (t *Tour) practises(p *browser.Page, place int, station string) error {
	pick := plain("pick", open(t.day.URL()+"/practice"), there(".practice-page .stations .do:enabled"))
	if place > 0 {
		pick = plain("pick-"+station, pick.steps...)
	}
	begun := []step{press(".practice-page .stations .do", place), there("dialog[open] .do.first")}
	stops := []stop{plain(station, append(begun, press("dialog .do.first", 0), there(".task"), closed, until(`document.querySelector(".truth").innerText.includes("room")`))...)}
	if place == 1 {
		stops = append([]stop{pick, plain("before", begun...)}, stops[0])
		stops[2].steps = stops[2].steps[2:]
		skip := func(p *browser.Page) error {
			return all(p, press("button.menu", 0), there(".practice-menu"), press(".practice-menu .do", 0), until(`!document.querySelector(".practice-menu")`))
		}
		stops = append(stops,
			plain("menu", press("button.menu", 0), there(".practice-menu")),
			plain("turn", press("dialog[open] > header button", 0), closed, skip, skip, skip, skip, skip, there("dialog[open] .do.first")),
			plain("away", press("dialog .do.first", 0), closed, taps(four, 1, 3), there(".truth.here")),
			plain("away-held", bounces(four, 1), there(".held")),
			plain("end", skip, there("dialog[open] .do.first"), press("dialog > header button", 0), until(fmt.Sprintf(`document.querySelectorAll("dialog .do").length === %d`, 4))))
		return t.visit(p, "practice", stops...)
	}
	if err := all(p, pick.steps...); err != nil {
		return err
	}
	return t.visit(p, "practice", stops...)
}
