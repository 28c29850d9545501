package sheet

import (
	"strconv"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// names are what passes, zones, regions and dishes are called on the sheet.
func names(s *session.State, v session.View) map[event.Ref]string {
	out := make(map[event.Ref]string)
	for i, p := range v.Passes {
		out[p.Ref] = strconv.Itoa(i+1) + " " + p.Operator
	}
	for _, z := range v.Zones {
		out[z.Ref] = z.Name
	}
	for _, r := range v.Regions {
		out[r.Ref] = r.Code + " " + r.Name
	}
	for _, e := range s.Standing(event.KindDish) {
		out[e.Ref()] = "dish " + e.Fact.(*event.Dish).Label
	}
	return out
}

// differences states what does not agree, how it was found, and what was
// counted again; then every recount, all that was settled, moved between places
// or was there before counting began. Nothing here is left out once it is closed.
func (b *builder) differences(s *session.State, v session.View) {
	called := names(s, v)
	for _, d := range v.Differences {
		about := called[d.At]
		b.add(Row{Section: "difference", About: about, Size: d.Size, Measure: d.What.String(), Number: d.Amount})
		state := "open"
		if !d.Open {
			state = "waiting for phones"
		}
		b.code("difference", about, d.What.String()+", state", state)
		b.time("difference", about, d.What.String()+", since", d.SinceMs)
		if d.Recounted {
			b.number("difference", about, d.What.String()+", counted again", d.Counted, "")
			b.number("difference", about, d.What.String()+", ledger then", d.Ledger, "")
		}
	}
	b.number("difference", "", "differences", int64(len(v.Differences)), "differences")
	b.recounts(s, called)
	b.settled(s, called)
	b.moved(s)
	for _, e := range s.Standing(event.KindOpeningCount) {
		f := e.Fact.(*event.OpeningCount)
		place := f.Zone
		if place.IsZero() {
			place = f.Region
		}
		about := s.Person(e.Replica, e.Stamp)
		if called[place] != "" {
			about = called[place] + " (" + about + ")"
		}
		b.add(Row{Section: "opening count", About: about, Size: f.Size, Measure: f.Of.String(), Number: int64(f.N)})
	}
}

func (b *builder) recounts(s *session.State, called map[event.Ref]string) {
	for _, e := range s.Standing(event.KindRecount) {
		f := e.Fact.(*event.Recount)
		about := s.Person(e.Replica, e.Stamp)
		for _, at := range [...]event.Ref{f.Zone, f.Dish} {
			if called[at] != "" {
				about = called[at] + " (" + about + ")"
			}
		}
		b.time("recount", about, f.Of.String()+", when", at(s, e))
		b.add(Row{Section: "recount", About: about, Size: f.Size, Measure: f.Of.String() + ", counted again", Number: int64(f.N)})
	}
	for _, r := range s.Recounted() {
		b.add(Row{Section: "recount", About: called[r.At], Size: r.Size, Measure: r.What.String() + ", newest, ledger above it", Number: r.Amount})
	}
}

func (b *builder) settled(s *session.State, called map[event.Ref]string) {
	for _, e := range s.Standing(event.KindSettled) {
		f := e.Fact.(*event.Settled)
		about := s.Person(e.Replica, e.Stamp)
		if called[f.At] != "" {
			about = called[f.At] + " (" + about + ")"
		}
		b.time("settled", about, f.What.String()+", when", at(s, e))
		b.add(Row{Section: "settled", About: about, Size: f.Size, Measure: f.What.String(), Number: f.Amount})
		b.text("settled", about, f.What.String()+", reason", f.Reason)
	}
}

func (b *builder) moved(s *session.State) {
	for _, e := range s.Standing(event.KindRefiled) {
		about := s.Person(e.Replica, e.Stamp)
		b.time("moved", about, "when", at(s, e))
		b.number("moved", about, "entries moved", int64(len(e.Fact.(*event.Refiled).Targets)), "entries")
	}
}

// at is when an event was written, ms since 1970 by the session's clock.
func at(s *session.State, e *event.Event) int64 {
	ms, _ := s.At(e)
	return ms
}
