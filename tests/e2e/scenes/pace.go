package scenes

import (
	"time"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

// pace is the lead's phone in a session that runs forty times as fast, so that
// stations have a pace after some seconds.
func (t *Tour) pace() error {
	r := t.day.Beside("pace")
	opening := r.Opening("F-2")
	now := uint64(time.Now().UnixMilli())
	opening.Practice = event.Practice{StartMs: now, RealMs: now, Speed: 40}
	plan := []event.Fact{
		&event.Budget{Grafts: 1200},
		&event.Zone{Name: "Front", AreaMM2: 2400, Density10: 500, Mix: [4]uint16{600, 350, 50, 0}},
		&event.Region{Code: "BK", Name: "Back", AreaMM2: 9000, Density10: 800, SharePerMille: 250, HairsPerUnit100: 210},
	}
	if err := r.OpenWith(opening, plan...); err != nil {
		return err
	}
	if err := facts(r, "Ash", event.Extraction, &event.PassBegun{Mode: event.Each}); err != nil {
		return err
	}
	out := &event.Attempt{Pass: r.Names["each"], Region: r.Names["BK"], Outcome: event.Intact, N: 9}
	if err := facts(r, "Hazel", event.Extraction, out, out, out, out, out, out); err != nil {
		return err
	}
	if err := facts(r, "Cedar", event.Sorting, &event.Sorted{Size: 1, N: 8}, &event.Sorted{Size: 2, N: 14}); err != nil {
		return err
	}
	return t.with(func(p *browser.Page) error {
		if err := r.JoinLead(p, r.URL(), "Yew"); err != nil {
			return err
		}
		const running = `[...document.querySelectorAll(".paces h3 ~ .asked")].filter((f) => f.innerText.includes("an hour")).length > 1`
		return t.visit(p, "lead", plain("pace", opens(1), until(running), scrolled(".fold", 1)),
			plain("day", folded("day.title"), until(`(() => {
				const s = document.querySelector(".day-so-far input");
				if (document.querySelector(".day-so-far table.close")) return true;
				s.value = Math.round((Number(s.min) + Number(s.max)) / 2);
				s.dispatchEvent(new Event("input", { bubbles: true }));
				return new Promise((soon) => setTimeout(() => soon(false), 600));
			})()`), folded("day.title")),
			plain("sight", folded("sight.title")))
	})
}
