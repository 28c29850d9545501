package e2e

import (
	"context"
	"fmt"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/tests/e2e/rig"
	"rootledger/tests/e2e/scenes"
)

// planned is what counts of a plan, and how much of it is still to be chosen.
type planned struct {
	budget, perMille, need, capacity int64
	conflicts                        int
}

func plannedIn(v session.View) planned {
	p := planned{budget: v.Headline.Budget, perMille: v.Ledger.PlannedPerMille, conflicts: len(v.Conflicts)}
	for _, z := range v.Zones {
		if z.Name == "Front" {
			p.need = z.NeedTotal
		}
	}
	for _, r := range v.Regions {
		if r.Code == "BK" {
			p.capacity = r.Capacity
		}
	}
	return p
}

// wantPlan wants a plan on every other phone of the room.
func wantPlan(t *testing.T, r *rig.Rig, want planned) {
	t.Helper()
	var got planned
	err := r.Within(func(ctx context.Context) error {
		for {
			events := r.Office.Events()
			if got = plannedIn(r.Office.Settled()); got == want {
				return nil
			}
			if err := r.Office.Until(ctx, func(now int, _, _ uint64) bool { return now > events }); err != nil {
				return err
			}
		}
	})
	if err != nil {
		t.Errorf("got %+v, want %+v: %v", got, want, err)
	}
}

// On the lead's phone each kind of value that was set apart is chosen with one
// tap, and everybody has it.
func TestChoosingOnTheLeadsPhone(t *testing.T) {
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, scenes.PlansApart(r))
	wantPlan(t, r, planned{2200, 905, 1170, 1527, 4})
	phone := device(t)
	ok(t, r.JoinLead(phone, r.URL(), "Yew"))
	for left := 3; left >= 0; left-- {
		ok(t, phone.Until(`document.querySelector(".stand .do:not(:disabled)")`))
		ok(t, phone.Press(".stand li .do", 1))
		ok(t, phone.Until(fmt.Sprintf(`document.querySelectorAll(".stand").length === %d`, left)))
	}
	wantPlan(t, r, planned{2300, 850, 1200, 1912, 0})
	says(t, phone, ".chosen", "BK Back: 1,912 attempts chosen.")
}

// A value that was not on the screen when another was
// chosen still stands.
func TestChoosingLeavesWhatWasNotSeen(t *testing.T) {
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, scenes.PlansApart(r))
	late, err := r.Join("Sorrel", event.Lead)
	ok(t, err)
	ok(t, r.Within(late.InRoom))
	late.Away(true)
	_, err = late.Tap(&event.Budget{Grafts: 2000}, false)
	ok(t, err)

	phone := device(t)
	ok(t, r.JoinLead(phone, r.URL(), "Yew"))
	ok(t, phone.Until(`document.querySelectorAll(".stand").length === 4`))
	ok(t, phone.Press(".stand li .do", 2))
	wantPlan(t, r, planned{2600, 905, 1170, 1527, 3})
	late.Away(false)
	wantPlan(t, r, planned{2000, 905, 1170, 1527, 4})
	ok(t, phone.Until(`document.querySelectorAll(".stand").length === 4`))
	ok(t, phone.Until(`document.querySelector(".stand ul").children.length === 2`)) // the budget chosen, and the one that was not seen
}
