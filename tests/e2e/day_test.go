package e2e

import (
	"fmt"
	"testing"
	"time"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

// The lead and the office see the room at any minute, as it was known then and as
// it is known now about then, and whose counts make the difference.
func TestTheDaySoFar(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	near, err := r.Join("Ash", event.Sorting)
	ok(t, err)
	far, err := r.Join("Birch", event.Sorting)
	ok(t, err)
	for range 4 {
		_, err := near.Tap(&event.Sorted{Size: 2, N: 1}, false)
		ok(t, err)
	}
	ok(t, r.Within(near.InRoom))
	ok(t, r.Within(far.InRoom))
	far.Away(true)
	for range 9 {
		_, err := far.Tap(&event.Sorted{Size: 1, N: 1}, false)
		ok(t, err)
	}
	began := time.Now()
	minute := began.Truncate(time.Minute).Add(time.Minute)
	time.Sleep(time.Until(minute.Add(1500 * time.Millisecond))) // into the minute after, and a mark of arrival later
	far.Away(false)
	ok(t, r.Within(far.InRoom))
	_, err = near.Tap(&event.Sorted{Size: 2, N: 1}, false)
	ok(t, err)
	ok(t, r.Within(near.InRoom))

	lead := device(t)
	ok(t, r.JoinLead(lead, r.URL(), "Yew"))
	check := func(p *browser.Page, inside string) {
		t.Helper()
		slide := fmt.Sprintf(`(() => { const s = document.querySelector(%q); s.value = %d; s.dispatchEvent(new Event("input", { bubbles: true })); return Number(s.value) === %[2]d; })()`,
			inside+" input[type=range]", minute.Unix()/60)
		ok(t, p.Until(fmt.Sprintf("document.querySelector(%q)", inside+" input[type=range]")))
		ok(t, p.Until(slide))
		row := fmt.Sprintf(`[...document.querySelectorAll(%q)].map((r) => r.innerText.trim().split(/\s+/).join(" ")).find((r) => r.startsWith(%q))`, inside+" tr", said("day.sorted"))
		ok(t, p.Until(row+` === "`+said("day.sorted")+` 4 13"`))
		ok(t, p.Until(fmt.Sprintf(`document.querySelectorAll(%q).length > 0 && document.querySelector(%q)?.innerText.startsWith("9 entries of Birch (Sorting) came later")`, inside+" .came-late", inside+" .late-list")))
	}
	ok(t, lead.Until(`document.querySelector(".fold .day-so-far")`))
	ok(t, lead.Click(".fold:has(.day-so-far) summary"))
	check(lead, ".fold .day-so-far")

	desk := screen(t, 1280, 800)
	ok(t, desk.Open(r.URL()+"/office#"+r.API.Office))
	fill(t, desk, [2]string{"office.person", "Alder"})
	ok(t, desk.Do("Open Room 1 · A-12"))
	check(desk, ".o-card .day-so-far")
	if thrown := append(desk.Thrown(), lead.Thrown()...); len(thrown) > 0 {
		t.Errorf("a page threw %q", thrown)
	}
}
