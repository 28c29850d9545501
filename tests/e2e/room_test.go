package e2e

import (
	"context"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/tests/e2e/rig"
)

// settled is a Go wall's view once it holds n events.
func settled(t *testing.T, r *rig.Rig, ready func(punched, sorted, placed int64) bool) (punched, sorted, placed int64) {
	t.Helper()
	wall := practice.NewWall(r.API, r.Session, rig.Now)
	r.Stay(wall)
	ok(t, r.Within(func(ctx context.Context) error {
		return wall.Until(ctx, func(events int, _, _ uint64) bool {
			return true
		})
	}))
	ok(t, r.Within(func(ctx context.Context) error {
		for {
			events := wall.Events() // before the view: what comes in between is waited for in vain otherwise
			v := wall.Settled()
			punched, sorted, placed = v.Ledger.Attempts.Punched, v.Ledger.Sorted.Total(), v.Ledger.PlacedTotal
			if ready(punched, sorted, placed) {
				return nil
			}
			if err := wall.Until(ctx, func(now int, _, _ uint64) bool { return now > events }); err != nil {
				return fmt.Errorf("%w: %d punched, %d sorted, %d placed", err, punched, sorted, placed)
			}
		}
	}))
	return punched, sorted, placed
}

func exactly(wantPunched, wantSorted, wantPlaced int64) func(int64, int64, int64) bool {
	return func(punched, sorted, placed int64) bool {
		return punched >= wantPunched && sorted >= wantSorted && placed >= wantPlaced
	}
}

// sheetCell is one figure of the downloaded CSV.
func sheetCell(t *testing.T, r *rig.Rig, section, measure string) string {
	t.Helper()
	text, err := r.API.Sheet(r.Ctx, r.Session, "csv")
	ok(t, err)
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	ok(t, err)
	for _, row := range rows {
		if row[0] == section && row[1] == "" && row[2] == "" && row[3] == measure {
			return row[4]
		}
	}
	t.Fatalf("the sheet has no %s, %s", section, measure)
	return ""
}

// Three phones and a wall; two hundred taps; the totals are equal on all four
// and on the sheet.
func TestThreePhonesAndAWall(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each}))
	punch := joined(t, r, r.URL(), "Ash", "extraction")
	scope := joined(t, r, r.URL(), "Cedar", "sorting")
	hand := joined(t, r, r.URL(), "Linden", "placing")
	wall := device(t)
	ok(t, wall.Open(r.URL()+"/wall/1"))
	taps(t, punch, bigPad, 100)
	taps(t, scope, ".four-up .pad:nth-child(2)", 60)
	taps(t, hand, ".four-up .pad:nth-child(2)", 40)
	for _, one := range []struct {
		page interface{ Until(string) error }
		own  string
	}{{punch, "100"}, {scope, "60"}, {hand, "40"}} {
		ok(t, one.page.Until(fmt.Sprintf(`document.querySelector(%q).innerText === %q`, tally, one.own)))
		ok(t, one.page.Until(fmt.Sprintf(`document.querySelector(%q).innerText.replace(/\s+/g, " ").trim() === "all %s in the room"`, truth, one.own)))
	}
	punched, sorted, placed := settled(t, r, exactly(100, 60, 40))
	if punched != 100 || sorted != 60 || placed != 40 {
		t.Errorf("the room has %d, %d, %d", punched, sorted, placed)
	}
	// 400 − (60 sorted, 40 of them placed, and 40 on the bench, all usable) = 300
	says(t, punch, ".own .room > :first-child", "300")
	says(t, scope, ".own .room > :first-child", "300")
	ok(t, wall.Until(`document.querySelector("h1").innerText.replace(/\s+/g, " ").includes("300")`))
	for measure, want := range map[string]string{"out": "100", "placed, all": "40", "on the bench": "40"} {
		if got := sheetCell(t, r, "grafts", measure); got != want {
			t.Errorf("the sheet says %s for %s, want %s", got, measure, want)
		}
	}
	for _, p := range []interface{ Thrown() []string }{punch, scope, hand, wall} {
		if thrown := p.Thrown(); len(thrown) > 0 {
			t.Errorf("a page threw %q", thrown)
		}
	}
}

// Two walls agree to the digit.
func TestTwoWalls(t *testing.T) {
	r := opened(t, 500)
	one, two := device(t), device(t)
	ok(t, one.Open(r.URL()+"/wall/1"))
	ok(t, two.Open(r.URL()+"/wall/1"))
	sorter, err := r.Join("Elder", event.Sorting)
	ok(t, err)
	for range 30 {
		ok(t, r.Do(sorter, &event.Sorted{Size: 2, N: 3}))
	}
	for _, wall := range []interface{ Until(string) error }{one, two} {
		ok(t, wall.Until(`document.querySelector("h1").innerText.includes("410")`))
	}
}

// While the budget is below what the plan needs, what is to place and to make
// is called that of the whole plan.
func TestWholePlanIsNamed(t *testing.T) {
	for _, tt := range []struct {
		budget    uint32
		wall, pad string
	}{
		{300, "Whole plan to place", "to make of the whole plan"},
		{400, "Zones to place", "to make"},
	} {
		r, err := rig.Start(t.TempDir())
		ok(t, err)
		t.Cleanup(func() { ok(t, r.Close()) })
		ok(t, r.OpenWith(r.Opening("A-12"), append([]event.Fact{&event.Budget{Grafts: tt.budget}}, rig.Plan(400)...)...))
		p := joined(t, r, r.URL(), "Rowan", "sites")
		sorter, err := r.Join("Elder", event.Sorting)
		ok(t, err)
		ok(t, r.Do(sorter, &event.Sorted{Size: 2, N: 3})) // a wall shows figures once something is counted
		ok(t, p.Until(fmt.Sprintf(`document.querySelector(%q).innerText.trim().endsWith(%q)`, bigPad, tt.pad)))
		ok(t, p.Look(360, 640, false))
		broken, err := reported(p, measure)
		ok(t, err)
		for _, what := range broken {
			t.Errorf("a budget of %d: %s", tt.budget, what)
		}
		wall := wallOf(t, r.URL(), "1")
		says(t, wall, ".w-right h2", tt.wall)
	}
}
