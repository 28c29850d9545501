package e2e

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"rootledger/server/practice"
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

// paced is a session whose phones did something every minute from 80 minutes ago
// to some time ago, all of them heard, and its wall.
func paced(t *testing.T, until time.Duration, facts func(r *rig.Rig) map[event.Station]event.Fact, people ...event.Station) (wall *browser.Page, phones []*practice.Phone) {
	t.Helper()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	r.Ago(90 * time.Minute)
	opening := r.Opening("PACED-1")
	opening.Stations = slices.DeleteFunc(slices.Compact(slices.Clone(people)), func(s event.Station) bool { return s == event.Desk })
	ok(t, r.OpenWith(opening, append(rig.Plan(400), &event.Budget{Grafts: 400})...))
	ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each}))
	for i, station := range people {
		p, err := r.Join(fmt.Sprintf("Ash-%d", i), station)
		ok(t, err)
		p.Away(true) // what it taps was before, and its clock must not be asked for
		phones = append(phones, p)
	}
	did := facts(r)
	for ago := 80 * time.Minute; ago > until; ago -= time.Minute {
		r.Ago(ago)
		for i, station := range people {
			if fact := did[station]; fact != nil {
				ok(t, r.Do(phones[i], fact))
			}
		}
	}
	r.Ago(0)
	for _, p := range phones {
		p.Away(false)
		ok(t, r.Within(p.InRoom))
	}
	return wallOf(t, r.URL(), r.Room), phones
}

// finish wants a wall to say something of its stations, which may take until a
// phone is silent for 15 s and 5 more until it is told.
func finish(t *testing.T, wall *browser.Page, pattern string) {
	t.Helper()
	says := fmt.Sprintf(`/%s/.test([...document.querySelectorAll(".w-finish span")].map((e) => e.innerText).join("; "))`, pattern)
	if wall.Until(says) != nil {
		ok(t, wall.Until(says))
	}
}

// While a phone is away its station may be further than was heard: the wall says
// when it is done, or sooner, and that it stands still only while somebody there
// is heard.
func TestFinishWhileAPhoneIsAway(t *testing.T) {
	t.Parallel()
	attempts := func(r *rig.Rig) map[event.Station]event.Fact {
		return map[event.Station]event.Fact{event.Extraction: &event.Attempt{Pass: r.Names["each"], Outcome: event.Intact, N: 1}}
	}
	wall, phones := paced(t, 0, attempts, event.Extraction, event.Extraction)
	still, silent := paced(t, 40*time.Minute, attempts, event.Extraction, event.Extraction)
	finish(t, wall, `^out by \d\d:\d\d; taking is slowest$`)
	finish(t, still, `^taking stands still$`)
	phones[0].Away(true)
	silent[0].Away(true)
	finish(t, wall, `^out by \d\d:\d\d or sooner$`)
	ok(t, still.Until(`/1 away/.test(document.querySelector(".w-foot").innerText)`))
	finish(t, still, `^taking stands still$`)
	silent[1].Away(true)
	finish(t, still, `^taking: a phone is away$`)
	phones[0].Away(false)
	finish(t, wall, `^out by \d\d:\d\d; taking is slowest$`)
}

// Where there are dishes the desk counts what is placed; and a station is not the
// slowest by what was heard of it alone.
func TestFinishOfWhatOthersCountToo(t *testing.T) {
	t.Parallel()
	desk, phones := paced(t, 0, func(r *rig.Rig) map[event.Station]event.Fact {
		ok(t, r.Do(r.Office, &event.Dish{Label: "1"}))
		return map[event.Station]event.Fact{event.Placing: &event.Placed{Zone: r.Names["Front"], Size: 2, N: 1}}
	}, event.Placing, event.Desk)
	slow, sorters := paced(t, 0, func(r *rig.Rig) map[event.Station]event.Fact {
		return map[event.Station]event.Fact{
			event.Extraction: &event.Attempt{Pass: r.Names["each"], Outcome: event.Intact, N: 4},
			event.Sorting:    &event.Sorted{Size: 2, N: 1},
		}
	}, event.Extraction, event.Sorting)
	finish(t, desk, `^placed by \d\d:\d\d(;|$)`)
	finish(t, slow, `^sorted by \d\d:\d\d(;|$)`)
	phones[1].Away(true)
	sorters[1].Away(true)
	finish(t, desk, `^placed by \d\d:\d\d or sooner$`)
	finish(t, slow, `^out by \d\d:\d\d$`)
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
