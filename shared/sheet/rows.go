package sheet

import (
	"strconv"
	"strings"

	"rootledger/shared/attempt"
	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/shared/team"
)

// conflicts states what nobody has chosen: every value that stands, the one
// that counts first, with who set it and when.
func (b *builder) conflicts(v session.View) {
	for _, c := range v.Conflicts {
		about := c.Name
		if c.Code != "" {
			about = c.Code + " " + c.Name
		}
		measure, unit := figureOf(c.Kind)
		b.number("not chosen", about, measure+", values standing", c.Standing, "values")
		for i, value := range c.Values {
			one := measure + ", stands"
			if i == 0 {
				one = measure + ", counts until one is chosen"
			}
			by := strings.TrimPrefix(about+" ("+value.Person+")", " ")
			if c.Kind == event.KindYield {
				b.share("not chosen", by, one, value.Figure, 1000, unit)
			} else {
				b.number("not chosen", by, one, value.Figure, unit)
			}
			b.time("not chosen", by, measure+", set", value.AtMs)
		}
	}
	b.number("not chosen", "", "plan entries with several values", int64(len(v.Conflicts)), "entries")
}

// figureOf is the key of what a conflict is about, and its unit.
func figureOf(kind event.Kind) (measure, unit string) {
	switch kind {
	case event.KindBudget:
		return "budget", "grafts"
	case event.KindYield:
		return "planned yield", "grafts"
	case event.KindFloor:
		return "floor x 10", "hairs/cm2 x 10"
	case event.KindWatch:
		return "limit of the sum x 100", ""
	case event.KindKeeping:
		return "asks from", "min"
	case event.KindZone:
		return "need", "grafts"
	default:
		return "capacity", "attempts"
	}
}

func (b *builder) passes(v session.View) {
	for i, p := range v.Passes {
		about := strconv.Itoa(i+1) + " " + p.Operator
		b.code("pass", about, "counted", p.Mode.String())
		if p.DiameterUM != 0 {
			b.number("pass", about, "punch diameter", p.DiameterUM, "um")
		}
		b.time("pass", about, "begun", p.BegunMs)
		b.outcomes("pass", about, p.Counts)
	}
	b.outcomes("pass", "", v.Ledger.Attempts)
}

// readings states of every device counter, by pass and by the phone that read
// it, the first value and the last.
func (b *builder) readings(s *session.State, v session.View) {
	type key struct {
		pass    event.Ref
		replica event.ReplicaID
		counter string
	}
	var order []key
	first, last := make(map[key]*event.Event), make(map[key]*event.Event)
	for _, e := range s.Standing(event.KindReading) {
		f := e.Fact.(*event.Reading)
		k := key{f.Pass, e.Replica, f.Counter}
		if first[k] == nil {
			first[k] = e
			order = append(order, k)
		}
		last[k] = e
	}
	called := names(s, v)
	for _, k := range order {
		begin, end := first[k].Fact.(*event.Reading), last[k].Fact.(*event.Reading)
		about := called[k.pass] + ", " + k.counter + " (" + s.Person(k.replica, first[k].Stamp) + ")"
		b.code("reading", about, "runs", end.Direction.String())
		b.number("reading", about, "first value", int64(begin.Value), "attempts")
		b.time("reading", about, "first, when", at(s, first[k]))
		b.number("reading", about, "last value", int64(end.Value), "attempts")
		b.time("reading", about, "last, when", at(s, last[k]))
	}
}

// dishes states what lies in every dish that is open or not empty.
func (b *builder) dishes(v session.View) {
	for _, d := range v.Dishes {
		about := "dish " + d.Label
		state := "open"
		if d.Closed {
			state = "closed"
		}
		b.code("dish", about, "state", state)
		b.time("dish", about, "opened", d.OpenedMs)
		b.bySize("dish", about, "in it", d.In, "grafts")
		b.number("dish", about, "in it, all", d.Total, "grafts")
	}
}

// outcomes states every count; rates stand as numerator and denominator, for
// published usage of their denominators differs.
func (b *builder) outcomes(section, about string, c attempt.Counts) {
	b.number(section, about, "attempts", c.Punched, "attempts")
	for o := event.Intact; o <= event.Empty; o++ {
		b.number(section, about, o.String(), c.Outcomes[o-1], "attempts")
	}
	b.number(section, about, "pending", c.Pending, "attempts")
	b.number(section, about, "retrieved from topped", c.RetrievedTopped, "grafts")
	b.number(section, about, "retrieved from buried", c.RetrievedBuried, "grafts")
	b.number(section, about, "out", c.Out(), "grafts")
	extracted := c.Outcomes[event.Intact-1] + c.Outcomes[event.Partial-1] + c.Outcomes[event.Total-1]
	b.share(section, about, "totally transected of outcomes", c.Outcomes[event.Total-1], c.OutcomeTotal(), "attempts")
	b.share(section, about, "partly transected of extracted", c.Outcomes[event.Partial-1], extracted, "attempts")
}

func (b *builder) grafts(v session.View) {
	l := v.Ledger
	b.number("grafts", "", "out", l.Out, "grafts")
	b.number("grafts", "", "judged", l.Judged, "grafts")
	b.number("grafts", "", "rejected at the bench", l.RejectedBench, "grafts")
	b.number("grafts", "", "on the bench", l.Bench, "grafts")
	b.bySize("grafts", "", "sorted", l.Sorted, "grafts")
	b.number("grafts", "", "gained by splitting", l.Gained, "grafts")
	b.bySize("grafts", "", "in holding", l.Holding, "grafts")
	if l.HoldingUnsized != 0 {
		b.number("grafts", "", "in holding, size unknown", l.HoldingUnsized, "grafts")
	}
	b.number("grafts", "", "in holding, all", l.HoldingTotal, "grafts")
	b.bySize("grafts", "", "placed", l.Placed, "grafts")
	b.number("grafts", "", "placed, all", l.PlacedTotal, "grafts")
	b.number("grafts", "", "rejected at placing", l.RejectedPlacing, "grafts")
	b.number("grafts", "", "buried, still open", l.BuriedOpen, "grafts")
	b.number("grafts", "", "sites open", l.OpenSites, "sites")
	b.share("grafts", "", "hairs placed, at least, of grafts placed", v.Mix.HairsPlaced, l.PlacedTotal, "hairs")
	b.mix(v)
}

// mix states what the sizes come to in the end, as the sorting went so far.
func (b *builder) mix(v session.View) {
	m := v.Mix
	b.share("grafts", "", "hairs sorted, at least, of grafts sorted", m.Hairs, m.Sorted.Total(), "hairs")
	if !m.Known {
		return
	}
	b.number("mix", "", "still to be sorted", m.Remaining, "grafts")
	b.bySize("mix", "", "need", m.Need, "grafts")
	b.bySize("mix", "", "expected in the end", m.Expected, "grafts")
	b.bySize("mix", "", "expected above need", m.Over, "grafts")
	b.bySize("mix", "", "splits that singles would need", m.Splits, "grafts")
}

func (b *builder) team(s *session.State) {
	for _, p := range s.Stints() {
		about := p.Person + " (" + p.Station.String() + ")"
		var attempts int64
		for _, n := range p.Own.Outcomes {
			attempts += n
		}
		b.number("team", about, "outcomes tapped", attempts, "attempts")
		b.number("team", about, "fired", p.Own.Fired, "attempts")
		b.number("team", about, "sorted", p.Own.Sorted.Total(), "grafts")
		b.number("team", about, "sites made", p.Own.Sites.Total(), "sites")
		b.number("team", about, "placed", p.Own.Placed.Total(), "grafts")
	}
	for _, h := range s.HandOvers() {
		b.handOver(s, h)
	}
	for _, p := range s.Pauses() {
		measure := "resumed"
		if p.Begins {
			measure = "paused"
		}
		b.time("team", p.Station.String(), measure, p.Stamp.Ms())
	}
}

// handOver states a change of person, and what was counted for it.
func (b *builder) handOver(s *session.State, h team.HandOver) {
	about := h.From + " to " + h.To
	b.time("team", about, "handed over", h.Stamp.Ms())
	if len(h.Checks) == 0 {
		b.code("team", about, "count check", "none")
		return
	}
	before := len(b.Rows)
	for _, r := range s.RecountsNamed(h.Checks) {
		b.number("team", about, "counted for it, "+r.What.String(), r.Counted, "")
		b.number("team", about, "the tallies said, "+r.What.String(), r.Ledger, "")
	}
	for _, ref := range h.Checks {
		if e := s.Find(ref); e != nil && !s.Undone(ref) {
			if f, ok := e.Fact.(*event.Reading); ok {
				b.number("team", about, "counter "+f.Counter+" read", int64(f.Value), "")
			}
		}
	}
	if len(b.Rows) == before {
		b.code("team", about, "count check", "taken back")
	}
}

// splits states which phones were copied or restored from a backup and so have
// more than one history: from which entry on they differ, how many entries each
// has from there, and that all of them count.
func (b *builder) splits(s *session.State) {
	splits := s.Splits()
	for _, split := range splits {
		about := split.Person + " (phone " + split.Replica.String()[:8] + ")"
		b.number("history split", about, "first entry that differs", int64(split.Seq), "")
		for i, branch := range split.Branches {
			b.number("history split", about, "history "+strconv.Itoa(i+1)+", from there", branch.Events, "entries")
		}
		b.code("history split", about, "counted", "every history")
	}
	b.number("history split", "", "phones with several histories", int64(len(splits)), "phones")
}

func (b *builder) notes(s *session.State) {
	for _, n := range s.Standing(event.KindNote) {
		b.text("note", s.Person(n.Replica, n.Stamp), "note", n.Fact.(*event.Note).Text)
	}
}
