package sheet

import (
	"testing"

	"rootledger/shared/event"
)

// Times out of the body, limits, and how grafts were kept stand on the sheet; a
// dish that is empty by then does too.
func TestTimeOutIsStated(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Extraction, event.Sorting, event.Placing}})
	d.add(&event.Joined{Person: "Ann", Station: event.Lead})
	d.add(&event.Keeping{AmberMin: 180, RedMin: 300, PlacingMs: 1_800_000_060_000, PerHour10: 4500, Solution: "saline", Temperature10: 45, TemperatureKnown: true})
	zone := d.add(&event.Zone{Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}})
	pass, dish := d.add(&event.PassBegun{Mode: event.Each}), d.add(&event.Dish{Label: "4"})
	d.add(&event.OpeningCount{Of: event.KindAttempt, Pass: pass, Outcome: event.Intact, N: 6})
	d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 3})
	d.add(&event.Sorted{Size: 1, N: 2, Dish: dish})
	d.add(&event.DishDone{Dish: dish, Zone: zone, Placed: [event.Sizes]uint32{2}})
	rows := map[string]Row{}
	const minute, out = 60_000, 1_800_000_000_000
	for _, r := range Build(&d.state, out+61*minute).Rows {
		rows[r.Section+"|"+r.About+"|"+r.Measure] = r
	}
	for key, want := range map[string]int64{
		"time out||came out, pieces of splits too":           9,
		"time out||of those, out before counting began":      6,
		"time out||left: placed and rejected less came back": 2,
		"time out||mean of those that left, by entries":      0,
		"time out||longest, first in first out":              0,
		"time out||still out":                                7,
		"time out||still out, mean so far":                   61,
		"time out||oldest out since, first in first out":     out,
		"time out||oldest out for":                           61,
		"time out||wait of a graft taken now":                1, // 7 at 450 an hour
		"time out||asks from":                                180,
		"time out||limit":                                    300,
		"time out||planned start of placing":                 1_800_000_060_000,
		"time out||planned rate of placing x 10":             4500,
		"time out||temperature x 10":                         45,
		"time in dish|dish 4|left it":                        2,
		"time in dish|dish 4|mean of those, by entries":      0,
	} {
		if got, ok := rows[key]; !ok || got.Number != want {
			t.Errorf("%s: got %d, %v, want %d", key, got.Number, ok, want)
		}
	}
	if got := rows["time out||grafts lie in"].Text; got != "saline" {
		t.Errorf("kept in %q, want saline", got)
	}
}
