package e2e

import (
	"fmt"
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
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
