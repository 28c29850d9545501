package e2e

import (
	"fmt"
	"strings"
	"testing"

	"rootledger/tests/e2e/browser"
)

// practises begins practice at a station from the page that is shown; by is
// what the way into it is called.
func practises(t *testing.T, p *browser.Page, by, station string) {
	t.Helper()
	ok(t, p.Do(said(by)))
	ok(t, p.Do(said("station."+station)))
	ok(t, p.Do(said("practice.begin")))
	ok(t, p.Until(`document.querySelector(".task") && !document.querySelector("dialog")`))
}

// leaves goes out of practice by the phone's menu.
func leaves(t *testing.T, p *browser.Page) {
	t.Helper()
	ok(t, p.Do(said("phone.menu")))
	ok(t, p.Do(said("practice.leave")))
	ok(t, p.Until(`!document.querySelector(".watermark")`))
}

// kept is how many own events a database of the device has, -1 without it.
func kept(t *testing.T, p *browser.Page, database string) int {
	t.Helper()
	n, err := browser.Eval[int](p, fmt.Sprintf(`(async () => {
		if (!(await indexedDB.databases()).some((one) => one.name === %[1]q)) return -1;
		return new Promise((done) => {
			const asked = indexedDB.open(%[1]q);
			asked.onsuccess = () => {
				const n = asked.result.transaction("counts").objectStore("counts").count();
				n.onsuccess = () => (asked.result.close(), done(n.result));
			};
		});
	})()`, database))
	ok(t, err)
	return n
}

// Practice needs no room, and neither of practice and counting is ever in the
// other: not what was practised before joining, nor in a session that waits.
func TestPracticeIsApart(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := keeping(t, 390, 844)
	ok(t, p.Open(g.URL()+"/"))
	ok(t, p.Until(`navigator.serviceWorker.controller`))
	g.Shut()
	pad := ".four-up .pad:nth-child(2)"
	practises(t, p, "join.practise", "sorting")
	taps(t, p, pad, 3)
	says(t, p, truth, "all 3 in the room")
	ok(t, p.Until(`document.querySelector(".watermark text").textContent === "practice"`))
	ok(t, p.Reload()) // it goes on from what it kept, also without a network
	ok(t, p.Do(said("practice.free")))
	says(t, p, tally, "3")
	if made, real := kept(t, p, "rootledger-practice"), kept(t, p, "rootledger"); made < 4 || real > 0 {
		t.Errorf("kept of practice %d own events, of counting %d; want 3 and who joined, and none", made, real)
	}
	ok(t, p.Do(said("phone.menu")))
	if has, err := browser.Eval[bool](p, `Boolean(document.querySelector("dialog .carry, dialog input[type=file]"))`); err != nil || has {
		t.Errorf("in practice the menu hands counts over as a file: %v (%v)", has, err)
	}
	ok(t, p.Do(said("practice.leave")))
	says(t, p, ".join h1", said("join.title"))
	g.Open()
	ok(t, r.JoinPage(p, g.URL(), "Cedar", "sorting"))
	says(t, p, tally, "0")
	ok(t, p.Do(said("phone.menu")))
	practises(t, p, "phone.practise", "sorting")
	taps(t, p, pad, 2)
	says(t, p, tally, "2")
	leaves(t, p)
	says(t, p, tally, "0")
	says(t, p, ".who .case", "A-12 · Room 1")
	taps(t, p, pad, 4)
	says(t, p, truth, "all 4 in the room")
	ok(t, p.Open(g.URL()+"/practice"))
	ok(t, p.Do(said("station.sorting")))
	ok(t, p.Do(said("practice.free")))
	says(t, p, tally, "0")
	says(t, p, ".who .case", "PRACTICE · Room 1")
	leaves(t, p)
	says(t, p, tally, "4")
	if _, sorted, _ := settled(t, r, exactly(0, 4, 0)); sorted != 4 {
		t.Errorf("the room has %d sorted, want 4", sorted)
	}
	sheet, err := r.API.Sheet(r.Ctx, r.Session, "jsonl")
	ok(t, err)
	if whole := string(sheet); !strings.Contains(whole, "A-12") || strings.Contains(whole, "PRACTICE") || strings.Contains(whole, "Linden") {
		t.Error("the room has heard of practice")
	}
}

// notices waits for a notice that offers one thing to do, for none with "".
func notices(t *testing.T, p *browser.Page, does string) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`[...document.querySelectorAll(".notice")].map((e) => e.querySelector(".do").innerText).join() === %q`, does)))
}

// A first practice by the guide: each task is done when the View says so, the
// network goes and comes back, and the end says what was learned.
func TestGuide(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	p := device(t)
	ok(t, p.Open(r.URL()+"/"))
	practises(t, p, "join.practise", "sorting")
	leaves(t, p)
	practises(t, p, "join.practise", "sorting") // nothing is missed of what was forgotten
	pad := func(size int) string { return fmt.Sprintf(".four-up .pad:nth-child(%d)", size) }
	task := func(key string) { t.Helper(); says(t, p, ".task span", said(key)) }
	task("practice.two")
	taps(t, p, pad(1), 1) // another size is not what was asked for
	says(t, p, tally, "1")
	task("practice.two")
	taps(t, p, pad(2), 1)
	task("practice.singles")
	taps(t, p, pad(1), 3)
	task("practice.undoSingle")
	ok(t, p.Click(".undo"))
	task("practice.ten")
	ok(t, p.Do(said("phone.many")))
	ok(t, p.Do("add 10, 2 hairs"))
	task("practice.reject")
	ok(t, p.Click(".three .pad2"))
	ok(t, p.Do(said("reason.no hair")))
	says(t, p, "dialog h2", said("practice.awayTitle"))
	says(t, p, truth, "all 14 in the room")
	ok(t, p.Do(said("practice.turnOff")))
	taps(t, p, pad(2), 4)
	says(t, p, truth, "kept here: 4")
	notices(t, p, "")
	ok(t, p.Inject(`window.now = Date.now; Date.now = () => window.now() + 4 * 60_000`))
	notices(t, p, said("page.close")) // of what is made up nothing goes by hand
	ok(t, p.Click(".notice .do"))
	notices(t, p, "")
	ok(t, p.Inject(`Date.now = window.now`))
	taps(t, p, pad(2), 1)
	says(t, p, "dialog h2", said("practice.backTitle"))
	says(t, p, truth, "kept here: 5")
	ok(t, p.Do(said("practice.turnOn")))
	says(t, p, "dialog h2", "7 of 7 tasks done")
	says(t, p, truth, "all 19 in the room")
	ok(t, p.Do(said("practice.other")))
	ok(t, p.Inject(`{
		const title = () => document.querySelector("dialog h2")?.innerText;
		window.titles = [];
		new MutationObserver(() => title() && title() !== titles.at(-1) && titles.push(title())).observe(document.body, { subtree: true, childList: true });
	}`))
	ok(t, p.Do(said("station.lead")))
	ok(t, p.Until(`titles.length > 0 && titles.every((title) => title === "Practice: Lead")`)) // nothing of the one before
	ok(t, p.Do(said("practice.begin")))
	task("practice.choose")
	ok(t, p.Click(".stand li:nth-child(2) .do"))
	task("practice.budget")
}
