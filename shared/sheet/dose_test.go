package sheet

import (
	"testing"

	"rootledger/shared/event"
)

// A stranger finds the weight and who entered it, every limit and its source,
// what was given of each, every dose, and what must be said beside them.
func TestDosesAreListed(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Placing}})
	d.add(&event.Joined{Person: "Ann", Station: event.Lead})
	if rows := doseRows(d); len(rows) != 1 || rows[cell{"", "doses"}].Number != 0 {
		t.Errorf("nothing given: got %v", rows)
	}
	d.add(&event.Weight{Grams: 60_000, Asked: true})
	d.add(&event.Agent{Substance: "articaine", CapUG: 500_000, Source: "the house's list"})
	d.add(&event.DoseRule{Substance: "lidocaine", PerKgUG: 28_000, Strength: 100, Source: "as agreed", Reason: "the surgeon"})
	d.add(&event.Dosed{Label: event.Lidocaine, VolumeUL: 5_000, Strength: 2_000, Site: "front", Earlier: true, Asked: true})
	d.add(&event.Dosed{Label: event.LidocaineEpinephrine, VolumeUL: 500_000, Strength: 100, Ratio: 1_000_000, Tumescent: true})
	rows := doseRows(d)
	for at, want := range map[cell]Row{
		{"Ann", "weight"}:                                                       {Number: 60_000},
		{"Ann", "weight, asked"}:                                                {Text: "asked, confirmed"},
		{"lidocaine", "limit by weight"}:                                        {Number: 4_500},
		{"lidocaine", "limit that counts"}:                                      {Number: 270_000},
		{"lidocaine", "source"}:                                                 {Text: "label of lidocaine"},
		{"bupivacaine", "daily limit"}:                                          {Number: 400_000},
		{"articaine", "source"}:                                                 {Text: "the house's list"},
		{"lidocaine", "given of the limit"}:                                     {Number: 100_000, Of: 270_000},
		{"lidocaine, dilute", "given of the limit"}:                             {Number: 500_000, Of: 1_680_000},
		{"", "sum of the shares"}:                                               {Number: 6_680, Of: 10_000},
		{"", "vasoconstrictor"}:                                                 {Number: 500_000},
		{"lidocaine", "dilute regime, limit"}:                                   {Number: 28_000},
		{"lidocaine", "rule, reason"}:                                           {Text: "the surgeon"},
		{"1, lidocaine (Ann)", "dose"}:                                          {Number: 100_000},
		{"1, lidocaine (Ann)", "site"}:                                          {Text: "front"},
		{"1, lidocaine (Ann)", "time"}:                                          {Text: "given before it was entered"},
		{"1, lidocaine (Ann)", "dose, asked"}:                                   {Text: "asked, confirmed"},
		{"2, lidocaine with epinephrine (Ann)", "regime"}:                       {Text: "dilute"},
		{"2, lidocaine with epinephrine (Ann)", "vasoconstrictor, one part in"}: {Number: 1, Of: 1_000_000},
	} {
		if got, ok := rows[at]; !ok || got.Number != want.Number || got.Of != want.Of || got.Text != want.Text {
			t.Errorf("%v: got %+v, %v, want %+v", at, got, ok, want)
		}
	}
	d.add(&event.Dosed{Label: event.LidocaineEpinephrine, VolumeUL: 500, Strength: 2_000, Ratio: 200_000, Asked: true})
	cautions := map[string]int{}
	for _, r := range Build(&d.state, d.state.NewestMs()).Rows {
		if r.Measure == "caution" {
			cautions[r.Text]++
		}
	}
	for _, key := range []string{"label maximum", "no credit for time", "pooled", "equipment first", "a log", "dilute"} {
		if cautions["caution, "+key] != 1 {
			t.Errorf("caution %q is not said once: got %v", key, cautions)
		}
	}
}

type cell struct{ about, measure string }

func doseRows(d *day) map[cell]Row {
	rows := map[cell]Row{}
	for _, r := range Build(&d.state, d.state.NewestMs()).Rows {
		if r.Section == "dose" {
			rows[cell{r.About, r.Measure}] = r
		}
	}
	return rows
}
