package e2e

import (
	"fmt"
	"strings"
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

// timeless takes the hours out of a text, for they may be any number.
const timeless = `.replace(/\d\d:\d\d(:\d\d)?/g, "")`

// within presses a button of the open sheet whose words begin so.
func within(t *testing.T, p *browser.Page, words string) {
	t.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll("dialog[open] .inside button")].find((e) => !e.disabled && e.innerText.trim().startsWith(%q))`, words)
	ok(t, p.Until(find))
	_, err := browser.Eval[bool](p, find+".click() || true")
	ok(t, err)
}

// closed waits until no sheet lies over the page, and the page knows.
func closed(t *testing.T, p *browser.Page) {
	t.Helper()
	ok(t, p.Until(`!document.querySelector("dialog")`))
}

// keyed counts on the large keys of a recount.
func keyed(t *testing.T, p *browser.Page, digits string) {
	t.Helper()
	for _, d := range digits {
		within(t, p, string(d))
	}
	within(t, p, "done")
}

// A dish is opened at the desk, filled at sorting, counted blind and one off,
// brought together by a late count, and done at placing.
func TestADishesLife(t *testing.T) {
	r := opened(t, 400)
	desk := joined(t, r, r.URL(), "Alder", "desk")
	ok(t, desk.Do("new dish"))
	ok(t, desk.Until(`document.querySelector("dialog[open] input")?.value === "1"`)) // the next free number
	ok(t, desk.Click(`.five label:nth-of-type(2)`))
	within(t, desk, "Open it")
	closed(t, desk)

	sorting := joined(t, r, r.URL(), "Cedar", "sorting")
	ok(t, sorting.Press(".where button", 0))
	within(t, sorting, "Dish 1")
	closed(t, sorting)
	says(t, sorting, ".four-up .pad:nth-child(2) .note", "into dish 1")
	says(t, sorting, ".where button", "into dish 1")
	taps(t, sorting, ".four-up .pad:nth-child(2)", 20)
	says(t, sorting, truth, "all 20 in the room")

	says(t, desk, ".row:has(.dishes) h2", "20 held")
	ok(t, desk.Press(".dishes button", 0))
	for _, at := range []string{".dishes", "dialog[open]"} {
		ok(t, desk.Until(fmt.Sprintf(`document.querySelector(%q)`, at)))
		if seen, err := browser.Eval[string](desk, fmt.Sprintf(`document.querySelector(%q).innerText%s`, at, timeless)); err != nil || strings.Contains(seen, "20") {
			t.Errorf("before it is counted, %s shows what the tallies have in the dish (%v): %q", at, err, seen)
		}
	}
	within(t, desk, "Show what is in it")
	ok(t, desk.Until(`document.querySelector("dialog[open] .asked")?.innerText === "20 in it"`))
	within(t, desk, "Recount")
	ok(t, desk.Until(`document.querySelector("dialog[open] .keys")`))
	seen, err := browser.Eval[string](desk, `document.querySelector(".phone").innerText`+timeless)
	ok(t, err)
	if strings.Contains(seen, "20") {
		t.Errorf("before it is counted, the page shows what the tallies say: %q", seen)
	}
	within(t, desk, "done") // without a number
	ok(t, desk.Until(`document.querySelector("dialog[open] .wrong")?.innerText.includes("how many")`))
	keyed(t, desk, "21")
	ok(t, desk.Until(`document.querySelector("dialog[open] .compared h3")?.innerText === "1 apart"`))
	within(t, desk, "done")
	closed(t, desk)
	says(t, desk, ".recounts b", "1 apart")

	ok(t, sorting.Do("many"))
	ok(t, sorting.Click("dialog[open] .tick input"))
	ok(t, sorting.Press("dialog[open] .many li:nth-child(2) .do", 3))
	keyed(t, sorting, "1")
	closed(t, sorting)
	says(t, desk, ".recounts b", "agrees")

	placing := joined(t, r, r.URL(), "Linden", "placing")
	doneWithTwoDried(t, placing)
	ok(t, desk.Until(`!document.querySelector(".dishes li")`)) // closed, and nothing in it
	if _, sorted, placed := settled(t, r, exactly(0, 21, 19)); sorted != 21 || placed != 19 {
		t.Errorf("got %d sorted and %d placed, want 21 and 19", sorted, placed)
	}
}

// doneWithTwoDried takes from dish 1, in which 21 lie, and ends it: two had dried.
func doneWithTwoDried(t *testing.T, p *browser.Page) {
	t.Helper()
	ok(t, p.Press(".under .pad2", 2))
	within(t, p, "Dish 1")
	closed(t, p)
	ok(t, p.Press(".under .pad2", 2))
	within(t, p, "Dish 1 done")
	ok(t, p.Until(`document.querySelector(".parts td input")?.value === "21"`))
	ok(t, p.Type(".parts td:nth-child(3) input", "2"))
	ok(t, p.Until(`document.querySelector(".parts td input").value === "19"`)) // what is left is placed
	within(t, p, "Keep: dish done")
	ok(t, p.Until(`document.querySelector("dialog[open] .wrong")`)) // not without a reason
	_, err := browser.Eval[bool](p, `{ const e = [...document.querySelectorAll("dialog[open] select")].at(-1); e.value = "dried"; e.dispatchEvent(new Event("change", { bubbles: true })); true }`)
	ok(t, err)
	within(t, p, "Keep: dish done")
	closed(t, p)
}

// A label that is taken is said in words, and what was typed stays.
func TestADishLabelThatIsTaken(t *testing.T) {
	r := opened(t, 400)
	desk := joined(t, r, r.URL(), "Alder", "desk")
	for range 2 {
		closed(t, desk)
		ok(t, desk.Do("new dish"))
		ok(t, desk.Fill("What its lid says", "A7"))
		within(t, desk, "Open it")
		ok(t, desk.Until(`document.querySelector(".dishes li")`))
	}
	ok(t, desk.Until(`document.querySelector("dialog[open] .wrong")?.innerText.includes("Dish A7 is open already")`))
	got, err := desk.Field("What its lid says")
	ok(t, err)
	if got != "A7" {
		t.Errorf("the field holds %q, want what was typed", got)
	}
}

// left waits until a region has so many attempts left, in the list of regions.
func left(t *testing.T, p *browser.Page, code, words string) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`[...document.querySelectorAll("dialog[open] .choices button")].some((e) => e.innerText.includes(%q) && e.innerText.includes(%q))`, code, words)))
}

// The last twenty of thirty taps were in the wrong region: one move puts them
// right, and a second one takes that back.
func TestTapsAreMovedToAnotherRegion(t *testing.T) {
	r := opened(t, 400)
	lead, err := r.Join("Ash", event.Extraction)
	ok(t, err)
	ok(t, r.Do(lead, &event.PassBegun{Mode: event.Each}))
	p := joined(t, r, r.URL(), "Birch", "extraction")
	taps(t, p, bigPad, 30)
	says(t, p, truth, "all 30 in the room")
	move := func(to string) {
		menu(t, p)
		ok(t, p.Do("Entries of this phone"))
		ok(t, p.Do("Move entries"))
		ok(t, p.Until(`document.querySelectorAll(".entries .tick input").length === 30`))
		ok(t, p.Press(".entries .tick input", 0)) // the first and the last of twenty
		ok(t, p.Press(".entries .tick input", 19))
		ok(t, p.Do("between"))
		ok(t, p.Do("Move 20 entries to"))
		within(t, p, to)
		ok(t, p.Until(`document.querySelector("dialog[open] .kept")`))
		ok(t, p.Until(`[...document.querySelectorAll(".entries .when")].filter((e) => e.innerText.includes("moved")).length === 20`))
		ok(t, p.Do("Close"))
	}
	regions := func(sl, br string) {
		ok(t, p.Press(".where button", 0))
		left(t, p, "SL", sl)
		left(t, p, "BR", br)
		ok(t, p.Do("Close"))
		closed(t, p)
	}
	regions("546 left", "800 left")
	move("BR")
	regions("566 left", "780 left")
	says(t, p, tally, "30")
	move("SL")
	regions("546 left", "800 left")
}

// A team that begins to count late says what was there, once; it counts, and is
// no part of the pace.
func TestOpeningCount(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Linden", "placing")
	ok(t, p.Do("was there some before?"))
	within(t, p, "Keep")
	ok(t, p.Until(`document.querySelector("dialog[open] .wrong")`)) // nothing was entered
	ok(t, p.Fill("1 hair", "45"))
	ok(t, p.Fill("2 hairs", "x"))
	within(t, p, "Keep")
	ok(t, p.Until(`document.querySelector("dialog[open] .wrong")`)) // and nothing is lost
	ok(t, p.Fill("2 hairs", "30"))
	within(t, p, "Keep")
	ok(t, p.Until(`document.querySelector("dialog[open] [role=status]")?.innerText === "2 entries kept."`))
	ok(t, p.Do("Close"))
	menu(t, p)
	ok(t, p.Do("Entries of this phone"))
	ok(t, p.Until(`[...document.querySelectorAll(".entries .when")].filter((e) => e.innerText.includes("was there already")).length === 2`))
	if _, _, placed := settled(t, r, exactly(0, 0, 75)); placed != 75 {
		t.Errorf("placed: got %d, want 75", placed)
	}
}

// A reading below the one before asks whether the counter is a new one.
func TestReadingAgainstItsDirection(t *testing.T) {
	r := opened(t, 400)
	lead, err := r.Join("Ash", event.Extraction)
	ok(t, err)
	ok(t, r.Do(lead, &event.PassBegun{Mode: event.Pulled}))
	p := joined(t, r, r.URL(), "Birch", "extraction")
	ok(t, p.Until(`document.querySelectorAll(".three .pad2").length === 6`))
	ok(t, p.Press(".three .pad2", 5))
	within(t, p, "a reading")
	for _, value := range []string{"1000", "1040", "12"} {
		ok(t, p.Fill("It shows", value))
		within(t, p, "keep as a reading")
		if value != "12" {
			ok(t, p.Until(`document.querySelector("dialog[open] .reading [role=status]")`))
		}
	}
	ok(t, p.Until(`document.querySelector("dialog[open] .ask h3")?.innerText.startsWith("Lower than 1,040")`))
	within(t, p, "typed wrong")
	got, err := p.Field("It shows")
	ok(t, err)
	if got != "12" {
		t.Errorf("the field holds %q, want what was typed", got)
	}
	within(t, p, "keep as a reading")
	within(t, p, "new counter")
	ok(t, p.Until(`document.querySelector("dialog[open] .reading [role=status]")`))
	name, err := p.Field("Counter's name")
	ok(t, err)
	if name != "2" {
		t.Errorf("the new counter is called %q, want 2", name)
	}
	if punched, _, _ := settled(t, r, exactly(40, 0, 0)); punched != 40 {
		t.Errorf("punched: got %d, want 40", punched)
	}
}
