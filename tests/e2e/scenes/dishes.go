package scenes

import (
	"fmt"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// dishDay opens a session that works with dishes: four stand open, one of them
// mixed, one was closed with a graft in it by the tallies, one has less than
// nothing, and dish 15 was counted again and is one off.
func dishDay(r *rig.Rig) error {
	if err := r.OpenWith(r.Opening("E-52"), append([]event.Fact{&event.Budget{Grafts: 1200}}, rig.Plan(1200)...)...); err != nil {
		return err
	}
	if err := facts(r, "Ash", event.Extraction, &event.PassBegun{Mode: event.Each}); err != nil {
		return err
	}
	if err := facts(r, "Hazel", event.Extraction, &event.Attempt{Pass: r.Names["each"], Region: r.Names["BL"], Outcome: event.Intact, N: 480}); err != nil {
		return err
	}
	if err := facts(r, "Rowan", event.SiteMaking, &event.Sites{Zone: r.Names["Front"], Size: 2, N: 120}, &event.Sites{Zone: r.Names["Middle"], Size: 3, N: 90}); err != nil {
		return err
	}
	p, err := r.Join("Alder", event.Desk)
	if err != nil {
		return err
	}
	refs := map[string]event.Ref{}
	for _, d := range []event.Dish{{Label: "13", Size: 1}, {Label: "14", Size: 2}, {Label: "15", Size: 3}, {Label: "16"}, {Label: "12", Size: 4}} {
		e, err := p.Tap(&d, false)
		if err != nil {
			return err
		}
		refs[d.Label] = e.Ref()
	}
	if err := r.Within(p.InRoom); err != nil {
		return err
	}
	if err := facts(r, "Cedar", event.Sorting,
		&event.Sorted{Size: 1, N: 20, Dish: refs["13"]}, &event.Sorted{Size: 2, N: 100, Dish: refs["14"]}, &event.Sorted{Size: 3, N: 97, Dish: refs["15"]},
		&event.Sorted{Size: 1, N: 12, Dish: refs["16"]}, &event.Sorted{Size: 2, N: 34, Dish: refs["16"]}, &event.Sorted{Size: 4, N: 5, Dish: refs["16"]},
		&event.Sorted{Size: 4, N: 18, Dish: refs["12"]}, &event.Sorted{Size: 2, N: 110}); err != nil {
		return err
	}
	if err := facts(r, "Linden", event.Placing, &event.Placed{Zone: r.Names["Front"], Size: 1, N: 23, Dish: refs["13"]},
		&event.Placed{Zone: r.Names["Front"], Size: 2, N: 40}, &event.Placed{Zone: r.Names["Crown"], Size: 4, N: 17, Dish: refs["12"]}); err != nil {
		return err
	}
	return facts(r, "Maple", event.Desk, &event.DishClosed{Dish: refs["12"]}, &event.Recount{Of: event.Holding, Dish: refs["15"], N: 96})
}

const (
	keys  = inside + " .keys .pad2" // 1 to 9, clear, 0, done
	tasks = ".tasks .pad2"          // recount, dish, hand over, pause, note
)

// asked waits until a recount asks for a size: the one before is kept then.
func asked(size string) step {
	return until(fmt.Sprintf(`document.querySelector(".question h3")?.innerText.includes(%q)`, size))
}

// typed enters a number on the large keys.
func typed(digits string) step {
	return func(p *browser.Page) error {
		for _, d := range digits {
			at := int(d-'0') - 1
			if d == '0' {
				at = 10
			}
			if err := p.Press(keys, at); err != nil {
				return err
			}
		}
		return p.Press(keys, 11)
	}
}

// calls presses what is called so.
func calls(name string) step { return func(p *browser.Page) error { return p.Do(name) } }

// picks opens a dish of the desk by its label.
func picks(label string) step {
	return func(p *browser.Page) error {
		find := fmt.Sprintf(`[...document.querySelectorAll(".dishes button")].find((e) => e.querySelector("b").innerText.trim().endsWith(%q))`, label)
		if err := p.Until(find); err != nil {
			return err
		}
		_, err := browser.Eval[bool](p, find+".click() || true")
		return err
	}
}

// desk is the station of the circulator: in a day without dishes, and with.
func (t *Tour) desk() error {
	if err := t.at("Alder", "desk", func(p *browser.Page) error {
		return t.visit(p, "desk", plain("no-dish", inRoom))
	}); err != nil {
		return err
	}
	return t.inDishes("5", "Alder", "desk", func(p *browser.Page) error {
		recount := press(tasks, 0)
		field := inside + " .parts tr:last-child td:nth-child(3) input"
		return t.visit(p, "desk",
			plain("plain", there(".dishes"), inRoom),
			sheet("dish", picks("14")),
			sheet("dish-mixed", picks("16")),
			sheet("dish-shown", picks("16"), calls("Show what is in it"), there(inside+" .init")),
			sheet("dish-close", picks("16"), calls("Close the dish"), there(inside+" .warn")),
			sheet("dish-closed", picks("12")),
			sheet("done", picks("14"), calls("Dish done"), there(inside+" .parts")),
			sheet("done-wrong", picks("16"), calls("Dish done"), there(inside+" .parts"), write(field, "3"), calls("Keep: dish done"), there(inside+" .wrong")),
			sheet("done-unlike", picks("16"), calls("Dish done"), there(inside+" .parts"), write(inside+" .parts td input", "9"), calls("Keep: dish done"), there(inside+" .warn")),
			sheet("new", press(tasks, 1)),
			sheet("new-taken", press(tasks, 1), write(inside+" input", "\b\b14"), calls("Open it"), there(inside+" .wrong")),
			sheet("hand", press(tasks, 2), calls("go on"), there(inside+" .wrong")),
			sheet("pause", press(tasks, 3)),
			sheet("note", press(tasks, 4)),
			sheet("recount", recount),
			sheet("blind", recount, calls("Dish 14"), there(keys)),
			sheet("blind-wrong", recount, calls("Dish 14"), press(keys, 11), there(inside+" .wrong")),
			sheet("apart", recount, calls("Dish 14"), typed("97"), there(inside+" .apart")),
			sheet("agrees", recount, calls("Dish 14"), typed("100"), there(inside+" .compared .row")),
			sheet("by-size", recount, calls("Dish 16, by size"), asked("singles"), typed("12"), asked("doubles"), typed("35"), asked("triples")),
			sheet("apart-by-size", recount, calls("Dish 16, by size"), asked("singles"), typed("12"), asked("doubles"), typed("35"),
				asked("triples"), typed("0"), asked("fours"), typed("4"), there(inside+" .apart")),
			plain("recounted", scrolled(".recounts", 0)),
		)
	})
}

// inDishes gives work a phone that has joined a station of a day with dishes, in
// a room of its own.
func (t *Tour) inDishes(room, person, station string, work func(p *browser.Page) error) error {
	r := t.day.Beside(room)
	if err := dishDay(r); err != nil {
		return err
	}
	return t.with(func(p *browser.Page) error {
		if err := r.JoinPage(p, r.URL(), person, station); err != nil {
			return err
		}
		return work(p)
	})
}

// sortingDishes is sorting into dishes, with singles that run short and a
// recount to be late for.
func (t *Tour) sortingDishes() error {
	return t.inDishes("6", "Sorrel", "sorting", func(p *browser.Page) error {
		choose := func(name string) step {
			return func(p *browser.Page) error {
				return all(p, press(where, 0), func(p *browser.Page) error {
					find := fmt.Sprintf(`[...document.querySelectorAll("dialog[open] .choices button")].find((e) => e.innerText.startsWith(%q))`, name)
					if err := p.Until(find); err != nil {
						return err
					}
					_, err := browser.Eval[bool](p, find+".click() || true")
					return err
				}, closed)
			}
		}
		return t.visit(p, "sorting",
			plain("no-dish", there(four), inRoom),
			plain("one-dish", choose("Dish 16"), taps(four, 0, 6), inRoom),
			plain("dishes", choose("Dish 14"), choose("Dish 15"), choose("Dish 13"), taps(four, 2, 9), inRoom),
			sheet("fill", press(where, 0)),
			sheet("stand", press(where, 1)),
			sheet("split-dish", press(small, 1)),
			sheet("reject-late", press(small, 0), there(inside+" .tick")),
			sheet("many-late", press(small, 2), there(inside+" .tick")),
		)
	})
}

// placingDishes is placing out of a dish.
func (t *Tour) placingDishes() error {
	return t.inDishes("7", "Willow", "placing", func(p *browser.Page) error {
		return t.visit(p, "placing",
			sheet("take", there(".zonepick"), press(under, 2)),
			plain("from-dish", press(under, 2), press(inside+" .choices button", 1), closed, taps(four, 1, 7), inRoom),
			sheet("take-chosen", press(under, 2)),
			sheet("dish-done", press(under, 2), press(inside+" .do.first", 0), there(inside+" .parts")),
			sheet("back-into", press(under, 0), there(inside+" select")),
		)
	})
}

// corrections is moving entries, readings, and what was there already.
func (t *Tour) corrections() error {
	return t.inDishes("8", "Birch", "extraction", func(p *browser.Page) error {
		more := func(p *browser.Page) error { return all(p, press(small, 5), calls("a reading")) }
		list := func(p *browser.Page) error {
			return all(p, press("button.menu", 0), press(".entries-open", 0), there(".entries li"))
		}
		pick := func(p *browser.Page) error { return all(p, list, calls("Move entries"), there(".entries .tick")) }
		reads := func(n string) step {
			return func(p *browser.Page) error {
				return all(p, write(inside+" .reading input", n), calls("keep as a reading"))
			}
		}
		return t.visit(p, "phone",
			plain("first-use", there(".opening"), inRoom),
			sheet("opening", press(".opening", 0)),
			sheet("opening-wrong", press(".opening", 0), calls("Keep"), there(inside+" .wrong")),
			plain("counted", taps(big, 0, 30), taps(small, 0, 2), inRoom),
			sheet("reading", more, reads("1000"), there(inside+" .reading [role=status]")),
			sheet("reading-apart", more, reads("1040"), there(inside+" .reading [role=status]")),
			sheet("reading-against", more, reads("412"), there(inside+" .ask")),
			plain("reading-line", there(".line"), inRoom),
			sheet("entries-pick", pick, calls("last 10")),
			sheet("entries-move", pick, calls("last 25"), calls("Move 25 entries to"), there(inside+" .choices")),
			sheet("entries-moved", pick, calls("last 10"), calls("Move 10 entries to"), calls("BR · Back right"), there(".kept"),
				until(`[...document.querySelectorAll(".entries .when")].filter((e) => e.innerText.includes("moved")).length >= 10`)),
		)
	})
}
