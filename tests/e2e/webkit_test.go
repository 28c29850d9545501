package e2e

import (
	"fmt"
	"os"
	"testing"

	"rootledger/tests/e2e/webkit"
)

// inWebKit is a page in WebKitGTK. Where that is not installed the test is
// skipped, and with CI=true it fails, unless WEBKIT=none says that it can not be.
func inWebKit(t *testing.T) *webkit.Page {
	t.Helper()
	if missing := webkit.Missing(); missing != "" {
		what := missing + " is not installed; apt-get install webkit2gtk-driver xvfb"
		if os.Getenv("CI") == "true" && os.Getenv("WEBKIT") != "none" {
			t.Fatalf("with CI=true this test must run, but %s, or say WEBKIT=none where it can not be installed", what)
		}
		t.Skip(what)
	}
	p, err := webkit.Start()
	ok(t, err)
	t.Cleanup(func() { ok(t, p.Close()) })
	return p
}

// The browser nearest to an iPhone's: a phone counts, loses the network, counts
// on, is loaded again without it, and the room has all once it is back.
func TestOfflineInWebKit(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := inWebKit(t)
	ok(t, p.Look(390, 844))
	ok(t, r.JoinPage(p, g.URL(), "Cedar", "sorting"))
	ok(t, p.Until(`navigator.serviceWorker.controller`))
	tap := func(times int) {
		t.Helper()
		ok(t, p.Until(`document.querySelector(".four-up .pad")`))
		ok(t, p.Until(`document.querySelector(".four-up .pad")`))
		_, err := webkit.Eval[bool](p, fmt.Sprintf(`((pad) => {
			for (let i = 0; i < %d; i++) {
				const finger = { bubbles: true, button: 0, pointerId: 100 + i, isPrimary: true, clientX: window.fingers = (window.fingers ?? 0) + 100 };
				for (const type of ["pointerdown", "pointerup"]) pad.dispatchEvent(new PointerEvent(type, finger));
			}
			return true;
		})(document.querySelector(".four-up .pad"))`, times))
		ok(t, err)
	}
	says := func(selector, text string) {
		t.Helper()
		ok(t, p.Until(fmt.Sprintf(`document.querySelector(%q)?.innerText.replace(/\s+/g, " ").trim() === %q`, selector, text)))
	}
	tap(7)
	says(truth, "all 7 in the room")
	g.Shut()
	ok(t, p.Until(`document.querySelector(".truth").classList.contains("here")`))
	tap(12)
	says(tally, "19")
	says(truth, "kept here: 12")
	ok(t, p.Reload())
	says(tally, "19")
	says(truth, "kept here: 12")
	tap(5)
	says(tally, "24")
	if got := sheetCell(t, r, "grafts", "in holding, all"); got != "7" {
		t.Errorf("before it comes back the room has %s, want 7", got)
	}
	if dir := os.Getenv("PICTURES"); dir != "" {
		ok(t, p.Picture(dir+"/webkit_sorting.png"))
	}
	g.Open()
	says(truth, "all 24 in the room")
	if _, sorted, _ := settled(t, r, exactly(0, 24, 0)); sorted != 24 {
		t.Errorf("the room has %d sorted, want 24", sorted)
	}
}
