package sheet

import (
	"testing"

	"rootledger/shared/event"
)

// What was counted again, settled, moved or there before is on the sheet, also
// once it closed its difference.
func TestClosedDifferencesAreListed(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Sorting, event.Placing}})
	d.add(&event.Joined{Person: "Ann", Station: event.Lead})
	d.add(&event.Zone{Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}})
	zone := d.last.Ref()
	d.add(&event.Dish{Label: "7"})
	dish := d.last.Ref()
	d.add(&event.OpeningCount{Of: event.KindPlaced, Zone: zone, Size: 1, N: 12})
	d.add(&event.Sorted{Size: 1, N: 30, Dish: dish})
	d.add(&event.Sorted{Size: 2, N: 4})
	wrong := d.last.Ref()
	d.add(&event.Refiled{Targets: []event.Ref{wrong}, Sets: event.FiledSize, Size: 1})
	d.add(&event.Recount{Of: event.Holding, Dish: dish, N: 28})
	d.add(&event.Settled{What: event.InDish, At: dish, Size: 0, Amount: -2, Reason: "two fell"})
	rows := map[string]Row{}
	for _, r := range Build(&d.state, d.state.NewestMs()).Rows {
		if r.Section == "recount" || r.Section == "settled" || r.Section == "moved" || r.Section == "opening count" {
			rows[r.About+"|"+r.Measure] = r
		}
	}
	for key, want := range map[string]int64{
		"dish 7 (Ann)|holding, counted again": 28, "dish 7|dish, newest, ledger above it": 0,
		"dish 7 (Ann)|dish": -2, "Ann|entries moved": 1, "Front (Ann)|placed": 12,
	} {
		if got, ok := rows[key]; !ok || got.Number != want {
			t.Errorf("%s: got %+v, %v, want %d; there are %v", key, got, ok, want, rows)
		}
	}
	if got := rows["dish 7 (Ann)|dish, reason"].Text; got != "two fell" {
		t.Errorf("reason: got %q", got)
	}
}
