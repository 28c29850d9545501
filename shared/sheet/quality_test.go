package sheet

import (
	"testing"

	"rootledger/shared/event"
)

// Every rate stands with what it is of and its interval, and every sample and
// look with who entered it.
func TestQualityRows(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Extraction}})
	d.add(&event.Joined{Person: "Ann", Station: event.Extraction})
	pass := d.add(&event.PassBegun{Mode: event.Each})
	for range 9 {
		d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 50})
	}
	d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 38})
	d.add(&event.Attempt{Pass: pass, Outcome: event.Total, N: 12})
	d.add(&event.Inspected{Pass: pass, Grafts: 5, Whole: 11, Cut: 1})
	d.add(&event.Looked{Pass: pass, Grafts: 6, Damaged: 2, Note: "blunt"})
	d.add(&event.Attempt{Pass: pass, Outcome: event.Empty, N: 1})
	s := Build(&d.state, d.state.NewestMs())
	tests := []Row{
		{Section: "quality", Measure: "totally transected of outcomes", Number: 12, Of: 501, Unit: "attempts"},
		{Section: "quality", Measure: "totally transected of outcomes, low end of 95 %", Number: 138, Of: 10_000},
		{Section: "quality", About: "operator Ann", Measure: "cut follicles of those inspected", Number: 1, Of: 12, Unit: "follicles"},
		{Section: "watch", About: "pass 1", Measure: "cut since the sum was 0 or the last look", Unit: "attempts"},
		{Section: "watch", Measure: "attempts expected", Number: 2_500, Unit: "attempts"},
		{Section: "chart", About: "pass 1 Ann", Measure: "group 10, cut", Number: 12, Of: 50, Unit: "attempts"},
		{Section: "chart", About: "pass 1 Ann", Measure: "group 10", Kind: Code, Text: "outside the limits"},
		{Section: "chart", About: "pass 1 Ann", Measure: "after the last full group", Number: 1, Unit: "attempts"},
		{Section: "inspected", About: "pass 1 Ann", Measure: "by", Kind: Text, Text: "Ann"},
		{Section: "looked", About: "pass 1 Ann", Measure: "damaged", Number: 2, Of: 6, Unit: "grafts"},
		{Section: "looked", About: "pass 1 Ann", Measure: "note", Kind: Text, Text: "blunt"},
	}
	for _, want := range tests {
		found := false
		for _, r := range s.Rows {
			if r.Section == want.Section && r.About == want.About && r.Measure == want.Measure {
				found = true
				if r != want {
					t.Errorf("got %+v, want %+v", r, want)
				}
			}
		}
		if !found {
			t.Errorf("no row %s, %s, %s", want.Section, want.About, want.Measure)
		}
	}
}
