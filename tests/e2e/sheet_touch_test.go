package e2e

import (
	"fmt"
	"testing"
	"time"

	"github.com/evanw/esbuild/pkg/api"

	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/tests/e2e/browser"
)

var enter, dot = browser.Key{Code: "Enter", Name: "Enter"}, browser.Key{Code: "NumpadDecimal", Name: "."}

// What was meant for a sheet counts nothing beneath it, and is said: chatter of
// the touch that closed it, and a pedal while it is open, which presses nothing
// there either. Digits are for the number that is asked for.
func TestSheetsKeepTheirTouches(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	h := hands{t, p, time.Now()}
	settings(t, p)
	ok(t, p.Do(said("set.keys")))
	h.learn("1 hair", enter)
	h.learn("2 hairs", two)
	away(t, p)
	ok(t, p.Do(said("phone.many")))
	ok(t, p.Inject(`new MutationObserver((_, watch) => {
		if (document.querySelector("dialog")) return;
		watch.disconnect();
		for (const type of ["pointerdown", "pointerup"])
			document.querySelectorAll(".four-up .pad")[1].dispatchEvent(new PointerEvent(type, { bubbles: true, button: 0, pointerId: 77 }));
	}).observe(document.body, { childList: true, subtree: true })`))
	ok(t, p.Do("add 10, 2 hairs"))
	says(t, p, ".held", "held back 1 sheet closed sheet closed")
	says(t, p, tally, "10")
	ok(t, p.Do(said("phone.many")))
	ok(t, p.Do("a number, 2 hairs"))
	says(t, p, ".question output", "–")
	h.hit(two, 0)
	h.hit(enter, 0) // done, were it no pedal
	h.hit(two, 0)
	says(t, p, ".question output", "22")
	ok(t, p.Do(said("keys.done")))
	says(t, p, tally, "32")
	says(t, p, ".held", "held back 2 sheet open sheet open")
	ok(t, p.Do("Count it after all"))
	says(t, p, ".own .figure", "33")
	if _, sorted, _ := settled(t, r, exactly(0, 33, 0)); sorted != 33 {
		t.Errorf("the room has %d, want 33", sorted)
	}
}

// One press of undo that chatters takes back one entry, by a finger or a key.
func TestUndoThatChatters(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	h := hands{t, p, time.Now()}
	settings(t, p)
	ok(t, p.Do(said("set.keys")))
	h.learn("undo", dot)
	away(t, p)
	taps(t, p, ".four-up .pad:nth-child(2)", 6)
	says(t, p, tally, "6")
	ok(t, p.Inject(`{
		const undo = document.querySelector(".undo"), own = document.querySelector(".own .figure");
		new MutationObserver((_, watch) => { watch.disconnect(); undo.click(); }).observe(own, { childList: true, characterData: true, subtree: true });
		undo.click();
		undo.click();
	}`))
	says(t, p, tally, "5")
	seen := func() {
		t.Helper()
		now, err := browser.Eval[float64](p, `performance.now()`)
		ok(t, err)
		ok(t, p.Until(fmt.Sprintf(`performance.now() > %f`, now+200)))
	}
	seen()
	h.hit(dot, 0)
	says(t, p, tally, "4")
	seen()
	ok(t, p.KeyDown(dot, h.at.Add(45*time.Millisecond), false))
	ok(t, p.KeyUp(dot, h.at.Add(60*time.Millisecond)))
	seen()
	h.hit(dot, 0)
	says(t, p, tally, "3")
	if _, sorted, _ := settled(t, r, exactly(0, 3, 0)); sorted != 3 {
		t.Errorf("the room has %d, want 3", sorted)
	}
}

// Where pulls come later a pad, and so a pedal, counts shots. A key counts one
// thing in passes of every mode, or nothing.
func TestShotsHaveAPad(t *testing.T) {
	r := opened(t, 400)
	for _, mode := range []event.Mode{event.Pulled, event.ByException} {
		ok(t, r.Do(r.Office, &event.PassBegun{Mode: mode}))
	}
	p := joined(t, r, r.URL(), "Cedar", "extraction")
	h := hands{t, p, time.Now()}
	settings(t, p)
	ok(t, p.Do(said("set.keys")))
	h.learn(said("extraction.fired"), enter)
	h.learn(said("outcome.intact"), two)
	away(t, p)
	both := func() {
		t.Helper()
		h.hit(two, 0)
		h.hit(enter, 0)
	}
	taps(t, p, ".pads.pulled > .pad2", 1)
	both()
	says(t, p, ".pads.pulled > .pad2 b", "2")
	ok(t, p.Press(".where button", 1))
	ok(t, p.Press("dialog .choices button", 1))
	closed(t, p)
	ok(t, p.Until(`!document.querySelector(".pads.pulled")`))
	both()
	room(t, r, "two shots and one pull, then one shot", func(v session.View) bool {
		if len(v.Passes) < 2 {
			return false
		}
		pulled, byException := v.Passes[0].Counts, v.Passes[1].Counts
		return pulled.Punched == 2 && pulled.Outcomes[event.Intact-1] == 1 && byException.Punched == 1 && byException.Pending == 0
	})
}

// What practice held back drops nothing of what real counting did.
func TestPracticeKeepsItsHeldApart(t *testing.T) {
	built := api.Build(api.BuildOptions{EntryPoints: []string{"../../pwa/ui/parts/pad.tsx"}, Bundle: true, Format: api.FormatIIFE, GlobalName: "pad", Tsconfig: "../../pwa/tsconfig.ui.json"})
	if len(built.Errors) > 0 {
		t.Fatal(built.Errors)
	}
	p := device(t)
	ok(t, p.Inject(string(built.OutputFiles[0].Contents)))
	got, err := browser.Eval[string](p, `{
		for (let i = 0; i < 201; i++) for (const practice of [false, true])
			if (practice || i < 2) pad.setHeld([...pad.heldNow(), { practice, atMs: i }]);
		const held = pad.heldNow();
		held.filter((h) => !h.practice).length + " " + held.filter((h) => h.practice).length }`)
	ok(t, err)
	if got != "2 200" {
		t.Errorf("real and in practice: got %s, want 2 200", got)
	}
}
