package e2e

import (
	"fmt"
	"strings"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/scenes"
)

// An outline traced on a photo with a ruler gives the area; keys move its
// points, and what crosses itself is refused in words. The photo is not sent.
func TestTracedOutline(t *testing.T) {
	_, desk, _ := office(t)
	startSession(t, desk)
	ok(t, desk.Do(said("office.zone-add")))
	fill(t, desk, [2]string{"office.name", "Front"}, [2]string{"office.density", "40"}, [2]string{"office.hairs-1", "100"})
	ok(t, desk.Do(said("area.outline")))
	ok(t, desk.Until(`document.querySelector(".trace-file input")`))
	_, err := browser.Eval[bool](desk, `(() => { window.loaded = performance.getEntriesByType("resource").length; return true; })()`)
	ok(t, err)
	photo, err := scenes.Photo(t.TempDir())
	ok(t, err)
	ok(t, desk.Choose(".trace-file input", photo))
	ok(t, desk.Until(`document.querySelector(".trace svg")`))
	for _, at := range [][2]int{{100, 800}, {600, 800}, {400, 200}, {700, 200}, {700, 400}, {400, 400}} {
		ok(t, scenes.Spot(desk, at[0], at[1]))
	}
	ok(t, desk.Until(`document.querySelectorAll(".trace-spot").length === 6`))
	fill(t, desk, [2]string{"trace.ruler-mm", "100"})
	area := func(want string) {
		t.Helper()
		ok(t, desk.Until(fmt.Sprintf(`document.querySelector(".area-answer p").innerText.trim() === %q`, want)))
	}
	// A screen's points are not whole units of the photo, so a corner may be one off.
	ok(t, desk.Until(`Math.abs(parseFloat(document.querySelector(".area-answer b")?.innerText) - 24) <= 0.3`))

	at, err := browser.Eval[[]int](desk, `[...document.querySelectorAll(".trace-spot")].flatMap((s) => [...s.ariaValueText.matchAll(/\d+/g)].map(Number))`)
	ok(t, err)
	for i, want := range []int{100, 800, 600, 800, 400, 200, 700, 200, 700, 400, 400, 400} {
		move(t, desk, i/2, i%2 == 0, want-at[i])
	}
	area("24 cm²")

	move(t, desk, 4, true, -400) // the third corner far to the left: sides cross
	ok(t, desk.Until(fmt.Sprintf(`document.querySelector(".area-answer p").innerText.startsWith(%q)`, strings.Split(said("fault.outline-crosses"), " (")[0])))
	move(t, desk, 4, true, 400)
	area("24 cm²")
	ok(t, desk.Do(said("area.use")))
	if got, err := desk.Field(said("office.area")); err != nil || got != "24" {
		t.Errorf("the field has %q, %v, want 24", got, err)
	}
	if got, err := desk.Field(said("office.name")); err != nil || got != "Front" {
		t.Errorf("the name is %q, %v, want what was typed", got, err)
	}
	asked, err := browser.Eval[string](desk, `performance.getEntriesByType("resource").slice(window.loaded).map((e) => e.name).join(" ")`)
	ok(t, err)
	if strings.Contains(asked, "blob:") || strings.Contains(asked, "data:") {
		t.Errorf("after the photo was chosen the page asked for %s", asked)
	}
	ok(t, desk.Do(said("office.zone-add")))
	ok(t, desk.Until(`document.querySelector(".o-list .o-total b")?.innerText === "960"`))
}

// move sends arrow keys to a point.
func move(t *testing.T, p *browser.Page, spot int, across bool, by int) {
	t.Helper()
	key := "ArrowDown"
	switch {
	case across && by < 0:
		key = "ArrowLeft"
	case across:
		key = "ArrowRight"
	case by < 0:
		key = "ArrowUp"
	}
	if by < 0 {
		by = -by
	}
	_, err := browser.Eval[bool](p, fmt.Sprintf(`(async () => {
		let left = %d;
		while (left > 0) {
			const far = left >= 20;
			const handle = document.querySelectorAll(".trace-spot")[%d];
			handle.focus();
			handle.dispatchEvent(new KeyboardEvent("keydown", { key: %q, shiftKey: far, bubbles: true, cancelable: true }));
			left -= far ? 20 : 1;
			await new Promise((r) => requestAnimationFrame(() => setTimeout(r)));
		}
		return true;
	})()`, by, spot, key))
	ok(t, err)
}

// A budget above its limit is refused with the limit and its side, what was
// typed stays, and with a reason it is taken.
func TestBudgetAbove(t *testing.T) {
	_, desk, _ := office(t)
	startSession(t, desk)
	planSession(t, desk)
	fill(t, desk, [2]string{"office.grafts", "950"})
	ok(t, desk.Do(said("office.set-budget")))
	refused := strings.NewReplacer("{side}", "need", "{limit}", "900").Replace(said("fault.budget-above"))
	wrong(t, desk, "office.grafts", "950", refused)
	fill(t, desk, [2]string{"office.reason", "Drawn again"})
	ok(t, desk.Do(said("office.set-budget")))
	ok(t, desk.Until(`document.querySelector(".o-figures dd").innerText === "950"`))
}

// The tables hold the figures of the plan, each asked where it comes from.
func TestOfficeTables(t *testing.T) {
	_, desk, _ := office(t)
	startSession(t, desk)
	planSession(t, desk)
	row := func(title, head, want string) {
		t.Helper()
		ok(t, desk.Until(fmt.Sprintf(`[...document.querySelectorAll(".o-tables section.o-card")].some((card) =>
			card.querySelector("h2").innerText === %q && [...card.querySelectorAll("tbody tr")].some((tr) =>
				tr.querySelector("th").innerText.trim() === %q && [...tr.querySelectorAll("td")].map((td) => td.innerText.trim()).join("|") === %q))`,
			said(title), head, want)))
	}
	row("office.need-table", "Front", "18|50|540|360|0|0|900|0|0|900")
	row("office.region-table", "BK Back", "80|80|1,280|0|0|1,280|20 %|0 %|80|not known|within its share")
	ok(t, desk.Press(".o-tables .asked", 0))
	ok(t, desk.Until(`document.querySelector("dialog[open] .where-from")`))
}
