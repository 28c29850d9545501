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

// Where entries were moved to, what an opening count was, what lies in dishes,
// what the counters showed and what a region gave before are there to compute
// the figures again.
func TestWhatFiguresAreMadeOfIsListed(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Extraction, event.Sorting, event.Placing}})
	d.add(&event.Joined{Person: "Ann", Station: event.Extraction})
	region := d.add(&event.Region{Code: "BK", Name: "Back", AreaMM2: 5000, Density10: 800, SharePerMille: 200, Harvested: 150, HairsPerUnit100: 210})
	pass := d.add(&event.PassBegun{Mode: event.Each})
	d.add(&event.OpeningCount{Of: event.KindAttempt, Pass: pass, Region: region, Outcome: event.Partial, N: 7})
	reading := func(value uint32) {
		d.add(&event.Reading{Pass: pass, Region: region, Counter: "punch", Direction: event.Up, Value: value})
	}
	reading(100)
	reading(140)
	reading(160)
	one := d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 60})
	d.add(&event.Refiled{Targets: []event.Ref{one}, Sets: event.FiledRegion, Region: region})
	dish := d.add(&event.Dish{Label: "7"})
	two := d.add(&event.Sorted{Size: 2, N: 5, Dish: dish})
	d.add(&event.Refiled{Targets: []event.Ref{two}, Sets: event.FiledSize | event.FiledDish, Size: 3})
	d.add(&event.Sorted{Size: 1, N: 9, Dish: dish})
	d.add(&event.Recount{Of: event.Holding, Dish: dish, Size: 1, N: 8})
	type cell struct {
		section, about, measure string
		size                    event.Size
	}
	rows := map[cell]Row{}
	for _, r := range Build(&d.state, d.state.NewestMs()).Rows {
		rows[cell{r.Section, r.About, r.Measure, r.Size}] = r
	}
	for at, want := range map[cell]Row{
		{"opening count", "BK Back (Ann)", "attempt, partial", 0}:                   {Number: 7},
		{"donor", "BK Back", "harvested before", 0}:                                 {Number: 150},
		{"donor", "BK Back", "hairs per unit x 100", 0}:                             {Number: 210},
		{"donor", "BK Back", "density is of", 0}:                                    {Text: "native"},
		{"reading", "1 Ann, punch (Ann)", "first value", 0}:                         {Number: 100},
		{"reading", "1 Ann, punch (Ann)", "last value", 0}:                          {Number: 160},
		{"moved", "Ann", "to region", 0}:                                            {Text: "BK Back"},
		{"moved", "Ann", "to dish", 0}:                                              {Text: "none"},
		{"moved", "Ann", "entries moved", 3}:                                        {Number: 1},
		{"dish", "dish 7", "in it", 1}:                                              {Number: 9},
		{"dish", "dish 7", "in it, all", 0}:                                         {Number: 9},
		{"recount", "dish 7", "dish, newest, counted again", 1}:                     {Number: 8},
		{"recount", "dish 7", "dish, newest, ledger then, late counts included", 1}: {Number: 9},
		{"difference", "dish 7", "dish, state", 1}:                                  {Text: "open"},
		{"difference", "dish 7", "dish, ledger then, late counts included", 1}:      {Number: 9},
	} {
		if got, ok := rows[at]; !ok || got.Number != want.Number || got.Text != want.Text {
			t.Errorf("%v: got %+v, %v, want %d %q", at, got, ok, want.Number, want.Text)
		}
	}
}

// What was entered late is told as it was entered, though the recount agrees.
func TestLateEntriesAreListed(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Sorting, event.Placing}})
	d.add(&event.Joined{Person: "Ann", Station: event.Sorting})
	d.add(&event.Sorted{Size: 1, N: 15})
	d.add(&event.Recount{Of: event.Holding, Size: 1, N: 16})
	d.entered(&event.Sorted{Size: 1, N: 1}, true)
	var got []Row
	for _, r := range Build(&d.state, d.state.NewestMs()).Rows {
		if r.Section == "entered late" && r.Kind == Number {
			got = append(got, r)
		}
	}
	if len(got) != 1 || got[0] != (Row{Section: "entered late", About: "Ann", Size: 1, Measure: "sorted", Number: 1}) {
		t.Errorf("got %+v", got)
	}
}
