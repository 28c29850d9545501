package e2e

import (
	"fmt"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// stepsOf waits until the last entries say how far each has come, newest first,
// by words and by the form of their strokes.
func stepsOf(t *testing.T, p *browser.Page, list, words string, forms ...string) {
	t.Helper()
	of := `[...document.querySelectorAll("` + list + ` .step")]`
	ok(t, p.Until(fmt.Sprintf(`%s.map((e) => e.querySelector(".off")?.innerText ?? e.innerText).join(", ") === %q`, of, words)))
	got, err := browser.Eval[[]string](p, of+`.map((e) => { const s = getComputedStyle(e.querySelector("svg"));
		return s.fill !== "none" ? "solid" : s.strokeDasharray !== "none" ? "broken" : "hollow"; })`)
	ok(t, err)
	if fmt.Sprint(got) != fmt.Sprint(forms) {
		t.Errorf("strokes: got %v, want %v", got, forms)
	}
}

// Every entry says where it is, on the station and in the longer list.
func TestLadder(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := joined(t, r, g.URL(), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 2)
	stepsOf(t, p, ".last", "in the room, in the room", "solid", "solid")
	g.Shut()
	ok(t, p.Until(`document.querySelector(".truth.here")`))
	taps(t, p, pad, 2)
	stepsOf(t, p, ".last", "kept on this phone, kept on this phone, in the room", "hollow", "hollow", "solid")
	menu(t, p)
	ok(t, p.Do("Entries of this phone"))
	stepsOf(t, p, ".entries", "kept on this phone, kept on this phone, in the room, in the room", "hollow", "hollow", "solid", "solid")
	g.Open()
	stepsOf(t, p, ".entries", "in the room, in the room, in the room, in the room", "solid", "solid", "solid", "solid")
	ok(t, p.Do("Close"))
	stepsOf(t, p, ".last", "in the room, in the room, in the room", "solid", "solid", "solid")
}

// What this phone's disk refused says so until the room has it.
func TestLadderInMemory(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	behind := spoiled(t, g.URL(), rig.NoStorage)
	p := joined(t, r, behind.URL, "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 1)
	stepsOf(t, p, ".last", "in the room", "solid")
	g.Shut()
	behind.CloseClientConnections()
	ok(t, p.Until(`document.querySelector(".truth.asks")`))
	taps(t, p, pad, 1)
	stepsOf(t, p, ".last", "in memory only, in the room", "broken", "solid")
	g.Open()
	stepsOf(t, p, ".last", "in the room, in the room", "solid", "solid")
}
