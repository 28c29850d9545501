// Package sheet turns a session into its record: rows that a stranger can
// audit, each with its numerator and its denominator, in a fixed order. It has
// keys, not words; pwa/words has those.
package sheet

import (
	"strconv"

	"rootledger/shared/budget"
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// Row is one figure or one fact. Section, Measure and Unit are keys; About and
// Text are what people entered. A row has a number (Kind Number or Time, ms
// since 1970) or a text. Of is the denominator of a share, 0 for none.
type Row struct {
	Section string
	About   string
	Size    event.Size // 0 when the row is not about a size
	Measure string
	Kind    RowKind
	Number  int64
	Of      int64
	Text    string
	Unit    string
}

// RowKind says what a row's value is.
type RowKind uint8

// The kinds of value.
const (
	Number RowKind = iota
	Text
	Time
	Code // a key of this product, such as an outcome: words may replace it
)

// Sheet is the record of one session.
type Sheet struct {
	Case     string
	Room     string
	Practice bool
	OpenedMs int64
	Rows     []Row
}

// Build reads a session at nowMs (its seal, or the moment of a provisional
// sheet), with every phone taken as heard.
func Build(s *session.State, nowMs int64) Sheet {
	v := s.View(event.ReplicaID{}, nowMs, nil)
	b := builder{Sheet: Sheet{Case: v.Session.Case, Room: v.Session.Room, Practice: v.Session.Practice, OpenedMs: v.Session.OpenedMs}}
	b.session(v, nowMs)
	b.budget(v)
	b.plan(v)
	b.donor(v)
	b.conflicts(v)
	b.passes(v)
	b.readings(s, v)
	b.setups(s, v)
	b.trials(s, v)
	b.quality(s, v)
	b.grafts(v)
	b.dishes(v)
	b.timeOut(s, v)
	b.doses(s, v)
	b.team(s)
	b.splits(s)
	b.differences(s, v)
	b.notes(s)
	return b.Sheet
}

type builder struct{ Sheet }

func (b *builder) add(r Row) { b.Rows = append(b.Rows, r) }

func (b *builder) number(section, about, measure string, n int64, unit string) {
	b.add(Row{Section: section, About: about, Measure: measure, Number: n, Unit: unit})
}

func (b *builder) text(section, about, measure, text string) {
	b.add(Row{Section: section, About: about, Measure: measure, Kind: Text, Text: text})
}

func (b *builder) code(section, about, measure, key string) {
	b.add(Row{Section: section, About: about, Measure: measure, Kind: Code, Text: key})
}

func (b *builder) time(section, about, measure string, ms int64) {
	if ms != 0 {
		b.add(Row{Section: section, About: about, Measure: measure, Kind: Time, Number: ms})
	}
}

func (b *builder) share(section, about, measure string, n, of int64, unit string) {
	b.add(Row{Section: section, About: about, Measure: measure, Number: n, Of: of, Unit: unit})
}

func (b *builder) bySize(section, about, measure string, n event.BySize, unit string) {
	for i, one := range n {
		b.add(Row{Section: section, About: about, Size: event.Size(i + 1), Measure: measure, Number: one, Unit: unit})
	}
}

func (b *builder) session(v session.View, nowMs int64) {
	s := v.Session
	b.text("session", "", "case", s.Case)
	b.text("session", "", "room", s.Room)
	if s.Practice {
		b.code("session", "", "practice", "practice")
	}
	b.time("session", "", "opened", s.OpenedMs)
	b.time("session", "", "ended", s.EndedMs)
	b.time("session", "", "as of", nowMs)
	for _, station := range s.Stations {
		b.code("session", "", "counts", station.String())
	}
	b.number("session", "", "events", s.Events, "events")
	b.number("session", "", "events not counted", s.Waiting, "events")
}

func (b *builder) budget(v session.View) {
	h, l := v.Headline, v.Ledger
	if h.BudgetKnown {
		b.number("budget", "", "budget", h.Budget, "grafts")
		b.number("budget", "", "still to take", h.ToTake, "grafts")
		b.number("budget", "", "attempts left by need", h.Attempts, "attempts")
	}
	if h.RangeKnown {
		b.number("budget", "", "attempts left, low end of 95 %", h.Low, "attempts")
		if !h.HighOpen {
			b.number("budget", "", "attempts left, high end of 95 %", h.High, "attempts")
		}
	}
	b.number("budget", "", "usable now", h.Usable, "grafts")
	b.code("budget", "", "carried by", h.Carried)
	b.number("budget", "", "on the way", h.OnTheWay, "grafts")
	b.share("budget", "", "yield, with its prior", l.Yield.Num, l.Yield.Den, "grafts")
	b.share("budget", "", "planned yield", l.PlannedPerMille, 1000, "grafts")
	b.share("budget", "", "kept at the bench, with its prior", l.KeptShare.Num, l.KeptShare.Den, "grafts")
}

func (b *builder) plan(v session.View) {
	for _, z := range v.Zones {
		b.number("plan", z.Name, "area", z.AreaMM2, "mm2")
		b.number("plan", z.Name, "density x 10", z.Density10, "grafts/cm2 x 10")
		b.bySize("plan", z.Name, "need", z.Need, "grafts")
		b.bySize("plan", z.Name, "sites made", z.Sites, "sites")
		b.bySize("plan", z.Name, "sites open", z.Open, "sites")
		b.bySize("plan", z.Name, "placed", z.Placed, "grafts")
		b.share("plan", z.Name, "placed of need", z.Placed.Total(), z.Need.Total(), "grafts")
		b.share("plan", z.Name, "hairs placed, at least, of grafts placed", z.Hairs, z.PlacedTotal, "hairs")
	}
	if by := v.Ledger.BudgetLimitedBy; by != budget.StopsUnknown {
		b.number("plan", "", "largest budget", v.Ledger.BudgetMax, "grafts")
		b.code("plan", "", "limited by", by.String())
		b.number("plan", "", "needed beyond it", v.Ledger.Shortfall, "grafts")
	}
	b.share("plan", "", "placed of need", v.Ledger.PlacedTotal, v.Ledger.NeedTotal, "grafts")
}

func (b *builder) donor(v session.View) {
	passes := make(map[event.Ref]string)
	for i, p := range v.Passes {
		passes[p.Ref] = strconv.Itoa(i + 1)
	}
	for _, r := range v.Regions {
		about := r.Code + " " + r.Name
		b.share("donor", about, "attempts of capacity", r.Punched, r.Capacity, "attempts")
		b.number("donor", about, "left", r.Left, "attempts")
		b.number("donor", about, "area", r.AreaMM2, "mm2")
		b.number("donor", about, "density x 10", r.Density10, "units/cm2 x 10")
		density := "native"
		if r.Today {
			density = "today"
		}
		b.code("donor", about, "density is of", density)
		b.number("donor", about, "harvested before", r.Harvested, "grafts")
		if r.HairsPerUnit100 != 0 {
			b.number("donor", about, "hairs per unit x 100", r.HairsPerUnit100, "hairs x 100")
		}
		b.number("donor", about, "attempts x 10", r.PerCM2x10, "attempts/cm2 x 10")
		b.share("donor", about, "share taken", r.ShareTaken, 10_000, "units")
		b.share("donor", about, "share allowed", r.SharePerMille, 1000, "units")
		b.number("donor", about, "standing x 10", r.ResidualUnits10, "units/cm2 x 10")
		if r.HairsKnown {
			b.number("donor", about, "hairs standing x 10", r.ResidualHairs10, "hairs/cm2 x 10")
		}
		for _, t := range v.Taken {
			if t.Region == r.Ref {
				b.number("donor", about, "attempts in pass "+passes[t.Pass], t.Punched, "attempts")
			}
		}
	}
	b.number("donor", "", "floor x 10", v.Ledger.FloorHairs10, "hairs/cm2 x 10")
	if v.Ledger.PunchedNowhere != 0 {
		b.number("donor", "", "attempts without a region", v.Ledger.PunchedNowhere, "attempts")
	}
	if v.Headline.DonorKnown {
		b.number("donor", "", "left in all", v.Headline.DonorLeft, "attempts")
	}
}
