package e2e

import (
	"fmt"
	"testing"

	"rootledger/tests/e2e/browser"
)

// noLocks makes a worker's browser have no locks, as over plain http.
const noLocks = `delete WorkerNavigator.prototype.locks;`

// Where the browser has no locks two tabs of a phone count at once, also
// without a network and when both open together; every tap counts once.
func TestTwoTabsWithoutLocks(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	behind := spoiled(t, g.URL(), noLocks)
	pad := ".four-up .pad:nth-child(1)"
	one := joined(t, r, behind.URL, "Cedar", "sorting")
	two, err := one.Tab(390, 844)
	ok(t, err)
	t.Cleanup(two.Close)
	ok(t, two.Open(behind.URL+"/"))
	both := []*browser.Page{one, two}
	for _, p := range both {
		begin(t, p, pad)
	}
	ok(t, one.Until(`window.tapped > 30`))
	g.Shut()
	behind.CloseClientConnections()
	for _, p := range both {
		ok(t, p.Until(fmt.Sprintf(`window.tapped === %d && document.querySelector(".truth.here")`, perPhone)))
		ok(t, p.Until(fmt.Sprintf(`Number(document.querySelector(%q).innerText) >= %d`, tally, perPhone)))
	}
	g.Open()
	total := int64(2 * perPhone)
	if _, sorted, _ := settled(t, r, exactly(0, total, 0)); sorted != total {
		t.Errorf("the room has %d sorted, want %d", sorted, total)
	}
	for _, p := range both { // together
		ok(t, p.Inject(`setTimeout(() => location.reload(), 500 - (Date.now() % 500))`))
	}
	for _, p := range both {
		ok(t, p.Until(`window.tapped === undefined`))
		says(t, p, tally, fmt.Sprint(total))
	}
	for _, p := range both {
		begin(t, p, pad)
	}
	total *= 2
	if _, sorted, _ := settled(t, r, exactly(0, total, 0)); sorted != total {
		t.Errorf("after both were loaded again the room has %d sorted, want %d", sorted, total)
	}
}
