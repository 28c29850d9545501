package sheet

import (
	"slices"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// day is a session of one phone's events, applied in order.
type day struct {
	t     *testing.T
	state session.State
	last  *event.Event
}

func (d *day) add(fact event.Fact) event.Ref { return d.entered(fact, false) }

func (d *day) entered(fact event.Fact, late bool) event.Ref {
	d.t.Helper()
	e := &event.Event{Late: late, Replica: event.ReplicaID{1}, Seq: 1, Session: event.SessionID{1}, Phone: event.PhoneID{1}, Start: event.StartID{1},
		Stamp: event.StampAt(1_800_000_000_000), WallMs: 1_800_000_000_000, Fact: fact}
	if d.last != nil {
		e.Seq, e.Prev, e.Session, e.Phone, e.Stamp = d.last.Seq+1, d.last.Hash, event.SessionID{}, event.PhoneID{}, d.last.Stamp+1
	}
	if err := e.Seal(); err != nil {
		d.t.Fatal(err)
	}
	if err := d.state.Apply(e); err != nil {
		d.t.Fatal(err)
	}
	d.last = e
	return e.Ref()
}

// sum adds up the rows of a section and measure.
func sum(s Sheet, section, measure string) (total int64) {
	for _, r := range s.Rows {
		if r.Section == section && r.Measure == measure && r.About != "" {
			total += r.Number
		}
	}
	return total
}

// Whoever held the phone, the team's rows add up to everything that was tapped.
func TestTeamAddsUp(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Sorting}})
	d.add(&event.Joined{Person: "Ann", Station: event.Sorting})
	d.add(&event.Sorted{Size: 1, N: 300})
	d.add(&event.HandedOver{Person: "Bo"})
	d.add(&event.Sorted{Size: 2, N: 12})
	d.add(&event.Joined{Person: "Cy", Station: event.Sorting})
	d.add(&event.Sorted{Size: 3, N: 5})
	s := Build(&d.state, d.state.NewestMs())
	if got := sum(s, "team", "sorted"); got != 317 {
		t.Errorf("the team sorted %d, want 317", got)
	}
	for about, want := range map[string]int64{"Ann (sorting)": 300, "Bo (sorting)": 12, "Cy (sorting)": 5} {
		var got int64
		for _, r := range s.Rows {
			if r.Section == "team" && r.About == about && r.Measure == "sorted" {
				got = r.Number
			}
		}
		if got != want {
			t.Errorf("%s sorted %d, want %d", about, got, want)
		}
	}
}

// Rates stand with numerator and denominator, a zero one too.
func TestSharesHaveTheirDenominator(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Extraction}})
	pass := d.add(&event.PassBegun{Mode: event.Each})
	d.add(&event.Attempt{Pass: pass, Outcome: event.Total, N: 12})
	d.add(&event.Attempt{Pass: pass, Outcome: event.Partial, N: 25})
	d.add(&event.Attempt{Pass: pass, Outcome: event.Intact, N: 463})
	s := Build(&d.state, d.state.NewestMs())
	for _, r := range s.Rows {
		if r.Section != "pass" || r.About != "" {
			continue
		}
		switch r.Measure {
		case "totally transected of outcomes":
			if r.Number != 12 || r.Of != 500 {
				t.Errorf("got %d of %d, want 12 of 500", r.Number, r.Of)
			}
		case "partly transected of extracted":
			if r.Number != 25 || r.Of != 500 {
				t.Errorf("got %d of %d, want 25 of 500", r.Number, r.Of)
			}
		}
	}
}

// What nobody has chosen stands with every value, who set it, and which counts.
func TestConflictsAreListed(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Sorting}})
	d.add(&event.Joined{Person: "Ann", Station: event.Lead})
	d.add(&event.Budget{Grafts: 2600})
	d.add(&event.HandedOver{Person: "Bo"})
	d.add(&event.Budget{Grafts: 2200}) // it names no other, as one set apart
	d.add(&event.Yield{PerMille: 850})
	d.add(&event.Yield{PerMille: 900})
	zone := d.add(&event.Zone{Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}})
	d.add(&event.Zone{Of: zone, Name: "Front", AreaMM2: 900, Density10: 300, Mix: [event.Sizes]uint16{1000}})
	region := d.add(&event.Region{Code: "BK", Name: "Back", AreaMM2: 5000, Density10: 800, SharePerMille: 200})
	d.add(&event.Region{Of: region, Code: "BK", Name: "Back", AreaMM2: 5000, Density10: 800, SharePerMille: 250})
	rows := make(map[string]Row)
	s := Build(&d.state, d.state.NewestMs())
	for _, r := range s.Rows {
		if r.Section == "not chosen" {
			rows[r.About+"|"+r.Measure] = r
		}
	}
	for key, want := range map[string]int64{
		"|plan entries with several values":                 4,
		"|budget, values standing":                          2,
		"(Bo)|budget, counts until one is chosen":           2200,
		"(Ann)|budget, stands":                              2600,
		"(Ann)|budget, set":                                 1_800_000_000_000,
		"(Bo)|planned yield, counts until one is chosen":    900,
		"(Bo)|planned yield, stands":                        850,
		"Front (Bo)|need, counts until one is chosen":       270,
		"Front (Bo)|need, stands":                           300,
		"BK Back (Bo)|capacity, counts until one is chosen": 800,
		"BK Back (Bo)|capacity, stands":                     1000,
		"BK Back|capacity, values standing":                 2,
	} {
		if got, ok := rows[key]; !ok || got.Number != want {
			t.Errorf("%s: got %d, %v, want %d", key, got.Number, ok, want)
		}
	}
	if got := rows["(Bo)|planned yield, stands"].Of; got != 1000 {
		t.Errorf("a yield of %d, want of 1000", got)
	}
}

func TestNothingToChooseIsSaid(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Budget{Grafts: 2600})
	for _, r := range Build(&d.state, d.state.NewestMs()).Rows {
		if r.Section == "not chosen" && (r.Measure != "plan entries with several values" || r.Number != 0) {
			t.Errorf("got %+v, want no entry with several values", r)
		}
	}
}

// A phone whose history split is named, with where and how many entries each
// history has; what both counted is in the figures.
func TestSplitHistoriesAreListed(t *testing.T) {
	d := &day{t: t}
	d.add(&event.Opened{Case: "A-1", Room: "1", Stations: []event.Station{event.Sorting}})
	d.add(&event.Joined{Person: "Ann", Station: event.Sorting})
	before := Build(&d.state, d.state.NewestMs())
	d.add(&event.Sorted{Size: 1, N: 3})
	copied := d.last
	d.add(&event.Sorted{Size: 1, N: 5})
	d.add(&event.Sorted{Size: 2, N: 7})
	d.last = copied // a copy of the phone goes on from here
	d.add(&event.Sorted{Size: 1, N: 11})
	var got []Row
	s := Build(&d.state, d.state.NewestMs())
	for _, r := range s.Rows {
		if r.Section == "history split" {
			got = append(got, r)
		}
	}
	about := "Ann (phone 01000000)"
	row := func(measure string, n int64, unit string) Row {
		return Row{Section: "history split", About: about, Measure: measure, Number: n, Unit: unit}
	}
	want := []Row{
		row("first entry that differs", 4, ""),
		row("history 1, from there", 2, "entries"), row("history 2, from there", 1, "entries"),
		{Section: "history split", About: about, Measure: "counted", Kind: Code, Text: "every history"},
		{Section: "history split", Measure: "phones with several histories", Number: 1, Unit: "phones"},
	}
	sizes := func(r []Row) { // the histories come in the order of their hashes
		if len(r) == 5 && r[1].Number < r[2].Number {
			r[1].Number, r[2].Number = r[2].Number, r[1].Number
		}
	}
	sizes(got)
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := sum(s, "team", "sorted"); got != 3+5+7+11 {
		t.Errorf("the team sorted %d, want 26", got)
	}
	last := before.Rows[len(before.Rows)-2]
	if want := (Row{Section: "history split", Measure: "phones with several histories", Unit: "phones"}); last != want {
		t.Errorf("without a split: got %v, want %v", last, want)
	}
}
