package e2e

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
	"rootledger/tests/e2e/scenes"
)

// leading is a lead's phone in a session where tallies do not agree.
func leading(t *testing.T) (*rig.Rig, *browser.Page) {
	t.Helper()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, scenes.Apart(r))
	p := device(t)
	ok(t, r.JoinLead(p, r.URL(), "Yew"))
	ok(t, p.Until(`document.querySelectorAll(".apart-card").length === 4`))
	return r, p
}

// amounts are the differences of a view, by what they are of.
func amounts(v session.View) map[event.Identity]int64 {
	out := map[event.Identity]int64{}
	for _, d := range v.Differences {
		out[d.What] += d.Amount
	}
	return out
}

// wantApart waits until another phone of the room sees a difference of some
// amount, 0 for none.
func wantApart(t *testing.T, r *rig.Rig, what event.Identity, want int64) {
	t.Helper()
	var got int64
	err := r.Within(func(ctx context.Context) error {
		for {
			events := r.Office.Events()
			if got = amounts(r.Office.Settled())[what]; got == want {
				return nil
			}
			if err := r.Office.Until(ctx, func(now int, _, _ uint64) bool { return now > events }); err != nil {
				return err
			}
		}
	})
	if err != nil {
		t.Errorf("%s: got %d apart, want %d: %v", what, got, want, err)
	}
}

// The lead settles what a recount left over: the amount stands there, a reason
// must be said, the button be held. Undone, the difference is back.
func TestSettling(t *testing.T) {
	r, p := leading(t)
	wantApart(t, r, event.OnBench, 2)
	const inside = "dialog[open] .inside"
	bench, err := browser.Eval[int](p, `[...document.querySelectorAll(".apart-card")].findIndex((c) => c.innerText.includes("Out and sorted disagree"))`)
	ok(t, err)
	settle := fmt.Sprintf(`document.querySelectorAll(".apart-card")[%d].querySelector(".settles-it")`, bench)
	_, err = browser.Eval[bool](p, settle+".click() || true")
	ok(t, err)
	ok(t, p.Until(fmt.Sprintf("document.querySelector(%q)", inside)))
	if got, err := p.Field("Take off"); err != nil || got != "2" {
		t.Errorf("the amount is prefilled with %q (%v), want 2", got, err)
	}
	ok(t, p.Holds(inside+" .o-hold", fmt.Sprintf("document.querySelector(%q)", inside+" .wrong")))
	says(t, p, inside+" .wrong", "Say why, in a few words. Nothing was settled.")
	wantApart(t, r, event.OnBench, 2)
	ok(t, p.Fill("Reason, for the record", "Two lay under the gauze"))
	ok(t, p.Holds(inside+" .o-hold", `!document.querySelector("dialog")`))
	wantApart(t, r, event.OnBench, 0)
	if got := r.Office.Settled().Settles; len(got) != 1 || got[0].Amount != -2 || got[0].Person != "Yew" || got[0].Reason != "Two lay under the gauze" {
		t.Errorf("settled %+v, want −2 by Yew", got)
	}
	ok(t, p.Click(".fold:has(.settles) summary"))
	ok(t, p.Click(".settles .do"))
	wantApart(t, r, event.OnBench, 2)
	ok(t, p.Until(`document.querySelectorAll(".apart-card").length === 4 && !document.querySelector(".settles")`))
}

// What nobody has counted again can not be settled, and the card says so.
func TestSettlingAsksForARecount(t *testing.T) {
	r, p := leading(t)
	wantApart(t, r, event.SitesOpen, -3)
	const sites = `[...document.querySelectorAll(".apart-card")].find((c) => c.innerText.includes("More placed than sites made"))`
	blocked, err := browser.Eval[bool](p, sites+`.querySelector(".settles-it").disabled`)
	ok(t, err)
	text, err := browser.Eval[string](p, sites+".innerText")
	ok(t, err)
	if !blocked || !strings.Contains(text, "once somebody has counted the objects again") {
		t.Errorf("settling is blocked: %v, the card says %q; want it blocked, with why", blocked, text)
	}
	desk, err := r.Join("Sorrel", event.Desk)
	ok(t, err)
	ok(t, r.Do(desk, &event.Recount{Of: event.OpenSites, Zone: r.Names["Front"], Size: 1, N: 0}))
	ok(t, p.Until(sites+`?.querySelector(".settles-it:not(:disabled)")`))
}

// Shots in the air are taken off the region that the lead names.
func TestSettlingShotsInTheAir(t *testing.T) {
	r := opened(t, 400)
	pass := func(fact event.Fact) {
		t.Helper()
		puncher, err := r.Join("Hazel", event.Extraction)
		ok(t, err)
		ok(t, r.Do(puncher, fact))
		ok(t, r.Within(puncher.InRoom))
	}
	pass(&event.PassBegun{Mode: event.Pulled})
	of := r.Names["pulled"]
	pass(&event.Fired{Pass: of, Region: r.Names["SL"], N: 7})
	pass(&event.Fired{Pass: of, Region: r.Names["BL"], N: 5})
	pass(&event.Attempt{Pass: of, Region: r.Names["BL"], Outcome: event.Intact, N: 9})
	pass(&event.PassEnded{Pass: of})
	p := device(t)
	ok(t, r.JoinLead(p, r.URL(), "Yew"))
	ok(t, p.Click(".settles-it"))
	ok(t, p.Until(`document.querySelector("dialog select")`))
	_, err := browser.Eval[bool](p, fmt.Sprintf(`{ const s = document.querySelector("dialog select"); s.value = %q; s.dispatchEvent(new Event("change", { bubbles: true })) }`, r.Names["BL"].String()))
	ok(t, err)
	ok(t, p.Fill("Reason, for the record", "Three in the air"))
	ok(t, p.Holds("dialog .o-hold", `!document.querySelector("dialog")`))
	wantApart(t, r, event.Pending, 0)
	for _, region := range r.Office.Settled().Regions {
		if want := map[string]int64{"SL": 7, "BL": 2}[region.Code]; region.Punched != want {
			t.Errorf("%s: %d attempts, want %d", region.Code, region.Punched, want)
		}
	}
}

// From the headline down to what a zone is made of, and back; the sheet that
// lies on top closes alone.
func TestWhereAFigureComesFrom(t *testing.T) {
	r, p := leading(t)
	title := func(want string) { t.Helper(); says(t, p, "dialog[open] h2", want) }
	term := func(name string) {
		t.Helper()
		row := fmt.Sprintf(`[...document.querySelectorAll(".where-from .terms tr")].find((r) => r.innerText.startsWith(%q))?.querySelector(".asked")`, name)
		ok(t, p.Until(row))
		_, err := browser.Eval[bool](p, row+".click() || true")
		ok(t, err)
	}
	ok(t, p.Click(".say h2 .asked"))
	title("Still to take")
	says(t, p, ".where-from .stood", "527 to take")
	term("budget")
	title("Budget")
	says(t, p, ".where-from .stood", "900")
	says(t, p, ".where-from .entries .word", "900 budget")
	term("need")
	title("Need")
	term("Front")
	title("Need · Front")
	says(t, p, ".where-from .terms tr:nth-child(1)", "area in cm² 18")
	says(t, p, ".where-from .terms tr:nth-child(2)", "density per cm² 50")
	for _, back := range []string{"Need", "Budget", "Still to take"} {
		ok(t, p.Click(".where-from > .do"))
		title(back)
	}
	ok(t, r.Do(r.Office, &event.Budget{Grafts: 880})) // while the sheet is open
	says(t, p, ".where-from .stood", "507 to take")
	says(t, p, ".where-from .terms tr:nth-child(1)", "budget 880")
	ok(t, p.Press("dialog[open] > header button", 0))
	ok(t, p.Until(`!document.querySelector("dialog") && document.activeElement.matches(".say h2 .asked")`))
	if thrown := p.Thrown(); len(thrown) > 0 {
		t.Errorf("the page threw %q", thrown)
	}
}
