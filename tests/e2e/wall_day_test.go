package e2e

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

const (
	// mayGrow is what the page may hold more at the end of a day than a quarter in,
	// in bytes: it draws the same parts, with longer curves and a few more words.
	mayGrow      = 512 << 10
	mayGrowNodes = 200
)

// A wall that shows a whole day holds at its end hardly more than a quarter in:
// what it drew before is gone.
func TestWallOverADay(t *testing.T) {
	t.Parallel()
	speed := uint32(960)
	if os.Getenv("SOAK") == "1" {
		speed = 60
	}
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	wall := wallOf(t, r.URL(), "practice")
	var quarter browser.Held
	look := func(when string) browser.Held {
		h, err := wall.Held()
		if err != nil {
			t.Error(err)
		}
		t.Logf("%s: %+v", when, h)
		return h
	}
	report, err := practice.Run(r.Ctx, practice.Config{Server: r.URL(), Office: r.API.Office, Seed: 1, Speed: speed, Grafts: 1200,
		Progress: func(nowMs int64, _ session.View) {
			if quarter == (browser.Held{}) && time.UnixMilli(nowMs).UTC().Hour() >= 10 { // of 8 to 16
				quarter = look("a quarter in")
			}
		}})
	ok(t, err)
	if !report.OK() {
		t.Errorf("the day's figures differ: %+v", report.Differed)
	}
	begins, _, _ := strings.Cut(said("wall.ended"), "{")
	ok(t, wall.Until(fmt.Sprintf(`document.querySelector("h1")?.innerText.startsWith(%q)`, begins)))
	end := look("ended")
	if end.Heap > quarter.Heap+mayGrow || end.Around > quarter.Around+mayGrow || end.Nodes > quarter.Nodes+mayGrowNodes || end.Listeners > quarter.Listeners {
		t.Errorf("over a day of %d events the page grew: %+v a quarter in, %+v at the end", report.Events, quarter, end)
	}
}

// anewOf draws every line of a wall anew now and then, as after another size of
// its screen, and writes down those that then say something else.
const anewOf = `(() => {
	window.stale = []; window.anew = 0;
	const lines = () => [...document.querySelectorAll(".wall .w-top, .wall .w-stop, .wall .w-above, .wall .w-below, .wall .w-finish, .wall .w-right, .wall .w-foot, .wall .w-how")]
		.map((e) => e.outerHTML);
	setInterval(async () => {
		const before = lines();
		dispatchEvent(new Event("resize"));
		for (let n = 0; n < 100; n++) await null;
		lines().forEach((line, i) => { if (line !== before[i]) window.stale.push([String(before[i]), line]); });
		window.anew++;
	}, 100);
	return true;
})()`

// What a wall draws only when it changes is never old: all through a day a wall
// that is drawn anew says what it said.
func TestNothingOldOnAWall(t *testing.T) {
	t.Parallel()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	wall := wallOf(t, r.URL(), "practice")
	ok(t, wall.Until(`document.querySelector("h1")`))
	ok(t, wall.Look(1920, 1080, false)) // its letters have come
	_, err = browser.Eval[bool](wall, anewOf)
	ok(t, err)
	report, err := practice.Run(r.Ctx, practice.Config{Server: r.URL(), Office: r.API.Office, Seed: 3, Speed: 1440, Grafts: 1200})
	ok(t, err)
	begins, _, _ := strings.Cut(said("wall.ended"), "{")
	ok(t, wall.Until(fmt.Sprintf(`document.querySelector("h1")?.innerText.startsWith(%q)`, begins)))
	stale, err := browser.Eval[[][2]string](wall, `window.stale`)
	ok(t, err)
	times, err := browser.Eval[int](wall, `window.anew`)
	ok(t, err)
	for _, one := range stale {
		t.Errorf("a line said\n%s\nand drawn anew\n%s", one[0], one[1])
	}
	if times < 50 {
		t.Errorf("a day of %d events was looked at %d times", report.Events, times)
	}
	t.Logf("%d events, drawn anew %d times", report.Events, times)
}

// changesOf writes down what changes on a wall from now on, but for its clock and
// what moves by the minute, the picture of the day and the sheet itself: what kind
// of change, where, and from what to what.
const changesOf = `(() => {
	window.changes = [];
	new MutationObserver((list) => {
		for (const m of list) {
			const on = m.target.nodeType === 1 ? m.target : m.target.parentElement;
			const now = m.type === "attributes" ? m.target.getAttribute(m.attributeName) : m.target.data;
			if (!on.closest(".w-stamp, .flow, .off") && on !== document.querySelector(".wall")) window.changes.push([m.type, on.closest("[class]").getAttribute("class"), String(m.oldValue), String(now)]);
		}
	}).observe(document.querySelector(".wall"), { subtree: true, childList: true, characterData: true, attributes: true, characterDataOldValue: true, attributeOldValue: true });
	return true;
})()`

// A wall on which nobody counts stands still but for its clock, and a count
// writes nothing that stood there already.
func TestWallStandsStill(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each, DiameterUM: 900}))
	p, err := r.Join("Hazel", event.Extraction)
	ok(t, err)
	attempt := &event.Attempt{Pass: r.Names["each"], Region: r.Names["BL"], Outcome: event.Intact, N: 1}
	for range 20 {
		ok(t, r.Do(p, attempt))
	}
	wall := wallOf(t, r.URL(), "1")
	headline := func(n int) string {
		return fmt.Sprintf(`document.querySelector("h1")?.innerText.startsWith("%d ") && document.querySelector(".w-foot")`, n)
	}
	ok(t, wall.Until(headline(380)))
	time.Sleep(2 * time.Second) // the parts and letters that come later are there
	_, err = browser.Eval[bool](wall, changesOf)
	ok(t, err)
	time.Sleep(3500 * time.Millisecond)
	changes := func() [][4]string {
		list, err := browser.Eval[[][4]string](wall, `window.changes.splice(0)`)
		ok(t, err)
		return list
	}
	if still := changes(); len(still) > 0 {
		t.Errorf("nobody counts, and the wall changes: %q", still)
	}
	ok(t, r.Do(p, attempt))
	ok(t, wall.Until(headline(379)))
	after := changes()
	if len(after) == 0 {
		t.Error("a count changed nothing")
	}
	for _, one := range after {
		if one[0] != "childList" && one[2] == one[3] {
			t.Errorf("a count wrote again what stood there: %q", one)
		}
	}
}

// Once enough is out a wall says how many of the held grafts no zone needs, whatever
// the donor would still allow.
func TestMoreHeldThanZonesNeed(t *testing.T) {
	t.Parallel()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, r.OpenWith(r.Opening("OVER-1"), append(rig.Plan(1340), &event.Budget{Grafts: 1340})...))
	p, err := r.Join("Hazel", event.Extraction)
	ok(t, err)
	sorter, err := r.Join("Cedar", event.Sorting)
	ok(t, err)
	ok(t, r.Do(p, &event.PassBegun{Mode: event.Each}))
	sorted := func(n uint32) {
		ok(t, r.Do(p, &event.Attempt{Pass: r.Names["each"], Region: r.Names["BL"], Outcome: event.Intact, N: n}))
		ok(t, r.Do(sorter, &event.Sorted{Size: 2, N: n}))
	}
	sorted(500)
	sorted(500)
	sorted(340)
	wall := wallOf(t, r.URL(), "1")
	says := func(sentence string) string {
		return fmt.Sprintf(`document.querySelector(".w-stop p")?.innerText === %q`, sentence)
	}
	ok(t, wall.Until(says("Enough is out: 1,340 held")))
	sorted(115)
	ok(t, wall.Until(says("Enough is out: 1,455 held, 115 more than zones need")))
	ok(t, wall.Until(`1455 - [...document.querySelectorAll(".w-zones b")].reduce((all, b) => all + Number(b.innerText.replace(",", "")), 0) === 115`))
}

// spills are figures of the bar that run out of their regions.
const spills = `[...document.querySelectorAll(".w-region .w-line")].filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => e.innerText)`

// A region that is past its share takes room of the bar, and what no longer fits
// in the others leaves.
func TestBarKeepsItsFigures(t *testing.T) {
	t.Parallel()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	region := func(code string, left uint32) event.Fact { // 1 unit a mm²
		return &event.Region{Code: code, Name: code, AreaMM2: left * 2, Density10: 1000, SharePerMille: 500, HairsPerUnit100: 210}
	}
	plan := []event.Fact{&event.Budget{Grafts: 900}, region("A", 10), region("Z", 560)}
	for i := range 9 {
		plan = append(plan, region(string(rune('B'+i)), 83+uint32(i)*2))
	}
	ok(t, r.OpenWith(r.Opening("BAR-1"), plan...))
	p, err := r.Join("Hazel", event.Extraction)
	ok(t, err)
	ok(t, r.Do(p, &event.PassBegun{Mode: event.Each}))
	attempt := func(n uint32) {
		ok(t, r.Do(p, &event.Attempt{Pass: r.Names["each"], Region: r.Names["A"], Outcome: event.Total, N: n}))
	}
	attempt(10)
	wall := wallOf(t, r.URL(), "1")
	ok(t, wall.Until(`document.querySelectorAll(".w-region").length === 10`))
	for n, left := range []string{"−1", "−2", "−12"} {
		attempt([]uint32{1, 1, 10}[n])
		ok(t, wall.Until(fmt.Sprintf(`document.querySelector(".w-past-region")?.innerText.endsWith(%q)`, left)))
		out, err := browser.Eval[[]string](wall, spills)
		ok(t, err)
		if len(out) > 0 {
			t.Errorf("with a region at %s these run out of theirs: %q", left, out)
		}
	}
}

// Nobody is waited for after the end.
func TestEndedWallWaitsForNobody(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each}))
	ok(t, r.Do(r.Office, &event.Attempt{Pass: r.Names["each"], Outcome: event.Total, N: 1}))
	wall := wallOf(t, r.URL(), "1")
	ok(t, wall.Until(fmt.Sprintf(`document.querySelector(".w-foot .w-heard")?.innerText.trim() === %q`, said("wall.nobody"))))
	ok(t, r.Do(r.Office, &event.Ended{}))
	begins, _, _ := strings.Cut(said("wall.ended"), "{")
	ok(t, wall.Until(fmt.Sprintf(`document.querySelector("h1")?.innerText.startsWith(%q) && !document.querySelector(".w-foot .w-heard")`, begins)))
}
