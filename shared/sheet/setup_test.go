package sheet

import (
	"testing"

	"rootledger/shared/event"
)

// What a stranger needs of a trial: how each set-up works, in which order turns
// were drawn, both numbers of every share, and how sure the difference is.
func TestTrialOnTheSheet(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Extraction}})
	d.add(&event.Joined{Person: "Ann", Station: event.Lead})
	pass := d.add(&event.PassBegun{Mode: event.Each, Operator: "Bo"})
	setup := func(name string, ms uint32) event.Ref {
		return d.add(&event.Setup{Name: name, DiameterUM: 900, Edge: "sharp", WaitMs: 150, Motions: []event.Motion{event.Rotation, event.Oscillation},
			ArcsDeg: []uint32{0, 120}, RPM: []uint32{3000, 0}, Power: []uint32{80, 0}, StepsMs: []uint32{200, ms}})
	}
	a, b := setup("short", 200), setup("long", 400)
	trial := d.add(&event.Trial{Pass: pass, Setups: []event.Ref{a, b}, Block: 25, Seed: 7})
	d.add(&event.SetupChosen{Pass: pass, Setup: b, Trial: trial, Turn: 1})
	tap := func(setup event.Ref, outcome event.Outcome, n uint32) {
		d.add(&event.Attempt{Pass: pass, Outcome: outcome, N: n, Setup: setup, Trial: trial})
	}
	tap(a, event.Intact, 56)
	tap(a, event.Partial, 14)
	tap(b, event.Intact, 48)
	tap(b, event.Total, 32)
	d.add(&event.TrialConcluded{Trial: trial, Note: "the shorter one"})
	rows := make(map[string]Row)
	for _, r := range Build(&d.state, d.state.NewestMs()).Rows {
		rows[r.Section+"|"+r.About+"|"+r.Measure] = r
	}
	checkUnits(t, rows)
	numbers := map[string][2]int64{
		"set-up|1 short|one attempt":                                              {550, 0},
		"set-up|2 long|one attempt":                                               {750, 0},
		"set-up|1 short|step 1, speed of the edge":                                {141_372, 0},
		"set-up|1 short|step 1, power":                                            {80, 0},
		"set-up|1 short|step 2, way in one stroke":                                {942, 0},
		"set-up|2 long|partly or totally transected of outcomes":                  {32, 80},
		"trial|1|attempts of one turn":                                            {25, 0},
		"trial|1|turns begun":                                                     {1, 0},
		"trial|1|seed of the draw":                                                {7, 0},
		"trial|1, 1 short|partly transected of extracted":                         {14, 70},
		"trial|1, 2 long against 1 short|difference of what is not whole":         {2000, 10_000},
		"trial|1, 2 long against 1 short|difference, low end of 95 % (Newcombe)":  {524, 10_000}, // Newcombe's (a), turned round
		"trial|1, 2 long against 1 short|difference, high end of 95 % (Newcombe)": {3339, 10_000},
	}
	for key, want := range numbers {
		if got := rows[key]; got.Number != want[0] || got.Of != want[1] || got.Kind != Number {
			t.Errorf("%s: got %+v, want %v", key, got, want)
		}
	}
	texts := map[string]string{
		"set-up|1 short|edge":                    "sharp",
		"set-up|1 short|made by":                 "Ann",
		"set-up|1 short|500 to 600 ms are usual": "inside the usual cycle",
		"set-up|2 long|500 to 600 ms are usual":  "outside the usual cycle",
		"set-up|pass 1 Bo|on from here":          "2 long",
		"trial|1 (Ann)|what was made of it":      "the shorter one",
		"trial|1|pass":                           "1 Bo",
	}
	for key, want := range texts {
		if got := rows[key]; got.Text != want {
			t.Errorf("%s: got %+v, want %q", key, got, want)
		}
	}
}

func checkUnits(t *testing.T, rows map[string]Row) {
	t.Helper()
	for key, unit := range map[string]string{
		"trial|1, 2 long against 1 short|difference of what is not whole":                   "",
		"trial|1, 2 long against 1 short|difference, low end of 95 % (Newcombe)":            "",
		"trial|1, 2 long against 1 short|chance that it cuts more, flat priors":             "",
		"set-up|2 long|partly or totally transected of outcomes, low end of 95 %":           "",
		"trial|1, 2 long against 1 short|attempts more, of each, to tell (80 % power, 5 %)": "attempts",
		"set-up|2 long|partly or totally transected of outcomes":                            "attempts",
	} {
		if got, ok := rows[key]; !ok || got.Unit != unit {
			t.Errorf("%s: got %+v, want the unit %q", key, got, unit)
		}
	}
}
