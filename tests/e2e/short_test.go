package e2e

import (
	"fmt"
	"testing"

	"rootledger/shared/event"
)

// While grafts lie on the bench, the wall says what is to sort of each size; once
// all are out and sorted, what is missing of a size is short.
func TestShortSizesOnTheWall(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each, DiameterUM: 900}))
	taker, err := r.Join("Hazel", event.Extraction)
	ok(t, err)
	sorter, err := r.Join("Cedar", event.Sorting)
	ok(t, err)
	for _, region := range []string{"BL", "BR"} {
		ok(t, r.Do(taker, &event.Attempt{Pass: r.Names["each"], Region: r.Names[region], Outcome: event.Intact, N: 200}))
	}
	ok(t, r.Do(sorter, &event.Sorted{Size: 2, N: 399}))
	wall := wallOf(t, r.URL(), "1")
	begins := func(key string) string {
		return fmt.Sprintf(`document.querySelector(".w-sizes li.quiet")?.innerText === %q`, said(key))
	}
	ok(t, wall.Until(begins("wall.to-sort")))
	ok(t, r.Do(sorter, &event.Sorted{Size: 2, N: 1}))
	ok(t, wall.Until(begins("wall.short")))
	ok(t, wall.Until(`[...document.querySelectorAll(".w-sizes b")].every((b) => b.innerText !== "0")`))
}
