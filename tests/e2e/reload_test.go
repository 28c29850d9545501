package e2e

import (
	"fmt"
	"testing"

	"rootledger/tests/e2e/browser"
)

const times = 25

// A page that is loaded again in the frame of a tap: what was shown is there
// after, on the phone and in the room, and nothing counts twice.
func TestReloadInTheMiddleOfAWrite(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 1)
	says(t, p, tally, "1")
	last := int64(1)
	for i := range times {
		// 0 to 3 ms after the last of three taps: before, in and after its write
		_, err := browser.Eval[bool](p, fmt.Sprintf(`(async () => {
			const shown = () => Number(document.querySelector(%q).innerText);
			sessionStorage.setItem("shown", shown());
			new MutationObserver(() => sessionStorage.setItem("shown", shown())).observe(document.querySelector(".own"), { childList: true, subtree: true, characterData: true });
			for (let i = 0; i < 3; i++) for (const type of ["pointerdown", "pointerup"])
				document.querySelector(%q).dispatchEvent(new PointerEvent(type, { bubbles: true, button: 0, pointerId: 60 + i, clientX: 100 * i, isPrimary: true }));
			if (%d > 0) await new Promise((r) => setTimeout(r, %d));
			window.gone = true;
			setTimeout(() => location.reload());
			return true;
		})()`, tally, pad, i%4, i%4))
		ok(t, err)
		ok(t, p.Until(fmt.Sprintf(`window.gone === undefined && document.querySelector(%q)`, tally)))
		got, err := browser.Eval[[]int64](p, fmt.Sprintf(`[Number(sessionStorage.getItem("shown")), Number(document.querySelector(%q).innerText)]`, tally))
		ok(t, err)
		if got[1] < got[0] || got[1] > last+3 {
			t.Errorf("load %d: the phone showed %d, and after it %d; it was %d before 3 taps", i, got[0], got[1], last)
		}
		last = got[1]
	}
	if last == 1 || last == 1+3*times {
		t.Logf("of %d taps %d were kept: no load came in the middle of a write", 3*times, last-1)
	}
	says(t, p, truth, fmt.Sprintf("all %d in the room", last))
	if _, sorted, _ := settled(t, r, exactly(0, last, 0)); sorted != last {
		t.Errorf("the room has %d sorted, want %d", sorted, last)
	}
	ok(t, p.Until(`!document.querySelector(".notice")`)) // it was not taken for a copy
}

// A phone whose page was left and is come back to connects and counts.
func TestBackToThePage(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 3)
	says(t, p, truth, "all 3 in the room")
	for want := 4; want <= 6; want++ {
		ok(t, p.Open(r.URL()+"/health"))
		ok(t, p.Back())
		ok(t, p.Until(fmt.Sprintf(`document.querySelector(%q)`, tally)))
		taps(t, p, pad, 1)
		says(t, p, tally, fmt.Sprint(want))
		says(t, p, truth, fmt.Sprintf("all %d in the room", want))
	}
}

// wiped takes everything that the browser keeps for a page away.
func wiped(t *testing.T, p *browser.Page, url string) {
	t.Helper()
	ok(t, p.Wipe())
	ok(t, p.Open(url))
	ok(t, p.Until(`document.querySelector(".join form")`))
	if thrown := p.Thrown(); len(thrown) > 0 {
		t.Errorf("the page threw %q", thrown)
	}
}

// A phone whose storage was wiped starts at the page on which it joins. What
// the room has stays, once; what it had not is gone, and nobody says otherwise.
func TestStorageWiped(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := joined(t, r, g.URL(), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 4)
	says(t, p, truth, "all 4 in the room")
	wiped(t, p, g.URL())
	ok(t, r.JoinPage(p, g.URL(), "Cedar", "sorting"))
	taps(t, p, pad, 2)
	says(t, p, truth, "all 2 in the room")
	g.Shut()
	ok(t, p.Until(`document.querySelector(".truth.here")`))
	taps(t, p, pad, 3)
	says(t, p, truth, "kept here: 3")
	ok(t, p.Wipe())
	g.Open() // nothing to load the page from without it: the pages are gone too
	ok(t, p.Open(g.URL()))
	ok(t, p.Until(`document.querySelector(".join form")`))
	ok(t, r.JoinPage(p, g.URL(), "Cedar", "sorting"))
	taps(t, p, pad, 1)
	says(t, p, truth, "all 1 in the room")
	if _, sorted, _ := settled(t, r, exactly(0, 7, 0)); sorted != 7 {
		t.Errorf("the room has %d sorted, want 4 + 2 + 1", sorted)
	}
}
