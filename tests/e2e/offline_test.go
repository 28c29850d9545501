package e2e

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

// One phone loses the network, counts, is loaded again without it, counts on,
// and comes back: nothing is lost, nothing is counted twice.
func TestOffline(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := joins(t, keeping(t, 390, 844), r, g.URL(), "Cedar", "sorting")
	ok(t, p.Until(`navigator.serviceWorker.controller || navigator.serviceWorker.ready.then(() => true)`))
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 7)
	says(t, p, truth, "all 7 in the room")
	g.Shut()
	ok(t, p.Until(`document.querySelector(".truth").classList.contains("here")`))
	taps(t, p, pad, 12)
	says(t, p, tally, "19")
	says(t, p, truth, "kept here: 12")
	ok(t, p.Reload())
	ok(t, p.Until(`document.querySelector(".own .figure")`))
	says(t, p, tally, "19")
	says(t, p, truth, "kept here: 12")
	taps(t, p, pad, 5)
	says(t, p, tally, "24")
	if got := sheetCell(t, r, "grafts", "in holding, all"); got != "7" {
		t.Errorf("before it comes back the room has %s, want 7", got)
	}
	g.Open()
	says(t, p, truth, "all 24 in the room")
	_, sorted, _ := settled(t, r, exactly(0, 24, 0))
	if sorted != 24 {
		t.Errorf("the room has %d sorted, want 24", sorted)
	}
}

// The office opens without a network where it was opened before, at once after
// the first time; a phone that never shows it keeps none of it.
func TestOfficeOpensWithoutANetwork(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	desk := keeping(t, 1280, 800)
	ok(t, desk.Open(g.URL()+"/office#"+r.API.Office))
	ok(t, desk.Until(`caches.match("/apart")`))
	phone := joins(t, keeping(t, 390, 844), r, g.URL(), "Cedar", "sorting")
	ok(t, phone.Until(`navigator.serviceWorker.controller`))
	kept, err := browser.Eval[bool](phone, `caches.match("/apart").then(Boolean)`)
	ok(t, err)
	if kept {
		t.Error("a phone keeps what only the office shows")
	}
	g.Shut()
	ok(t, desk.Reload())
	ok(t, desk.Until(`document.querySelector(".o-side") && [...document.querySelectorAll(".o-wrong")].length > 0`)) // it says that the server is away
	ok(t, desk.Do(said("office.setups")))                                                                           // a part that was never loaded
	ok(t, desk.Until(`document.querySelector(".o-page main h1")?.innerText === "Punch set-ups"`))
}

// Undo before and after the room has the tap.
func TestUndo(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := joined(t, r, g.URL(), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(3)"
	taps(t, p, pad, 4)
	says(t, p, truth, "all 4 in the room")
	ok(t, p.Click(".undo"))
	says(t, p, tally, "3")
	g.Shut()
	ok(t, p.Until(`document.querySelector(".truth").classList.contains("here")`))
	taps(t, p, pad, 2)
	says(t, p, tally, "5")
	ok(t, p.Click(".undo"))
	says(t, p, tally, "4")
	g.Open()
	says(t, p, truth, "all 4 in the room")
	_, sorted, _ := settled(t, r, exactly(0, 4, 0))
	if sorted != 4 {
		t.Errorf("the room has %d sorted, want 4", sorted)
	}
}

// A second tab of the same phone does not count beside the first; taking over
// goes on from what the first one kept.
func TestSecondTab(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	taps(t, p, ".four-up .pad:nth-child(1)", 3)
	says(t, p, tally, "3")
	second, err := p.Tab(390, 844)
	ok(t, err)
	t.Cleanup(second.Close)
	ok(t, second.Open(r.URL()+"/"))
	ok(t, second.Until(`document.querySelector(".ask h1")`))
	taps(t, p, ".four-up .pad:nth-child(1)", 2)
	says(t, p, tally, "5")
	ok(t, second.Click(".ask button"))
	says(t, second, tally, "5")
	ok(t, p.Until(`document.querySelector(".ask h1")`))
	taps(t, second, ".four-up .pad:nth-child(1)", 2)
	says(t, second, truth, "all 7 in the room")
	_, sorted, _ := settled(t, r, exactly(0, 7, 0))
	if sorted != 7 {
		t.Errorf("the room has %d sorted, want 7", sorted)
	}
}

// A station pauses and goes on with one button, and says meanwhile, and at once,
// that it is paused.
func TestPause(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	toggle := func(does, not string) {
		t.Helper()
		menu(t, p)
		both, err := browser.Eval[bool](p, fmt.Sprintf(`[...document.querySelectorAll("dialog .do")].some((e) => e.innerText === %q)`, said(not)))
		ok(t, err)
		if both {
			t.Errorf("the menu offers %q beside %q", said(not), said(does))
		}
		ok(t, p.Do(said(does)))
	}
	says(t, p, ".who .case", "A-12 · Room 1")
	ok(t, p.Inject(`{ let at = 0, was = document.querySelector(".who .case").innerText; window.took = [];
		addEventListener("click", () => { at = performance.now(); }, true);
		new MutationObserver(() => {
			const is = document.querySelector(".who .case")?.innerText;
			if (is && is !== was) window.took.push(performance.now() - at);
			was = is;
		}).observe(document.body, { subtree: true, childList: true, characterData: true }); }`))
	for range 3 {
		toggle("phone.pause", "phone.resume")
		says(t, p, ".who .case", said("line.paused"))
		toggle("phone.resume", "phone.pause")
		says(t, p, ".who .case", "A-12 · Room 1")
	}
	took, err := browser.Eval[[]float64](p, `took`)
	ok(t, err)
	slices.Sort(took)
	if len(took) != 6 || took[3] > 250 { // others' counts may wait that long for fingers, but not the answer to a press
		t.Errorf("what six presses did was drawn after %.0f ms", took)
	}
}

// A steady finger, and a room that counts beside it, do not keep a station from
// being drawn: the room's figure goes on.
func TestASteadyFingerHoldsNothingBack(t *testing.T) {
	t.Parallel()
	r := opened(t, 4000)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	other, err := r.Join("Birch", event.Sorting)
	ok(t, err)
	over, failed := make(chan struct{}), make(chan error, 1)
	go func() {
		for {
			select {
			case <-over:
				failed <- nil
				return
			case <-time.After(100 * time.Millisecond):
				if _, err := other.Tap(&event.Sorted{Size: 2, N: 1}, false); err != nil {
					failed <- err
					return
				}
			}
		}
	}()
	ok(t, p.Until(`(() => {
		const held = document.querySelector(".four-up .pad:nth-child(2) .note")?.innerText;
		window.before ??= held;
		return held !== window.before;
	})()`)) // others' counts come
	for _, everyMs := range []int{150, 250, 280} {
		longest, err := browser.Eval[float64](p, fmt.Sprintf(`(async () => {
			const pad = document.querySelector(".four-up .pad:nth-child(1)"), held = () => document.querySelector(".four-up .pad:nth-child(2) .note").innerText;
			let was = held(), at = performance.now(), longest = 0;
			const end = at + 4000;
			const look = setInterval(() => {
				const now = performance.now();
				longest = Math.max(longest, now - at);
				if (held() !== was) [was, at] = [held(), now];
			}, 10);
			for (let i = 0; performance.now() < end; i++) {
				const finger = { bubbles: true, button: 0, pointerId: 100 + i, isPrimary: true, clientX: 100 * i };
				for (const type of ["pointerdown", "pointerup"]) pad.dispatchEvent(new PointerEvent(type, finger));
				await new Promise((r) => setTimeout(r, %d));
			}
			clearInterval(look);
			return longest;
		})()`, everyMs))
		ok(t, err)
		if longest > 2000 {
			t.Errorf("a finger every %d ms: what others sort stood still for %.0f ms", everyMs, longest)
		}
	}
	close(over)
	ok(t, <-failed)
}

// However fast somebody counts, the phone soon says that the room has it.
func TestTruthKeepsPaceWithFastFingers(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 1)
	says(t, p, truth, "all 1 in the room")
	for range 8 {
		taps(t, p, pad, 5)
	}
	says(t, p, tally, "41")
	at := time.Now()
	says(t, p, truth, "all 41 in the room")
	if late := time.Since(at); late > 2*time.Second {
		t.Errorf("the room's word came %v after the last count", late)
	}
}
