package e2e

import (
	"fmt"
	"slices"
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// twice presses a button of the open sheet two times at once.
func twice(t *testing.T, p *browser.Page, words string) {
	t.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll("dialog[open] .inside button")].find((e) => e.innerText.trim().startsWith(%q))`, words)
	ok(t, p.Until(find))
	_, err := browser.Eval[bool](p, fmt.Sprintf(`{ const e = %s; e.click(); e.click(); true }`, find))
	ok(t, err)
}

// counting is a Go phone that has begun a pass of each mode, all in the room.
func counting(t *testing.T, r *rig.Rig, person string, modes ...event.Mode) {
	t.Helper()
	p, err := r.Join(person, event.Extraction)
	ok(t, err)
	for _, mode := range modes {
		ok(t, r.Do(p, &event.PassBegun{Mode: mode}))
	}
	ok(t, r.Within(p.InRoom))
}

// What was there before a pass by exception is how many attempts there were and
// what was not intact; a second press keeps nothing twice.
func TestOpeningCountByException(t *testing.T) {
	r := opened(t, 400)
	counting(t, r, "Ash", event.ByException)
	p := joined(t, r, r.URL(), "Birch", "extraction")
	ok(t, p.Do("was there some before?"))
	ok(t, p.Fill("attempts in all", "120"))
	ok(t, p.Fill("buried", "5"))
	intact, err := browser.Eval[bool](p, `document.querySelector("dialog[open] .numbers").innerText.includes("intact")`)
	ok(t, err)
	if intact {
		t.Error("intact is asked for, and would not count")
	}
	twice(t, p, "Keep")
	ok(t, p.Until(`document.querySelector("dialog[open] [role=status]")?.innerText === "2 entries kept."`))
	ok(t, p.Do("Close"))
	ok(t, p.Press(".three .pad2", 5))
	ok(t, p.Until(`document.querySelector("dialog[open] .many")`))
	rows, err := browser.Eval[[]string](p, `[...document.querySelectorAll("dialog[open] .many .what")].map((e) => e.innerText.trim())`)
	ok(t, err)
	if want := []string{"Fired", "partly cut"}; !slices.Equal(rows[:2], want) {
		t.Errorf("many at once are of %q, want %q and the other outcomes", rows, want)
	}
	if punched, _, _ := settled(t, r, exactly(120, 0, 0)); punched != 120 {
		t.Errorf("punched: got %d, want 120", punched)
	}
}

// A graft is rejected once however often the reason is pressed.
func TestASecondPressRejectsNothing(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	ok(t, p.Press(".three .pad2", 0))
	twice(t, p, "cut")
	closed(t, p)
	taps(t, p, ".four-up .pad:nth-child(2)", 1)
	says(t, p, truth, "all 1 in the room") // sorted after it, so all that was rejected is there
	says(t, p, ".three .pad2 b", "1")
}

// Entries move between passes that are counted the same way, and when the pass
// that is counted ends, another team's does not take its place.
func TestPassesKeepToThemselves(t *testing.T) {
	r := opened(t, 400)
	counting(t, r, "Ash", event.Each)
	counting(t, r, "Hazel", event.Pulled, event.Each)
	p := joined(t, r, r.URL(), "Birch", "extraction")
	says(t, p, ".where .fixed", "Pass 1, each tap")
	taps(t, p, bigPad, 3)
	menu(t, p)
	ok(t, p.Do("Entries of this phone"))
	ok(t, p.Do("Move entries"))
	ok(t, p.Press(".entries .tick input", 0))
	ok(t, p.Do("Move 1 entry to"))
	ok(t, p.Until(`document.querySelector("dialog[open] .choices")`))
	passes, err := browser.Eval[string](p, `[...document.querySelectorAll("dialog[open] .choices button")].map((e) => e.innerText.split("\n")[0]).filter((s) => s.startsWith("Pass")).join("; ")`)
	ok(t, err)
	if passes != "Pass 1, each tap; Pass 3, each tap" {
		t.Errorf("passes to move to: %q, want those of each tap", passes)
	}
	ok(t, p.Do("Close"))
	closed(t, p)
	ok(t, p.Press(".three .pad2", 5))
	ok(t, p.Holds("dialog[open] .o-hold", `!document.querySelector("dialog")`))
	ok(t, p.Until(`document.querySelector(".pads.begin .pad")?.innerText.includes("Choose a pass")`))
	ok(t, p.Press(".pads.begin .pad", 0))
	within(t, p, "Pass 3")
	says(t, p, ".where .fixed", "Pass 3, each tap")
}

// A recount by size keeps each size as it is entered.
func TestRecountBySizeThatIsLeft(t *testing.T) {
	r := opened(t, 400)
	desk := joined(t, r, r.URL(), "Alder", "desk")
	ok(t, desk.Do("recount"))
	within(t, desk, "All that is held, by size")
	keyed(t, desk, "0")
	ok(t, desk.Until(`document.querySelector(".question h3")?.innerText.includes("doubles")`))
	ok(t, desk.Do("Close"))
	closed(t, desk)
	ok(t, desk.Until(`document.querySelectorAll(".recounts li").length === 1`))
	says(t, desk, ".recounts b", "agrees")
}

// The end of a dish asks for every size, and says when another phone was first.
func TestDishDoneMeanwhile(t *testing.T) {
	r := opened(t, 400)
	other, err := r.Join("Alder", event.Desk)
	ok(t, err)
	ok(t, r.Do(other, &event.Dish{Label: "1"}))
	ok(t, r.Do(other, &event.Sorted{Size: 2, N: 4, Dish: r.Names["dish 1"]}))
	ok(t, r.Within(other.InRoom))
	p := joined(t, r, r.URL(), "Linden", "placing")
	ok(t, p.Press(".under .pad2", 2))
	within(t, p, "Dish 1")
	closed(t, p)
	ok(t, p.Press(".under .pad2", 2))
	within(t, p, "Dish 1 done")
	ok(t, p.Until(`document.querySelectorAll("dialog[open] .parts tbody tr").length === 4`))
	ok(t, r.Do(other, &event.DishClosed{Dish: r.Names["dish 1"]}))
	ok(t, p.Until(`document.querySelector("dialog[open] .warn")?.innerText.startsWith("This dish was closed meanwhile")`))
	ok(t, p.Until(`document.querySelector("dialog[open] .inside .do.first").disabled`))
}

// A sheet of settling stays when its difference closes, and says so.
func TestSettlingWhatHasClosed(t *testing.T) {
	r, p := leading(t)
	wantApart(t, r, event.OnBench, 2)
	const bench = `[...document.querySelectorAll(".apart-card")].find((c) => c.innerText.includes("Out and sorted disagree"))`
	_, err := browser.Eval[bool](p, bench+`.querySelector(".settles-it").click() || true`)
	ok(t, err)
	ok(t, p.Fill("Reason, for the record", "Two lay under the gauze"))
	sorter, err := r.Join("Elm", event.Sorting)
	ok(t, err)
	_, err = sorter.Tap(&event.Rejected{From: event.Bench, Reason: event.ReasonLost, N: 2}, true) // before the recount
	ok(t, err)
	wantApart(t, r, event.OnBench, 0)
	says(t, p, "dialog[open] .warn", "This difference closed meanwhile: there is nothing left to settle. What you entered was not kept.")
	if got, err := p.Field("Reason, for the record"); err != nil || got != "Two lay under the gauze" {
		t.Errorf("the reason is %q (%v), want what was typed", got, err)
	}
	ok(t, p.Until(`document.querySelector("dialog[open] .o-hold").disabled`))
}

// What was counted and lies there at the close is not asked for again.
func TestWhatLiesThereAtTheClose(t *testing.T) {
	r := opened(t, 400)
	for _, one := range []struct {
		person  string
		station event.Station
		fact    event.Fact
	}{
		{"Cedar", event.Sorting, &event.Sorted{Size: 2, N: 6}},
		{"Alder", event.Desk, &event.Recount{Of: event.Holding, N: 6}},
		{"Alder", event.Desk, &event.Recount{Of: event.Holding, Size: 2, N: 6}},
	} {
		p, err := r.Join(one.person, one.station)
		ok(t, err)
		ok(t, r.Do(p, one.fact))
		ok(t, r.Within(p.InRoom))
	}
	ok(t, r.Do(r.Office, &event.Ended{}))
	ok(t, r.Within(r.Office.InRoom))
	lead := device(t)
	ok(t, r.JoinLead(lead, r.URL(), "Yew"))
	const card = `[...document.querySelectorAll(".apart-card")].find((c) => c.innerText.includes("Sorted and placed disagree"))`
	ok(t, lead.Until(card+`?.innerText.includes("They were counted and are there: reject them with a reason (surplus) or place them.")`))
	again, err := browser.Eval[bool](lead, card+`.innerText.toLowerCase().includes("count again")`)
	ok(t, err)
	if again {
		t.Error("the card asks for what was counted to be counted again")
	}
}
