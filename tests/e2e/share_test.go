package e2e

import (
	"fmt"
	"testing"
	"time"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// While a phone at the punch is away the wall gives a range: from what it may have
// taken of its share to nothing. The lead takes back what does not come back.
func TestRangeWhileAPhoneIsAway(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	ash, err := r.Join("Ash", event.Extraction)
	ok(t, err)
	wall := wallOf(t, r.URL(), r.Room)
	pass, err := ash.Tap(&event.PassBegun{Mode: event.Each}, false)
	ok(t, err)
	_, err = ash.Tap(&event.Attempt{Pass: pass.Ref(), Outcome: event.Intact, N: 40}, false)
	ok(t, err)
	ok(t, r.Within(ash.InRoom))
	ok(t, wall.Until(`document.querySelector(".w-stop")?.innerText.includes("stops first")`))
	lead := device(t)
	ok(t, r.JoinLead(lead, r.URL(), "Yew"))
	ok(t, lead.Until(`/share: 1\d\d/.test(document.querySelector(".phones")?.innerText)`))

	ash.Away(true)
	_, err = ash.Tap(&event.Attempt{Pass: pass.Ref(), Outcome: event.Intact, N: 10}, false) // which nobody hears
	ok(t, err)
	between := `/stops first, after \d+–\d+ attempts/.test(document.querySelector(".w-stop").innerText)`
	if wall.Until(between) != nil { // silent for 15 s, and up to 5 more until it is told
		ok(t, wall.Until(between))
	}
	ok(t, wall.Until(`/1 away, may hold \d+/.test(document.querySelector(".w-foot").innerText)`))
	ok(t, lead.Until(`/40 attempts heard; 1 phone is not heard from and may hold \d+ more of its share/.test(document.querySelector(".say .away")?.innerText)`))

	ok(t, lead.Press(".phones .pick", 0))
	ok(t, lead.Holds("dialog[open] .o-hold", `!document.querySelector("dialog[open] .o-hold")`))
	ok(t, wall.Until(`/stops first, after (about )?\d+ attempts/.test(document.querySelector(".w-stop").innerText)`))
	ash.Away(false)
	ok(t, r.Within(ash.InRoom))
	ok(t, lead.Until(`/share: -10/.test(document.querySelector(".phones")?.innerText) || /share: [1-9]/.test(document.querySelector(".phones")?.innerText)`))
}

// While a phone is away its station may be further than was heard: the wall says
// when it is done, or sooner, and not that it stands still.
func TestFinishWhileAPhoneIsAway(t *testing.T) {
	t.Parallel()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	r.Ago(time.Hour)
	ok(t, r.Open("AWAY-1", 400))
	ash, err := r.Join("Ash", event.Extraction)
	ok(t, err)
	ash.Away(true) // what it taps was before, and its clock must not be asked for
	pass, err := ash.Tap(&event.PassBegun{Mode: event.Each}, false)
	ok(t, err)
	for n := range 50 {
		r.Ago(time.Duration(50-n) * time.Minute)
		_, err = ash.Tap(&event.Attempt{Pass: pass.Ref(), Outcome: event.Intact, N: 2}, false)
		ok(t, err)
	}
	r.Ago(0)
	ash.Away(false)
	ok(t, r.Within(ash.InRoom))
	wall := wallOf(t, r.URL(), r.Room)
	ok(t, wall.Until(`/^out by \d\d:\d\d$/.test(document.querySelector(".w-finish span")?.innerText)`))
	ash.Away(true)
	sooner := `/^out by \d\d:\d\d or sooner$/.test(document.querySelector(".w-finish span").innerText)`
	if wall.Until(sooner) != nil { // silent for 15 s, and up to 5 more until it is told
		ok(t, wall.Until(sooner))
	}
	ash.Away(false)
	ok(t, wall.Until(`/^out by \d\d:\d\d$/.test(document.querySelector(".w-finish span")?.innerText)`))
}

// A phone at the punch that the room does not hear says what is left of its share,
// and in the colour of what asks when that is used up; it goes on counting.
func TestPastTheShare(t *testing.T) {
	r := opened(t, 60)
	g := gate(t, r.Serving.Addr)
	p := joined(t, r, g.URL(), "Birch", "extraction")
	ok(t, p.Press(".pads.begin .pad", 0))
	ok(t, p.Do(said("extraction.beginNow")))
	taps(t, p, bigPad, 1)
	ok(t, browser.Wait(func() bool {
		v := r.Office.Settled()
		return v.Headline.SharedOut > 0 && v.Ledger.Attempts.Punched == 1
	}))
	share := r.Office.Settled().Headline.SharedOut
	g.Shut()
	ok(t, p.Until(fmt.Sprintf(`document.querySelector(".station > .line").innerText.includes("%d of your share left")`, share)))
	taps(t, p, bigPad, int(share)+2)
	ok(t, p.Until(`document.querySelector(".station > .line .tight")?.innerText.startsWith("2 past your share")`))
	says(t, p, tally, fmt.Sprint(share+3))
	g.Open()
	ok(t, browser.Wait(func() bool { return r.Office.Settled().Ledger.Attempts.Punched == share+3 }))
	ok(t, p.Until(`!document.querySelector(".station > .line").innerText.includes("your share")`))
}
