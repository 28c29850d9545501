package sheet

import (
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

func (d *day) add(fact event.Fact) event.Ref {
	d.t.Helper()
	e := &event.Event{Replica: event.ReplicaID{1}, Seq: 1, Session: event.SessionID{1}, Phone: event.PhoneID{1}, Start: event.StartID{1},
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
