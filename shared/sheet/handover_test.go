package sheet

import (
	"testing"

	"rootledger/shared/event"
)

// A hand-over says what was counted for it and what the tallies said then, also
// after a newer recount of the same stock; or that nothing was.
func TestCountsAtAHandOver(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Extraction, event.Sorting}})
	d.add(&event.Joined{Person: "Ann", Station: event.Sorting})
	pass := d.add(&event.PassBegun{Mode: event.Each})
	d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 20})
	d.add(&event.Sorted{Size: 2, N: 4})
	first := d.add(&event.Recount{Of: event.Bench, N: 15})
	d.add(&event.HandedOver{Person: "Bo", Checks: []event.Ref{first}})
	d.add(&event.Sorted{Size: 2, N: 6})
	d.add(&event.Recount{Of: event.Bench, N: 10})
	d.add(&event.HandedOver{Person: "Cy"})
	read := d.add(&event.Reading{Pass: pass, Counter: "punch", Direction: event.Up, Value: 1874})
	d.add(&event.HandedOver{Person: "Di", Checks: []event.Ref{read}})
	rows := map[string]Row{}
	for _, r := range Build(&d.state, d.state.NewestMs()).Rows {
		rows[r.About+"|"+r.Measure] = r
	}
	for key, want := range map[string]int64{
		"Ann to Bo|counted for it, bench":   15,
		"Ann to Bo|the tallies said, bench": 16,
		"Cy to Di|counter punch read":       1874,
	} {
		if got, ok := rows[key]; !ok || got.Number != want {
			t.Errorf("%s: got %+v, %v, want %d", key, got, ok, want)
		}
	}
	if got := rows["Bo to Cy|count check"]; got.Text != "none" {
		t.Errorf("nothing counted: got %+v", got)
	}
	if got, ok := rows["Ann to Bo|count check"]; ok {
		t.Errorf("counted, and yet: got %+v", got)
	}
}
