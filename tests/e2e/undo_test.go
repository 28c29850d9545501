package e2e

import (
	"fmt"
	"testing"

	"rootledger/tests/e2e/browser"
)

// entries waits until the open list has these entries standing and undone.
func entries(t *testing.T, p *browser.Page, stand, undone int) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`document.querySelectorAll(".entries li:not(.undone)").length === %d &&
		document.querySelectorAll(".entries .undone").length === %d`, stand, undone)))
}

// In its own list a phone undoes any entry, and brings it back; the lead does so
// with another's.
func TestEntriesAreUndoneAndBroughtBack(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	taps(t, p, ".four-up .pad:nth-child(2)", 4)
	says(t, p, truth, "all 4 in the room")
	menu(t, p)
	ok(t, p.Do("Entries of this phone"))
	entries(t, p, 4, 0)
	ok(t, p.Press(".entries li .do", 2))
	entries(t, p, 3, 1)
	ok(t, p.Press(".entries .undone .do", 0))
	entries(t, p, 4, 0)
	ok(t, p.Fill("Reason for an undo (may stay empty)", "Slip"))
	ok(t, p.Press(".entries li .do", 0))
	entries(t, p, 3, 1)
	ok(t, p.Until(`document.querySelector("dialog[open] .field input").value === ""`)) // the next undo has one of its own
	ok(t, p.Do("Close"))
	says(t, p, tally, "3")

	lead := device(t)
	ok(t, r.JoinLead(lead, r.URL(), "Yew"))
	of := `[...document.querySelectorAll(".phones .pick")].findIndex((e) => e.innerText.startsWith("Cedar"))`
	ok(t, lead.Until(of+` >= 0`))
	at, err := browser.Eval[int](lead, of)
	ok(t, err)
	ok(t, lead.Press(".phones .pick", at))
	entries(t, lead, 3, 1)
	ok(t, lead.Press(".entries li:not(.undone) .do", 0))
	entries(t, lead, 2, 2)
	says(t, p, tally, "2")
	ok(t, lead.Press(".entries .undone .do", 0))
	entries(t, lead, 3, 1)
	ok(t, lead.Press(".entries .undone .do", 0))
	entries(t, lead, 4, 0)
	says(t, p, tally, "4")
	if _, sorted, _ := settled(t, r, exactly(0, 4, 0)); sorted != 4 {
		t.Errorf("the room has %d sorted, want 4", sorted)
	}
}

// On the smallest phone, too, a list says what each entry is, whichever station
// it lies over.
func TestEntriesAreReadOnASmallPhone(t *testing.T) {
	r := opened(t, 400)
	for _, station := range []string{"sorting", "placing"} {
		p := joined(t, r, r.URL(), "Cedar", station)
		ok(t, p.Look(360, 640, false))
		taps(t, p, ".four-up .pad:nth-child(2)", 3)
		menu(t, p)
		ok(t, p.Do("Entries of this phone"))
		entries(t, p, 3, 0)
		seen, err := browser.Eval[int](p, `[...document.querySelectorAll(".entries .word")].filter((e) =>
			e.innerText !== "" && e.getBoundingClientRect().width > 40 && e.getBoundingClientRect().height > 10).length`)
		ok(t, err)
		if seen != 3 {
			t.Errorf("%s: the words of %d entries are seen, want 3", station, seen)
		}
	}
}
