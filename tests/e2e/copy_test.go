package e2e

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"rootledger/server/practice"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// notice waits until a phone says something that begins so.
func notice(t *testing.T, p *browser.Page, begins string) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`document.querySelector(".notice p")?.innerText.startsWith(%q)`, begins)))
}

const copied = "This phone was copied or restored from a backup"

// steady has a page note whether its own tally ever goes down.
func steady(t *testing.T, p *browser.Page) {
	t.Helper()
	ok(t, p.Inject(`{
		window.fell = [];
		let last = 0;
		new MutationObserver(() => {
			const n = Number(document.querySelector(".own .figure")?.innerText ?? 0);
			if (n < last) window.fell.push(last + " to " + n);
			last = n;
		}).observe(document.querySelector("#app"), { childList: true, subtree: true, characterData: true });
	}`))
}

// neverFell fails when the tally of a steady page went down.
func neverFell(t *testing.T, p *browser.Page) {
	t.Helper()
	fell, err := browser.Eval[[]string](p, `window.fell`)
	ok(t, err)
	if len(fell) > 0 {
		t.Errorf("the tally on the screen fell: %v", fell)
	}
}

// profile starts a browser with a profile of its own or a copy of one, ended
// with the test.
func profile(t *testing.T, dir string) (*browser.Browser, *browser.Page) {
	t.Helper()
	b, err := browser.StartIn(dir)
	ok(t, err)
	t.Cleanup(func() { ok(t, b.Close()) })
	p, err := b.First(390, 844)
	ok(t, err)
	return b, p
}

// A browser's whole profile is copied, and both go on: first without a network,
// under the same numbers, then while the room finds out. Every tap counts once.
func TestCopiedProfile(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	dir := t.TempDir()
	pad := ".four-up .pad:nth-child(1)"
	b, p := profile(t, filepath.Join(dir, "one"))
	ok(t, r.JoinPage(p, g.URL(), "Cedar", "sorting"))
	taps(t, p, pad, 5)
	says(t, p, truth, "all 5 in the room")
	ok(t, b.Quit())
	ok(t, os.CopyFS(filepath.Join(dir, "kept"), os.DirFS(filepath.Join(dir, "one"))))
	ok(t, os.CopyFS(filepath.Join(dir, "two"), os.DirFS(filepath.Join(dir, "one"))))

	_, one := profile(t, filepath.Join(dir, "kept"))
	_, two := profile(t, filepath.Join(dir, "two"))
	for _, p := range []*browser.Page{one, two} {
		ok(t, p.Open(g.URL()+"/"))
		says(t, p, truth, "all 5 in the room")
		steady(t, p)
	}
	g.Shut()
	for _, p := range []*browser.Page{one, two} {
		ok(t, p.Until(`document.querySelector(".truth.here")`))
		taps(t, p, pad, 5)
		says(t, p, tally, "10")
		begin(t, p, pad)
	}
	g.Open()
	total := 5 + 2*(5+perPhone)
	if _, sorted, _ := settled(t, r, exactly(0, int64(total), 0)); sorted != int64(total) {
		t.Errorf("the room has %d sorted, want %d", sorted, total)
	}
	for _, p := range []*browser.Page{one, two} {
		says(t, p, truth, fmt.Sprintf("all %d in the room", total)) // one phone under all its ids
		neverFell(t, p)
	}
	saidBy := 0
	for _, p := range []*browser.Page{one, two} {
		said, err := browser.Eval[bool](p, fmt.Sprintf(`document.querySelector(".notice p")?.innerText.startsWith(%q) ?? false`, copied))
		ok(t, err)
		if said {
			saidBy++
		}
	}
	if saidBy == 0 {
		t.Error("neither of the two says that it was copied")
	}
	wall := practice.NewWall(r.API, r.Session, rig.Now)
	r.Stay(wall)
	ok(t, browser.Wait(func() bool { return wall.Settled().Session.Splits == 1 }))
}

// One of a phone's two stores is set back: it says so, goes on under a new id,
// and shows and keeps what it has.
func TestMarksDisagree(t *testing.T) {
	tests := []struct {
		name, before string
		says         bool
	}{
		{"both as they were", ``, false},
		{"the page's is of another start", `localStorage.setItem("rootledger.mark.phone", "another")`, true},
		{"the page's is gone", `localStorage.clear()`, true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := opened(t, 400)
			p := joined(t, r, r.URL(), "Cedar", "sorting")
			pad := ".four-up .pad:nth-child(1)"
			taps(t, p, pad, 4)
			says(t, p, truth, "all 4 in the room")
			ok(t, p.Reload())
			says(t, p, truth, "all 4 in the room")
			ok(t, p.Until(`localStorage.getItem("rootledger.mark.phone")`))
			ok(t, p.Inject(test.before))
			ok(t, p.Reload())
			says(t, p, tally, "4")
			taps(t, p, pad, 3)
			says(t, p, truth, "all 7 in the room")
			if test.says {
				notice(t, p, copied)
				ok(t, p.Do("Close"))
			}
			ok(t, p.Until(`!document.querySelector(".notice")`))
			if _, sorted, _ := settled(t, r, exactly(0, 7, 0)); sorted != 7 {
				t.Errorf("the room has %d sorted, want 7", sorted)
			}
		})
	}
}

// Whoever took a phone over still holds it under its new id.
func TestMarksDisagreeAfterAHandOver(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 2)
	menu(t, p)
	within(t, p, "Hand over this phone")
	ok(t, p.Fill("Somebody else: name or initials", "Maple"))
	within(t, p, "go on")
	within(t, p, "hand over without a count")
	within(t, p, "done")
	says(t, p, ".who .person", "Maple")
	taps(t, p, pad, 3)
	says(t, p, tally, "3")
	ok(t, p.Reload())
	says(t, p, ".who .person", "Maple")
	ok(t, p.Until(`localStorage.getItem("rootledger.mark.phone")`))
	ok(t, p.Inject(`localStorage.setItem("rootledger.mark.phone", "another")`))
	ok(t, p.Reload())
	notice(t, p, copied)
	ok(t, p.Do("Close"))
	says(t, p, ".who .person", "Maple")
	says(t, p, tally, "3")
	if _, sorted, _ := settled(t, r, exactly(0, 5, 0)); sorted != 5 {
		t.Errorf("the room has %d sorted, want 5", sorted)
	}
}

// A page that may keep nothing itself is not held to its mark.
func TestNoMark(t *testing.T) {
	r := opened(t, 400)
	p := device(t)
	ok(t, p.Before(`Object.defineProperty(window, "localStorage", { get() { throw new DOMException("refused", "SecurityError"); } });`))
	ok(t, r.JoinPage(p, r.URL(), "Rowan", "sites"))
	ok(t, p.Until(`document.querySelector(".pads .pad")`))
	ok(t, p.Reload())
	taps(t, p, bigPad, 2)
	says(t, p, tally, "20")
	ok(t, p.Until(`!document.querySelector(".notice")`))
}
