package e2e

import (
	"strings"
	"testing"

	"rootledger/shared/event"
)

// A case goes on on another day: the office starts a session whose plan is what
// the first one leaves.
func TestAnotherDayOfACase(t *testing.T) {
	r := opened(t, 400) // Front needs 120: 72 + 42 + 6
	puncher, err := r.Join("Hazel", event.Extraction)
	ok(t, err)
	ok(t, r.Do(puncher, &event.PassBegun{Mode: event.Each}))
	ok(t, r.Do(puncher, &event.Attempt{Pass: r.Names["pass"], Region: r.Names["SL"], Outcome: event.Intact, N: 60}))
	ok(t, r.Do(puncher, &event.Attempt{Pass: r.Names["pass"], Outcome: event.Empty, N: 2})) // of no region
	placer, err := r.Join("Linden", event.Placing)
	ok(t, err)
	ok(t, r.Do(placer, &event.Placed{Zone: r.Names["Front"], Size: 1, N: 50}))
	ok(t, r.Do(r.Office, &event.Ended{}))
	ok(t, r.Within(puncher.InRoom))
	ok(t, r.Within(placer.InRoom))
	ok(t, r.Within(r.Office.InRoom))

	desk := screen(t, 1280, 800)
	ok(t, desk.Open(r.URL()+"/office#"+r.API.Office))
	ok(t, desk.Until(`document.querySelector(".o-table, table")`))
	fill(t, desk, [2]string{"office.person", "Alder"})
	ok(t, desk.Press("table button.do", 0))
	ok(t, desk.Until(`[...document.querySelectorAll("h2")].some((e) => e.innerText === "Another day of this case")`))
	ok(t, desk.Until(`[...document.querySelectorAll(".o-warn")].some((e) => e.innerText.startsWith("2 attempts name no region"))`))
	fill(t, desk, [2]string{"office.case-code", "a patient"})
	ok(t, desk.Do(said("office.day-do")))
	ok(t, desk.Until(`document.querySelector(".o-wrong")`))
	fill(t, desk, [2]string{"office.case-code", "A-12"})
	ok(t, desk.Do(said("office.day-do")))
	ok(t, desk.Until(`document.querySelector(".o-head")?.innerText.includes("runs since")`))
	ok(t, desk.Until(`document.querySelector(".o-figures dd")?.innerText === "350"`))
	ok(t, desk.Until(`document.querySelector(".o-list .o-total b")?.innerText === "70"`)) // of Front
	ok(t, desk.Do(strings.ReplaceAll(said("office.change-what"), "{what}", "Side left")))
	harvested, err := desk.Field(said("office.harvested"))
	ok(t, err)
	if harvested != "60" {
		t.Errorf("harvested before in SL: got %q, want 60", harvested)
	}
	ok(t, desk.Until(`!document.querySelector(".o-wrong")`))
	if thrown := desk.Thrown(); len(thrown) > 0 {
		t.Errorf("the page threw %q", thrown)
	}
}
