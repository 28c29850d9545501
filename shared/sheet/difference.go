package sheet

import (
	"strconv"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// names are what passes, zones, regions, dishes and set-ups are called on the sheet.
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
	return setupNames(out, v)
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
		row := func(r Row) {
			r.Section, r.About, r.Size, r.Measure = "difference", about, d.Size, d.What.String()+", "+r.Measure
			b.add(r)
		}
		row(Row{Measure: "state", Kind: Code, Text: state})
		if d.SinceMs != 0 {
			row(Row{Measure: "since", Kind: Time, Number: d.SinceMs})
		}
		if d.Recounted {
			row(Row{Measure: "counted again", Number: d.Counted})
			row(Row{Measure: "ledger then, late counts included", Number: d.Ledger})
		}
	}
	b.number("difference", "", "differences", int64(len(v.Differences)), "differences")
	b.recounts(s, called)
	b.late(s)
	b.settled(s, called)
	b.moved(s, called)
	b.openings(s, called)
}

// late states what was entered after a recount that it came before.
func (b *builder) late(s *session.State) {
	for _, e := range s.Late() {
		about, size, n := s.Person(e.Replica, e.Stamp), event.Size(0), uint32(0)
		switch f := e.Fact.(type) {
		case *event.Attempt:
			n = f.N
		case *event.Fired:
			n = f.N
		case *event.Retrieved:
			n = f.N
		case *event.Sorted:
			size, n = f.Size, f.N
		case *event.Rejected:
			size, n = f.Size, f.N
		case *event.Split:
			size, n = f.Size, f.N
		case *event.Sites:
			size, n = f.Size, f.N
		case *event.SitesClosed:
			size, n = f.Size, f.N
		case *event.Placed:
			size, n = f.Size, f.N
		case *event.CameBack:
			size, n = f.Size, f.N
		}
		b.add(Row{Section: "entered late", About: about, Size: size, Measure: e.Fact.Kind().String(), Number: int64(n)})
		b.time("entered late", about, e.Fact.Kind().String()+", when", at(s, e))
	}
}

// openings states what was there before counting began, attempts by outcome.
func (b *builder) openings(s *session.State, called map[event.Ref]string) {
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
		measure := f.Of.String()
		if f.Outcome != 0 {
			measure += ", " + f.Outcome.String()
		}
		b.add(Row{Section: "opening count", About: about, Size: f.Size, Measure: measure, Number: int64(f.N)})
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
		b.add(Row{Section: "recount", About: called[r.At], Size: r.Size, Measure: r.What.String() + ", newest, counted again", Number: r.Counted})
		b.add(Row{Section: "recount", About: called[r.At], Size: r.Size, Measure: r.What.String() + ", newest, ledger then, late counts included", Number: r.Ledger})
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

// moved states how many entries were moved, and where to.
func (b *builder) moved(s *session.State, called map[event.Ref]string) {
	for _, e := range s.Standing(event.KindRefiled) {
		f := e.Fact.(*event.Refiled)
		about := s.Person(e.Replica, e.Stamp)
		b.time("moved", about, "when", at(s, e))
		b.add(Row{Section: "moved", About: about, Size: f.Size, Measure: "entries moved", Number: int64(len(f.Targets)), Unit: "entries"})
		for _, to := range [...]struct {
			bit event.Filed
			ref event.Ref
			of  string
		}{{event.FiledPass, f.Pass, "pass"}, {event.FiledRegion, f.Region, "region"}, {event.FiledZone, f.Zone, "zone"}, {event.FiledDish, f.Dish, "dish"},
			{event.FiledSetup, f.Setup, "set-up"}} {
			switch name, known := called[to.ref]; {
			case f.Sets&to.bit == 0:
			case to.ref.IsZero():
				b.code("moved", about, "to "+to.of, "none")
			case known:
				b.text("moved", about, "to "+to.of, name)
			default:
				b.text("moved", about, "to "+to.of, to.ref.String())
			}
		}
	}
}

// at is when an event was written, ms since 1970 by the session's clock.
func at(s *session.State, e *event.Event) int64 {
	ms, _ := s.At(e)
	return ms
}
