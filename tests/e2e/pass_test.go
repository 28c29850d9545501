package e2e

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

// What was forgotten of a pass that has ended is counted in that pass; the pads
// stay with the one that is open.
func TestForgottenInAPassThatEnded(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Birch", "extraction")
	begin := func() {
		t.Helper()
		ok(t, p.Press(".pads.begin .pad", 0))
		ok(t, p.Do(said("extraction.beginNow")))
	}
	begin()
	taps(t, p, bigPad, 2)
	says(t, p, tally, "2")
	ok(t, p.Press(".three .pad2", 5))
	ok(t, p.Holds("dialog[open] .o-hold", `!document.querySelector("dialog[open]")`))
	begin()
	ok(t, p.Until(`!document.querySelector("dialog[open], .pads.begin")`))

	ok(t, p.Press(".where button", 1))
	ok(t, p.Until(`document.querySelectorAll("dialog[open] .choices button").length === 3`)) // open, new, ended
	ok(t, p.Press("dialog[open] .choices button", 2))
	ok(t, p.Until(`document.querySelector("dialog[open] h2")?.innerText === "Pass 1, each tap, which has ended" && !document.querySelector("dialog[open] .o-hold")`))
	ok(t, p.Press("dialog[open] .many .do", 0))
	says(t, p, tally, "7")
	ok(t, p.Until(`!document.querySelector("dialog[open]")`))
	ok(t, browser.Wait(func() bool {
		passes := r.Office.Settled().Passes
		return len(passes) == 2 && passes[0].Ended && passes[0].Counts.Outcomes[event.Intact-1] == 7 && passes[1].Counts.Punched == 0
	}))
}
