package e2e

import (
	"strings"
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

// A phone changes hands: the person is chosen, what lies out is counted without
// seeing what the tallies say, and a count that agrees hands over at once.
func TestHandOver(t *testing.T) {
	r := opened(t, 400)
	other, err := r.Join("Fern", event.Extraction)
	ok(t, err)
	pass := &event.PassBegun{Mode: event.Each}
	ok(t, r.Do(other, pass))
	ok(t, r.Do(other, &event.Attempt{Pass: r.Names["pass"], Outcome: event.Intact, N: 31}))
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	taps(t, p, ".four-up .pad:nth-child(1)", 4)
	says(t, p, truth, "all 4 in the room")

	menu(t, p)
	within(t, p, "Hand over this phone")
	within(t, p, "Fern")
	ok(t, p.Until(`document.querySelector("dialog[open] .keys")`))
	seen, err := browser.Eval[string](p, `document.querySelector(".phone").innerText.replace(/\d\d:\d\d/g, "")`) // the clock may say 27
	ok(t, err)
	if strings.Contains(seen, "27") {
		t.Errorf("before it is counted, the page shows what the tallies say: %q", seen)
	}
	keyed(t, p, "26")
	ok(t, p.Until(`document.querySelector("dialog[open] .compared h3")?.innerText === "1 apart"`))
	says(t, p, ".who .person", "Cedar") // nobody took over yet
	within(t, p, "count again")
	keyed(t, p, "27")
	ok(t, p.Until(`document.querySelector("dialog[open] h3")?.innerText === "Fern counts here now."`))
	ok(t, p.Until(`document.querySelector("dialog[open]").innerText.includes("27 counted, and 27 by the tallies.")`))
	within(t, p, "done")
	closed(t, p)
	says(t, p, ".who .person", "Fern")
	says(t, p, tally, "0")

	menu(t, p)
	within(t, p, "Hand over this phone")
	within(t, p, "go on") // nobody chosen
	ok(t, p.Until(`document.querySelector("dialog[open] .wrong")?.innerText.includes("Nothing was kept")`))
	within(t, p, "Cedar")
	keyed(t, p, "20")
	within(t, p, "Cedar takes over") // with the difference open
	within(t, p, "done")
	says(t, p, ".who .person", "Cedar")
	ok(t, r.Within(other.InRoom))
}
