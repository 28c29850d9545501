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

// The device's counter at a hand-over is a reading like any other: asked about
// when it goes against its direction, in the region on the screen, remembered.
func TestCounterAtAHandOver(t *testing.T) {
	r := opened(t, 400)
	lead, err := r.Join("Ash", event.Extraction)
	ok(t, err)
	ok(t, r.Do(lead, &event.PassBegun{Mode: event.Pulled}))
	p := joined(t, r, r.URL(), "Birch", "extraction")
	reading := func(value string) {
		t.Helper()
		ok(t, p.Until(`document.querySelectorAll(".three .pad2").length === 6`))
		ok(t, p.Press(".three .pad2", 5))
		within(t, p, "a reading")
		ok(t, p.Fill("It shows", value))
		within(t, p, "keep as a reading")
	}
	for _, value := range []string{"1000", "1040"} {
		reading(value)
		ok(t, p.Until(`document.querySelector("dialog[open] .reading [role=status]")`))
		ok(t, p.Press("dialog[open] > header button", 0))
		closed(t, p)
	}
	menu(t, p)
	within(t, p, "Hand over this phone")
	within(t, p, "Ash")
	keyed(t, p, "12")
	ok(t, p.Until(`document.querySelector("dialog[open] .ask h3")?.innerText.startsWith("Lower than 1,040")`))
	within(t, p, "typed wrong")
	keyed(t, p, "1050")
	ok(t, p.Until(`document.querySelector("dialog[open] h3")?.innerText === "Ash counts here now."`))
	within(t, p, "done")
	closed(t, p)
	if punched, _, _ := settled(t, r, exactly(50, 0, 0)); punched != 50 {
		t.Errorf("punched: got %d, want 50", punched)
	}
	for _, region := range r.Office.Settled().Regions {
		if want := map[string]int64{"SL": 50}[region.Code]; region.Punched != want {
			t.Errorf("%s: %d attempts, want %d", region.Code, region.Punched, want)
		}
	}
	ok(t, p.Click(".where button"))
	within(t, p, "no region")
	closed(t, p)
	reading("1060")
	ok(t, p.Until(`document.querySelector("dialog[open] .reading [role=status]")`))
	ok(t, p.Press("dialog[open] > header button", 0))
	closed(t, p)
	if got, _, _ := settled(t, r, exactly(60, 0, 0)); got != 60 {
		t.Errorf("punched: got %d, want 60", got)
	}
	if in := r.Office.Settled().Regions[0].Punched; in != 50 {
		t.Errorf("SL after ten of no region: %d attempts, want 50", in)
	}
	reading("1055")
	ok(t, p.Until(`document.querySelector("dialog[open] .ask h3")?.innerText.startsWith("Lower than 1,060")`))
}

// What was counted at a hand-over stays on the sheet when somebody else counts
// the same stock meanwhile.
func TestHandOverBesideAnotherRecount(t *testing.T) {
	r := opened(t, 400)
	other, err := r.Join("Fern", event.Extraction)
	ok(t, err)
	ok(t, r.Do(other, &event.PassBegun{Mode: event.Each}))
	ok(t, r.Do(other, &event.Attempt{Pass: r.Names["pass"], Outcome: event.Intact, N: 31}))
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	ok(t, p.Until(`document.querySelector(".where .fixed")?.innerText.includes("31")`))
	menu(t, p)
	within(t, p, "Hand over this phone")
	within(t, p, "Fern")
	keyed(t, p, "30")
	ok(t, p.Until(`document.querySelector("dialog[open] .compared h3")?.innerText === "1 apart"`))
	ok(t, r.Do(other, &event.Recount{Of: event.Bench, N: 31}))
	ok(t, r.Within(other.InRoom))
	ok(t, p.Until(`document.querySelector("dialog[open] .compared h3")?.innerText === "1 apart"`))
	within(t, p, "Fern takes over")
	ok(t, p.Until(`document.querySelector("dialog[open] h3")?.innerText === "Fern counts here now."`))
}
