package e2e

import (
	_ "embed"
	"fmt"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/scenes"
)

// far is a script that holds a wall to what can be read from five metres, and
// answers with what breaks that.
//
//go:embed testdata/far.js
var far string

// sights are the walls that are measured, by their diagonal in inches and from how
// many metres they are read: the usual one, one across a hall, and a small one.
var sights = []struct{ inches, metres float64 }{{43, 5}, {55, 8}, {32, 5.5}, {43, 9}}

// readable holds a wall to its distance: no word is seen under less than 16
// minutes of arc, no figure under less than 22 and the headline's under less than
// 60; nothing touches anything else or leaves the sheet, and nothing is to be
// pressed.
func readable(t *testing.T, s scenes.Scene) error {
	if err := s.Page.Look(1920, 1080, false); err != nil {
		return err
	}
	for _, of := range sights {
		if err := see(s.Page, fmt.Sprintf("?inches=%v&metres=%v", of.inches, of.metres), of.inches, of.metres); err != nil {
			return err
		}
		broken, err := reported(s.Page, far)
		if err != nil {
			return err
		}
		for _, what := range broken {
			t.Errorf("%s, %v inches at %v m: %s", s.Name(), of.inches, of.metres, what)
		}
	}
	return see(s.Page, "", sights[0].inches, sights[0].metres)
}

// see has a wall stand on another screen, as an address that ends so would.
func see(p *browser.Page, search string, inches, metres float64) error {
	_, err := browser.Eval[bool](p, fmt.Sprintf(`(async () => {
		history.replaceState(null, "", location.pathname + %q);
		window.sight = { diagonalMm: 25.4 * %v, distanceMm: 1000 * %v };
		const began = performance.now();
		let changed = began;
		const watch = new MutationObserver(() => { changed = performance.now(); });
		watch.observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true });
		dispatchEvent(new Event("resize"));
		do await new Promise((next) => setTimeout(next, 40)); while (performance.now() - changed < 160 && performance.now() - began < 5000);
		watch.disconnect();
		return true;
	})()`, search, inches, metres))
	return err
}

// The lead's phone and the office say how large the wall is and from how far it
// is read, once for the room; what can not be read is refused in words.
func TestSightOfTheWall(t *testing.T) {
	r := opened(t, 400)
	wall := wallOf(t, r.URL(), r.Room)
	times := func(than string) {
		t.Helper()
		ok(t, wall.Until(`Number(document.querySelector(".wall")?.style.getPropertyValue("--times")) `+than))
	}
	times("=== 1")
	lead := device(t)
	ok(t, r.JoinLead(lead, r.URL(), "Yew"))
	ok(t, lead.Click(".fold:last-child summary"))
	ok(t, lead.Fill(said("sight.inches"), "55"))
	ok(t, lead.Fill(said("sight.metres"), "far"))
	ok(t, lead.Press(".fold:last-child .do", 0))
	ok(t, lead.Until(`document.querySelector(".fold:last-child .wrong")`))
	ok(t, lead.Fill(said("sight.metres"), "8"))
	ok(t, lead.Press(".fold:last-child .do", 0))
	ok(t, lead.Until(fmt.Sprintf(`document.querySelector(".fold:last-child summary").innerText.includes(%q)`, said("sight.kept"))))
	times("> 1.2")

	desk := screen(t, 1280, 800)
	ok(t, desk.Open(r.URL()+"/office#"+r.API.Office))
	fill(t, desk, [2]string{"office.person", "Alder"})
	ok(t, desk.Do("Open Room 1 · A-12"))
	ok(t, desk.Until(fmt.Sprintf(`[...document.querySelectorAll("summary")].some((s) => s.innerText === %q && (s.click(), true))`, said("sight.title"))))
	if metres, err := desk.Field(said("sight.metres")); err != nil || metres != "8" {
		t.Errorf("the office shows %q m, %v, want what the lead said", metres, err)
	}
	ok(t, desk.Fill(said("sight.metres"), "3"))
	ok(t, desk.Do(said("sight.set")))
	ok(t, desk.Until(fmt.Sprintf(`document.body.innerText.includes(%q)`, said("sight.kept"))))
	times("=== 1")
}
