package e2e

import (
	"fmt"
	"testing"

	"rootledger/tests/e2e/browser"
)

// keysIn types a number with a point on the large keys, and goes on.
func keysIn(t *testing.T, p *browser.Page, digits string) {
	t.Helper()
	ok(t, p.Until(`document.querySelector("dialog[open] .keys")`))
	for _, d := range digits {
		within(t, p, string(d))
	}
	within(t, p, "Go on")
}

// doubted waits until the sheet asks about so many things, and says a part of one.
func doubted(t *testing.T, p *browser.Page, n int, part string) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`document.querySelectorAll("dialog[open] .doubts li").length === %d &&
		document.querySelector("dialog[open] .doubts").innerText.includes(%q)`, n, part)))
}

// held holds the button that keeps what was asked about.
func held(t *testing.T, p *browser.Page) {
	t.Helper()
	ok(t, p.Holds("dialog[open] .doubts .o-hold", `!document.querySelector("dialog[open]")`))
}

// lidocaine opens the sheet and goes to the volume of plain lidocaine of 2 %.
func lidocaine(t *testing.T, p *browser.Page) {
	t.Helper()
	closed(t, p)
	ok(t, p.Do("Log a dose"))
	within(t, p, "lidocaine")
	within(t, p, "2 %")
}

// given is the first group: so much of its limit.
const given = ".doses li > .asked"

// What is doubted is what the sheet goes back to: a strength to the strengths.
func TestAWrongStrengthIsChanged(t *testing.T) {
	r := opened(t, 400)
	desk := joined(t, r, r.URL(), "Alder", "desk")
	ok(t, desk.Do("Log a dose"))
	within(t, desk, "lidocaine")
	within(t, desk, "Another strength")
	keysIn(t, desk, "20")
	keysIn(t, desk, "1")
	ok(t, desk.Until(`document.querySelector("dialog[open] .doubts")?.innerText.includes("20 %")`))
	within(t, desk, "No, change it")
	within(t, desk, "2 %")
	keysIn(t, desk, "1")
	says(t, desk, "dialog[open] .stood", "20 mg")
}

// A weight and a dose are kept as they were typed; a tenfold slip is asked about
// and changed; what was asked and held is kept and says so; past the limit is red
// at the desk and at the lead; undone it is as before.
func TestDosesFromTheDeskToTheLead(t *testing.T) {
	r := opened(t, 400)
	desk := joined(t, r, r.URL(), "Alder", "desk")
	says(t, desk, ".anaesthetic .warn", "No weight entered: only the absolute limits count.")

	ok(t, desk.Do("Enter the weight"))
	keysIn(t, desk, "600")
	says(t, desk, "dialog[open] .wrong", "A weight is above 0 and at most 400 kg. Nothing was kept. Enter it again, in kilograms.")
	within(t, desk, "clear")
	keysIn(t, desk, "6.6")
	doubted(t, desk, 1, "6.6 kg is little for an adult")
	within(t, desk, "No, change it")
	keysIn(t, desk, "66")
	closed(t, desk)
	ok(t, desk.Until(`document.querySelector(".anaesthetic").innerText.includes("66 kg, entered by Alder")`))

	lidocaine(t, desk)
	keysIn(t, desk, "5")
	says(t, desk, "dialog[open] .stood", "100 mg")
	within(t, desk, "Keep this dose")
	closed(t, desk)
	says(t, desk, given, "100 of 297 mg")

	lidocaine(t, desk)
	keysIn(t, desk, "50")
	doubted(t, desk, 2, "Is the point in the right place?")
	within(t, desk, "No, change it")
	keysIn(t, desk, "5.5")
	says(t, desk, "dialog[open] .would b", "210 of 297 mg")
	within(t, desk, "Keep this dose")
	says(t, desk, given, "210 of 297 mg")

	lidocaine(t, desk)
	keysIn(t, desk, "5")
	doubted(t, desk, 1, "With this dose 310 mg is given, past the limit of 297 mg.")
	held(t, desk)
	says(t, desk, given, "310 of 297 mg")
	says(t, desk, ".doses .limit", "Past the label maximum. The surgeon decides.")
	ok(t, desk.Until(`document.querySelector(".given li .quiet").innerText.includes("asked, confirmed")`))

	lead := device(t)
	ok(t, r.JoinLead(lead, r.URL(), "Yew"))
	says(t, lead, ".ask.past h2", "lidocaine: 310 mg given, past its limit of 297 mg")
	says(t, lead, given, "310 of 297 mg")

	ok(t, desk.Do("own entries"))
	within(t, desk, "undo")
	ok(t, desk.Do("Close"))
	says(t, desk, given, "210 of 297 mg")
	ok(t, lead.Until(`!document.querySelector(".ask.past")`))
}

// The lead holds the two forms apart with a reason; an entry says who and why.
func TestTheLeadHoldsDosesApart(t *testing.T) {
	r := opened(t, 400)
	lead := device(t)
	ok(t, r.JoinLead(lead, r.URL(), "Yew"))
	ok(t, lead.Until(`[...document.querySelectorAll(".fold > summary")].some((s) => s.innerText.startsWith("Anaesthetic") && (s.click(), true))`))
	ok(t, lead.Do("Set a rule"))
	ok(t, lead.Press("dialog[open] .tick input", 0))
	hold := "dialog[open] .o-hold"
	ok(t, lead.Holds(hold, `document.querySelector("dialog[open] .wrong")`)) // not without a reason
	ok(t, lead.Fill("Reason", "As the surgeon said"))
	ok(t, lead.Holds(hold, `!document.querySelector("dialog[open]")`))
	ok(t, lead.Until(`[...document.querySelectorAll(".given li")].some((e) => e.innerText.includes("held apart") && e.innerText.includes("As the surgeon said"))`))
	ok(t, lead.Until(`document.querySelector(".cautions").innerText.includes("holds plain doses and those with epinephrine apart")`))
}
