package scenes

import (
	"fmt"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// apart is the lead's phone on a day when tallies do not agree, objects were
// counted again, and a region is past its limits.
func (t *Tour) apart() error {
	r := t.day.Beside("apart")
	if err := Apart(r); err != nil {
		return err
	}
	return t.with(func(p *browser.Page) error {
		if err := r.JoinLead(p, r.URL(), "Yew"); err != nil {
			return err
		}
		settles := func(n int) step {
			return press(".settles-it:not(:disabled)", n)
		}
		return t.visit(p, "lead",
			plain("apart", until(`document.querySelectorAll(".apart-card").length === 4`), inRoom),
			plain("apart-cards", scrolled(".apart-card", 0)),
			plain("apart-cards-more", scrolled(".apart-card", 1)),
			sheet("recount", press(".apart-card .acts .do", 0)),
			sheet("late", press(".apart-card .acts .do", 2)),
			sheet("settle", settles(0), there(".o-hold")),
			sheet("settle-wrong", settles(0), write(inside+" .reason", " "), func(p *browser.Page) error {
				return p.Holds(inside+" .o-hold", fmt.Sprintf("document.querySelector(%q)", inside+" .wrong"))
			}),
			plain("settled", Settling, opens(5), scrolled(".fold", 5)),
			plain("past-limits", opens(3), scrolled(".fold", 3)),
			plain("sizes", opens(2), scrolled(".fold", 2)),
		)
	})
}

// Settling settles the first difference that can be, through the sheet, and
// waits until its card is gone.
func Settling(p *browser.Page) error {
	const titles = `[...document.querySelectorAll(".apart-card")].map((card) => card.querySelector("h2").innerText)`
	title, err := browser.Eval[string](p, `document.querySelector(".settles-it:not(:disabled)").closest(".apart-card").querySelector("h2").innerText`)
	if err != nil {
		return err
	}
	return all(p, press(".settles-it:not(:disabled)", 0), write(inside+" .reason", "Counted again, two lay under the gauze"),
		func(p *browser.Page) error { return p.Holds(inside+" .o-hold", `!document.querySelector("dialog")`) },
		until(fmt.Sprintf("!%s.includes(%q)", titles, title)))
}

// opens opens the n-th part of the lead's screen.
func opens(n int) step {
	return until(fmt.Sprintf(`(() => { const f = document.querySelectorAll(".fold")[%d]; if (f) f.open = true; return f !== undefined; })()`, n))
}

// Apart opens a session in which taps and the device disagree, the bench and a
// dish were counted again and hold other numbers, and a region is past its share.
func Apart(r *rig.Rig) error {
	plan := []event.Fact{
		&event.Budget{Grafts: 900},
		&event.Zone{Name: "Front", AreaMM2: 1800, Density10: 500, Mix: [4]uint16{600, 350, 50, 0}},
		&event.Region{Code: "SL", Name: "Side left", AreaMM2: 2000, Density10: 800, SharePerMille: 120, HairsPerUnit100: 140},
		&event.Region{Code: "BK", Name: "Back", AreaMM2: 6000, Density10: 800, SharePerMille: 200},
	}
	if err := r.OpenWith(r.Opening("E-5"), plan...); err != nil {
		return err
	}
	if err := facts(r, "Ash", event.Extraction, &event.PassBegun{Mode: event.Each, DiameterUM: 900}); err != nil {
		return err
	}
	pass, left, back := r.Names["each"], r.Names["SL"], r.Names["BK"]
	if err := facts(r, "Hazel", event.Extraction,
		&event.Reading{Pass: pass, Region: left, Counter: "punch", Direction: event.Up, Value: 1000},
		&event.Attempt{Pass: pass, Region: left, Outcome: event.Intact, N: 205},
		&event.Attempt{Pass: pass, Region: back, Outcome: event.Intact, N: 180},
		&event.Attempt{Pass: pass, Region: back, Outcome: event.Empty, N: 9},
		&event.Reading{Pass: pass, Region: back, Counter: "punch", Direction: event.Up, Value: 1400},
		&event.PassEnded{Pass: pass}); err != nil {
		return err
	}
	if err := facts(r, "Cedar", event.Sorting, &event.Sorted{Size: 1, N: 90}, &event.Sorted{Size: 2, N: 170}, &event.Sorted{Size: 3, N: 80},
		&event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: 11}); err != nil {
		return err
	}
	if err := facts(r, "Rowan", event.SiteMaking, &event.Sites{Zone: r.Names["Front"], Size: 1, N: 60}, &event.Sites{Zone: r.Names["Front"], Size: 2, N: 40}); err != nil {
		return err
	}
	if err := facts(r, "Linden", event.Placing, &event.Placed{Zone: r.Names["Front"], Size: 1, N: 63}); err != nil {
		return err
	}
	return facts(r, "Maple", event.Desk, &event.Recount{Of: event.Bench, N: 32}, &event.Recount{Of: event.Holding, Size: 3, N: 78})
}
