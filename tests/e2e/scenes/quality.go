package scenes

import (
	"errors"

	"rootledger/pwa/words"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// qualities are the phones of a day on which more grafts are cut than usual.
func (t *Tour) qualities() error {
	r := t.day.Beside("look")
	if err := Looks(r); err != nil {
		return err
	}
	return t.qualityPhones(r)
}

// Looks opens a session with two passes. In the second more are cut than usual,
// and nobody has looked yet; a sample of the first was inspected.
func Looks(r *rig.Rig) error {
	if err := r.Open("Q-3", 1600); err != nil {
		return err
	}
	if err := facts(r, "Ash", event.Extraction, &event.PassBegun{Mode: event.Each, DiameterUM: 900}); err != nil {
		return err
	}
	first, left, back := r.Names["each"], r.Names["SL"], r.Names["BL"]
	taps := func(pass, region event.Ref, rounds int, intact, partial, total uint32) (out []event.Fact) {
		for range rounds {
			for i, n := range [...]uint32{intact, partial, total} {
				if n > 0 {
					out = append(out, &event.Attempt{Pass: pass, Region: region, Outcome: event.Outcome(i + 1), N: n})
				}
			}
		}
		return out
	}
	said := append(taps(first, left, 6, 46, 2, 1), taps(first, back, 5, 48, 1, 1)...)
	said = append(said, &event.Attempt{Pass: first, Region: back, Outcome: event.Buried, N: 3}, &event.Attempt{Pass: first, Outcome: event.Topped, N: 4})
	if err := facts(r, "Hazel", event.Extraction, said...); err != nil {
		return err
	}
	second, err := secondPass(r)
	if err != nil {
		return err
	}
	if err := facts(r, "Birch", event.Extraction, append(taps(second, back, 3, 47, 2, 1), taps(second, back, 4, 3, 2, 1)...)...); err != nil {
		return err
	}
	return facts(r, "Cedar", event.Sorting, &event.Sorted{Size: 2, N: 240},
		&event.Inspected{Pass: first, Region: left, Grafts: 20, Whole: 43, Cut: 2}, &event.Looked{Pass: first, Grafts: 10, Damaged: 1})
}

// secondPass begins another pass, by somebody else.
func secondPass(r *rig.Rig) (event.Ref, error) {
	p, err := r.Join("Elder", event.Extraction)
	if err != nil {
		return event.Ref{}, err
	}
	if err := r.Do(p, &event.PassBegun{Mode: event.Each, DiameterUM: 850}); err != nil {
		return event.Ref{}, err
	}
	return r.Names["each"], r.Within(p.InRoom)
}

// folded opens the fold that is called so, and brings it to the top.
func folded(key string) step {
	title := words.English().Text(key)
	return until(`(() => {
		const f = [...document.querySelectorAll(".fold")].find((one) => one.querySelector("h2").innerText === "` + title + `");
		if (!f) return false;
		f.open = true;
		const box = document.querySelector(".scroll");
		box.scrollTop += f.getBoundingClientRect().top - box.getBoundingClientRect().top;
		return true;
	})()`)
}

func (t *Tour) qualityPhones(r *rig.Rig) error {
	lead := t.with(func(p *browser.Page) error {
		if err := r.JoinLead(p, r.URL(), "Yew"); err != nil {
			return err
		}
		number := inside + ` input[inputmode="numeric"]`
		return t.visit(p, "lead",
			plain("look-asks", there(".ask .do"), inRoom),
			plain("quality", folded("quality.title"), there(".rates")),
			sheet("quality-where", press(".rates .asked", 0), there(".where-from .terms")),
			sheet("watch", do("quality.setWatch"), there(inside+" [role=status]")),
			sheet("watch-wrong", do("quality.setWatch"), write(inside+" input", "12"), there(inside+" .wrong")),
			sheet("look", press(".ask .do", 0), there(number)),
			sheet("look-wrong", press(".ask .do", 0), write(number, "3"), write(inside+" label:nth-of-type(2) "+`input[inputmode="numeric"]`, "4"),
				press(inside+" .do.first", 0), there(inside+" .wrong")),
		)
	})
	desk := t.with(func(p *browser.Page) error {
		if err := r.JoinPage(p, r.URL(), "Maple", "desk"); err != nil {
			return err
		}
		return t.visit(p, "desk", plain("look", there(".ask .do"), inRoom))
	})
	return errors.Join(lead, desk, t.with(func(p *browser.Page) error {
		if err := r.JoinPage(p, r.URL(), "Birch", "extraction"); err != nil {
			return err
		}
		return t.visit(p, "extraction",
			plain("look", press(where, 1), press(inside+" .choices button", 1), closed, there(".tight"), inRoom),
			sheet("look-entered", press(small, 5), press(inside+" .do", 0), there(inside+" textarea, "+inside+` input[inputmode="numeric"]`)),
			sheet("inspect", press(".last .menu", 0), do("quality.inspect"), there(inside+` select`)))
	}))
}

// card brings the card of the office that is called so to the top.
func card(key string) step {
	title := words.English().Text(key)
	return until(`(() => {
		const h = [...document.querySelectorAll(".o-card > h2")].find((one) => one.innerText === "` + title + `");
		h?.scrollIntoView();
		return h !== undefined;
	})()`)
}

func (t *Tour) officeQuality() error {
	r := t.day.Beside("office-look")
	if err := Looks(r); err != nil {
		return err
	}
	return t.with(func(p *browser.Page) error {
		return t.visit(p, "office",
			plain("quality", open(r.URL()+"/office#"+r.API.Office), there(".o-rooms tbody tr"), fill("office.person", "Oak"), do("office.today"),
				func(p *browser.Page) error { return p.Do("Open Room " + r.Room + " · Q-3") }, there(".o-session .o-figures"), inRoom,
				there(".o-shares"), card("quality.table")),
			plain("quality-chart", card("quality.chart")),
			plain("quality-watch", card("quality.setWatch")))
	})
}
