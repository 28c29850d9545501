package e2e

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"rootledger/shared/session"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
	"rootledger/tests/e2e/scenes"
)

// setUp is the station's button that says which set-up is on, or asks for the next.
const setUp = ".setup-pick"

// tells waits until an element has some words among its own.
func tells(t *testing.T, p *browser.Page, selector, words string) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`document.querySelector(%q)?.innerText.replace(/\s+/g, " ").includes(%q)`, selector, words)))
}

// rows is the sheet of a session: values by section, what they are about, and measure.
func rows(t *testing.T, r *rig.Rig) map[string]string {
	t.Helper()
	text, err := r.API.Sheet(r.Ctx, r.Session, "csv")
	ok(t, err)
	out := map[string]string{}
	for _, line := range strings.Split(string(text), "\n") {
		if cells := strings.Split(line, ","); len(cells) > 4 {
			out[cells[0]+"/"+cells[1]+"/"+cells[3]] = cells[4]
		}
	}
	return out
}

// room waits until a view of the room is as it should be.
func room(t *testing.T, r *rig.Rig, what string, is func(session.View) bool) session.View {
	t.Helper()
	var v session.View
	err := r.Within(func(ctx context.Context) error {
		for {
			known := r.Office.Events()
			if v = r.Office.Settled(); is(v) {
				return nil
			}
			if err := r.Office.Until(ctx, func(events int, _, _ uint64) bool { return events > known }); err != nil {
				return err
			}
		}
	})
	if err != nil {
		t.Fatalf("%s: %v: chosen %+v, trials %+v", what, err, v.Chosen, v.Trials)
	}
	return v
}

// A set-up is chosen in two taps, and another within the pass; each tap counts
// with the one that was on.
func TestSetupIsChosenAndChanged(t *testing.T) {
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, scenes.Trying(r, "P-1"))
	p := joined(t, r, r.URL(), "Birch", "extraction")
	says(t, p, setUp, said("setup.none"))
	taps(t, p, ".pads > .pad", 2)
	choose := func(n int, name string) {
		t.Helper()
		ok(t, p.Press(setUp, 0))
		ok(t, p.Press(".setup-choices button", n))
		says(t, p, setUp, name)
		ok(t, p.Until(`!document.querySelector("dialog")`))
	}
	choose(0, "Slow turn")
	taps(t, p, ".pads > .pad", 5)
	choose(1, "Short sweep")
	taps(t, p, ".pads > .pad", 3)
	taps(t, p, ".three .pad2:nth-child(2)", 1)
	says(t, p, truth, "all 11 in the room")
	room(t, r, "the choice", func(v session.View) bool { return len(v.Chosen) == 1 && v.Chosen[0].Setup == v.Setups[1].Ref })
	got := rows(t, r)
	for row, want := range map[string]string{"set-up/1 Slow turn/attempts": "5", "set-up/2 Short sweep/attempts": "4", "set-up/2 Short sweep/total": "1"} {
		if got[row] != want {
			t.Errorf("%s: got %q, want %s", row, got[row], want)
		}
	}
	// a new pass asks for its set-up at once: two taps from its beginning
	ok(t, p.Press(".where button", 1))
	ok(t, p.Do(said("extraction.begin")))
	ok(t, p.Do(said("extraction.beginNow")))
	ok(t, p.Press(".setup-choices button", 2))
	tells(t, p, setUp, "Tremble")
	room(t, r, "the second pass", func(v session.View) bool { return len(v.Chosen) == 2 })
}

// A trial asks for each change by its draw, never keeps an attempt back, and is
// concluded by the lead with a note.
func TestTrialOverSeveralBlocks(t *testing.T) {
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, scenes.Trying(r, "P-2"))
	p := joined(t, r, r.URL(), "Birch", "extraction")
	ok(t, p.Press(setUp, 0))
	ok(t, p.Do(said("trial.begin")))
	ok(t, p.Press(".trial-arms input", 0))
	ok(t, p.Do(said("trial.beginNow")))
	tells(t, p, "dialog .wrong", "compares 2 to 4") // one arm is no trial, and nothing was lost
	ok(t, p.Press(".trial-arms input", 2))
	ok(t, p.Fill(said("trial.blockSize"), "3"))
	ok(t, p.Do(said("trial.beginNow")))
	tells(t, p, "dialog .wrong", "5 to 100")
	ok(t, p.Fill(said("trial.blockSize"), "5"))
	ok(t, p.Do(said("trial.beginNow")))
	ok(t, p.Until(`!document.querySelector("dialog")`))
	for block := 1; block <= 4; block++ {
		ok(t, p.Until(fmt.Sprintf(`document.querySelector("%s.asks")`, setUp)))
		ok(t, p.Press(setUp, 0))
		ok(t, p.Until(fmt.Sprintf(`!document.querySelector("%s.asks")`, setUp)))
		n := 5
		if block == 2 {
			n = 7 // two go on after the block is full: they count
		}
		taps(t, p, ".pads > .pad", n-1)
		taps(t, p, ".three .pad2:nth-child(1)", 1)
	}
	v := room(t, r, "four blocks", func(v session.View) bool {
		return len(v.Trials) == 1 && v.Trials[0].Arms[0].Attempts+v.Trials[0].Arms[1].Attempts == 22
	})
	one := v.Trials[0]
	if a, b := one.Arms[0].Attempts, one.Arms[1].Attempts; a+b != 22 || a < 10 || b < 10 {
		t.Errorf("the arms have %d and %d attempts, want two blocks of five each, and two more", a, b)
	}
	if one.Arms[1].Setup != v.Setups[2].Ref || one.Turn != 4 || one.NextTurn != 5 {
		t.Errorf("the trial is %+v, want its fourth turn, and the third set-up as its second arm", one)
	}
	conclude(t, r, p)
}

// conclude has the lead compare the arms and conclude the trial.
func conclude(t *testing.T, r *rig.Rig, station *browser.Page) {
	t.Helper()
	lead := device(t)
	ok(t, r.JoinLead(lead, r.URL(), "Yew"))
	ok(t, lead.Do(fmt.Sprintf("%s block full, next %c", said("trial.title"), "AB"[r.Office.Settled().Trials[0].Next])))
	ok(t, lead.Until(`document.querySelectorAll(".trial-card .arms .arm").length === 2`))
	tells(t, lead, ".apart-arms .early", "Too early to tell.")
	ok(t, lead.Do(said("trial.conclude")))
	says(t, lead, ".trial-conclude .wrong", said("trial.noteNeeded"))
	ok(t, lead.Type(".trial-conclude textarea", "Too few to tell; stayed with the first"))
	ok(t, lead.Do(said("trial.conclude")))
	tells(t, lead, ".trial-note", "Too few to tell")
	ok(t, station.Until(fmt.Sprintf(`!document.querySelector("%s.asks")`, setUp)))
	taps(t, station, ".pads > .pad", 1)
	tells(t, station, truth, "in the room")
	v := room(t, r, "concluded", func(v session.View) bool { return v.Trials[0].Concluded })
	if n := v.Trials[0].Arms[0].Attempts + v.Trials[0].Arms[1].Attempts; n != 22 {
		t.Errorf("after its end the trial has %d attempts, want the 22 that it had", n)
	}
}

// A set-up that the office saved is there after the server has started again,
// and goes into a session.
func TestSavedSetupSurvives(t *testing.T) {
	dir := t.TempDir()
	r, err := rig.Start(dir)
	ok(t, err)
	p := screen(t, 1280, 800)
	ok(t, p.Open(r.URL()+"/office#"+r.API.Office))
	ok(t, p.Do(said("office.setups")))
	ok(t, p.Do(said("punch.new")))
	fill(t, p, [2]string{"punch.name", "Slow turn"}, [2]string{"punch.diameter", "9"}, [2]string{"punch.wait-before", "100"}, [2]string{"punch.lasts", "0"})
	ok(t, p.Do(said("punch.keep")))
	ok(t, p.Until(`document.querySelectorAll(".setup-editor .o-wrong").length === 1`))
	tells(t, p, ".setup-editor .o-wrong", "Step 1 lasts 0 ms")
	fill(t, p, [2]string{"punch.lasts", "450"})
	ok(t, p.Do(said("punch.keep")))
	says(t, p, ".setup-editor .o-wrong", said("punch.diameter-range"))
	fill(t, p, [2]string{"punch.diameter", "0.9"})
	ok(t, p.Until(`document.querySelector(".setup-preview .cycle")`))
	ok(t, p.Do(said("punch.keep")))
	says(t, p, ".setup-one h2", "Slow turn")
	tells(t, p, ".setup-one .setup-facts", "550 ms")
	ok(t, r.Close())

	r, err = rig.Start(dir)
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, r.Open("P-3", 400))
	ok(t, p.Open(r.URL()+"/office#"+r.API.Office))
	fill(t, p, [2]string{"office.person", "Oak"})
	ok(t, p.Do("Open Room 1 · P-3"))
	ok(t, p.Until(`document.querySelector(".o-session .o-figures")`))
	ok(t, p.Do(said("office.setups")))
	says(t, p, ".setup-one h2", "Slow turn")
	ok(t, p.Do("Put it into Room 1 · P-3"))
	tells(t, p, ".setup-one .o-kept", "In Room 1 · P-3")
	v := room(t, r, "put in", func(v session.View) bool { return len(v.Setups) == 1 })
	if one := v.Setups[0]; one.Name != "Slow turn" || one.DiameterUM != 900 || one.Derived.CycleMs != 550 {
		t.Errorf("in the session is %+v, want the one that was saved", one)
	}
	// changed where it is saved, it takes its place in the session
	ok(t, p.Do("Change Slow turn"))
	fill(t, p, [2]string{"punch.wait-before", "0"})
	ok(t, p.Do(said("punch.keep")))
	ok(t, p.Do("Put the changed one into Room 1 · P-3"))
	tells(t, p, ".setup-one .o-kept", "In Room 1 · P-3")
	room(t, r, "replaced", func(v session.View) bool {
		return len(v.Setups) == 2 && !v.Setups[0].Offered && v.Setups[1].Derived.CycleMs == 450
	})
	if thrown := p.Thrown(); len(thrown) > 0 {
		t.Errorf("a page threw %q", thrown)
	}
}

// Steps are added, moved and removed without a mouse: the focus goes with the
// step, and each move is told.
func TestStepsMoveByKeys(t *testing.T) {
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	p := screen(t, 1280, 800)
	ok(t, p.Open(r.URL()+"/office#"+r.API.Office))
	ok(t, p.Do(said("office.setups")))
	ok(t, p.Do(said("punch.new")))
	fill(t, p, [2]string{"punch.lasts", "-5"})
	ok(t, p.Do(said("punch.keep")))
	tells(t, p, ".setup-lines .o-wrong", said("punch.whole-needed"))
	fill(t, p, [2]string{"punch.lasts", "100"})
	ok(t, p.Do(said("punch.add-step")))
	order := func(want string) {
		t.Helper()
		ok(t, p.Until(fmt.Sprintf(`[...document.querySelectorAll(".setup-lines > li")].map((e) => e.querySelectorAll("input")[0].value || "new").join(" ") === %q`, want)))
	}
	order("100 new")
	ok(t, p.Until(`document.activeElement === document.querySelectorAll(".setup-lines select")[1]`))
	_, err = browser.Eval[bool](p, `document.activeElement.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowUp", altKey: true, bubbles: true, cancelable: true })) || true`)
	ok(t, err)
	order("new 100")
	ok(t, p.Until(`document.activeElement === document.querySelectorAll(".setup-lines select")[0]`))
	tells(t, p, ".setup-editor [role=status].off", "Step 2 is now step 1.")
	ok(t, p.Do("Remove step 1"))
	order("100")
	ok(t, p.Until(`document.activeElement === document.querySelector(".setup-lines select")`))
	ok(t, p.Do(said("punch.add-step")))
	order("100 new")
	_, err = browser.Eval[bool](p, `(async () => { // removed as soon as it has moved, before the page is painted
		document.querySelectorAll(".setup-lines select")[1].dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowUp", altKey: true, bubbles: true, cancelable: true }));
		for (let n = 0; n < 100; n++) await null;
		document.querySelector('[aria-label="Remove step 1"]').click();
		return true;
	})()`)
	ok(t, err)
	order("100")
	ok(t, p.Until(`document.activeElement === document.querySelector(".setup-lines select")`))
}
