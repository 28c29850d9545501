package e2e

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rootledger/server/auth"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// perPhone is how often each phone is tapped, before, while and after the
// server is away.
const perPhone = 100

// The server is killed while two phones count, and starts again on the same
// data: what it acknowledged is there, what the phones kept arrives, and every
// total is exact.
func TestServerKilled(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	binary, data := filepath.Join(dir, "rootledger"), filepath.Join(dir, "data")
	ok(t, rig.Build(binary))
	server, err := rig.NewProcess(binary, data)
	ok(t, err)
	t.Cleanup(func() { ok(t, server.Kill()) })
	ok(t, server.Start())
	token, err := auth.ReadOfficeToken(data)
	ok(t, err)
	r := rig.Over("http://"+server.Addr, token)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, r.Open("A-12", 400))
	ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each}))
	ok(t, r.Within(r.Office.InRoom))
	g := gate(t, server.Addr)
	punch := joined(t, r, g.URL(), "Ash", "extraction")
	scope := joined(t, r, g.URL(), "Cedar", "sorting")

	phones := []*browser.Page{punch, scope}
	holds(t, phones, true)
	begin(t, punch, bigPad)
	begin(t, scope, ".four-up .pad:nth-child(2)")
	for _, p := range phones {
		ok(t, p.Until(`window.tapped > 20 && Number(document.querySelector(".truth b").innerText) > 10`))
	}
	ok(t, server.Kill())
	g.Shut()
	holds(t, phones, false)
	acknowledged := map[string]int64{"out": ended(t, punch), "in holding, all": ended(t, scope)}
	ok(t, server.Start())
	for measure, n := range acknowledged {
		got, err := strconv.ParseInt(sheetCell(t, r, "grafts", measure), 10, 64)
		ok(t, err)
		if got < n || got >= perPhone {
			t.Errorf("after the kill the server has %s %d; it acknowledged %d of %d", measure, got, n, perPhone)
		}
	}
	g.Open()

	for _, p := range phones {
		says(t, p, tally, fmt.Sprint(perPhone))
		says(t, p, truth, fmt.Sprintf("all %d in the room", perPhone))
		if thrown := p.Thrown(); len(thrown) > 0 {
			t.Errorf("a page threw %q", thrown)
		}
	}
	punched, sorted, _ := settled(t, r, exactly(perPhone, perPhone, 0))
	if punched != perPhone || sorted != perPhone {
		t.Errorf("the wall has %d punched and %d sorted, want %d of each", punched, sorted, perPhone)
	}
	for _, measure := range []string{"out", "in holding, all"} {
		if got := sheetCell(t, r, "grafts", measure); got != fmt.Sprint(perPhone) {
			t.Errorf("the sheet says %s for %s, want %d", got, measure, perPhone)
		}
	}
}

// holds has pages keep the last quarter of their taps, or let it go.
func holds(t *testing.T, pages []*browser.Page, holds bool) {
	t.Helper()
	for _, p := range pages {
		ok(t, p.Inject(fmt.Sprintf(`window.holds = %t`, holds)))
	}
}

// begin starts tapping a pad, and is back at once.
func begin(t *testing.T, p *browser.Page, selector string) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`document.querySelector(%q) && !document.querySelector(".pads.begin")`, selector)))
	ok(t, p.Inject(fmt.Sprintf(`{
		window.tapped = 0;
		const timer = setInterval(() => {
			if (window.holds && window.tapped === %d) return;
			const pad = document.querySelector(%q);
			for (const type of ["pointerdown", "pointerup"])
				pad.dispatchEvent(new PointerEvent(type, { bubbles: true, button: 0, pointerId: 9, clientX: 100 * window.tapped, isPrimary: true }));
			if (++window.tapped === %d) clearInterval(timer);
		}, 25);
	}`, perPhone*3/4, selector, perPhone)))
}

// ended waits until a phone without a server was tapped to the end, and says
// how many of its taps were acknowledged, as it says itself.
func ended(t *testing.T, p *browser.Page) int64 {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`window.tapped === %d && document.querySelector(".truth.here")`, perPhone)))
	says(t, p, tally, fmt.Sprint(perPhone))
	now, err := browser.Eval[float64](p, `performance.now()`)
	ok(t, err)
	ok(t, p.Until(fmt.Sprintf(`performance.now() > %f`, now+300))) // the tally is drawn at once, the rest five times a second
	said, err := browser.Eval[string](p, fmt.Sprintf(`document.querySelector(%q).innerText`, truth))
	ok(t, err)
	kept, err := strconv.ParseInt(strings.TrimSpace(strings.TrimPrefix(said, "kept here:")), 10, 64)
	ok(t, err)
	if kept == 0 || kept >= perPhone {
		t.Errorf("the phone keeps %d of %d, so nothing was counted before or after the kill", kept, perPhone)
	}
	return perPhone - kept
}
