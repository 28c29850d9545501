package sheet

import (
	"strconv"

	"rootledger/shared/event"
	"rootledger/shared/quality"
	"rootledger/shared/session"
	"rootledger/shared/stats"
)

// quality states every rate with its numerator, denominator and 95 % interval, in
// all and by pass, operator, region and punch set-up; how cut attempts were
// watched, with what that leads to; each pass in groups of 50; and every sample
// and look.
func (b *builder) quality(s *session.State, v session.View) {
	for _, r := range v.Quality.Rows {
		about := rowName(r)
		b.rate(about, "totally transected of outcomes", r.Rates.Total, "attempts")
		b.rate(about, "partly transected of extracted", r.Rates.Partial, "attempts")
		b.rate(about, "topped of outcomes", r.Rates.Topped, "attempts")
		b.rate(about, "buried of outcomes", r.Rates.Buried, "attempts")
		b.rate(about, "empty of outcomes", r.Rates.Empty, "attempts")
		if r.Inspected > 0 {
			b.number("quality", about, "grafts inspected", r.Inspected, "grafts")
			b.rate(about, "cut follicles of those inspected", r.Rates.Follicles, "follicles")
		}
	}
	b.code("quality", "", "rates of what is seen", "a lower bound")
	b.watch(s, v)
	called := names(s, v)
	for _, p := range v.Passes {
		b.chart(s, "pass "+called[p.Ref], s.Chart(p.Ref))
	}
	b.inspections(s, called)
	b.looks(s, called)
}

// rowName is what a row is about: "" for all.
func rowName(r session.QualityRow) string {
	switch r.By {
	case session.ByAll:
		return ""
	case session.ByPass:
		return "pass " + strconv.FormatInt(r.Number, 10)
	case session.ByRegion:
		if r.At.IsZero() {
			return "no region"
		}
	}
	return string(r.By) + " " + r.Name
}

func (b *builder) rate(about, measure string, r quality.Rate, unit string) {
	b.share("quality", about, measure, r.N, r.Of, unit)
	if r.Known {
		b.share("quality", about, measure+", low end of 95 %", r.Low, stats.Whole, "")
		b.share("quality", about, measure+", high end of 95 %", r.High, stats.Whole, "")
	}
}

// runLength states how many attempts it takes to an alarm, if that can be told.
func (b *builder) runLength(measure string, n int64) {
	if n >= stats.Billion {
		b.code("watch", "", measure, "more than 20000")
		return
	}
	b.number("watch", "", measure, n, "attempts")
}

func (b *builder) watch(s *session.State, v session.View) {
	c := s.ChancesOf(s.Watch())
	b.share("watch", "", "usual share of cut attempts", v.Quality.P0Parts, stats.Whole, "attempts")
	b.share("watch", "", "share to notice", v.Quality.P1Parts, stats.Whole, "attempts")
	b.number("watch", "", "limit of the sum x 100", v.Quality.H100, "")
	b.number("watch", "", "attempts expected", c.Attempts, "attempts")
	b.share("watch", "", "chance of a false alarm among them", c.FalseParts, stats.Whole, "")
	b.runLength("attempts to a false alarm, on average", c.FalseEvery)
	b.runLength("attempts to an alarm at the share to notice, on average", c.NoticedIn)
	for _, w := range v.Quality.Watched {
		about := "pass " + strconv.FormatInt(w.Number, 10)
		b.number("watch", about, "sum x 100", w.Sum100, "")
		b.share("watch", about, "cut since the sum was 0 or the last look", w.Cut, w.Trials, "attempts")
		b.time("watch", about, "since", w.SinceMs)
		b.time("watch", about, "asks for a look since", w.AskingMs)
	}
}

// chart states a pass in groups of 50 outcomes, and their 3-sigma limits.
func (b *builder) chart(s *session.State, about string, c quality.Chart) {
	if len(c.Groups) == 0 {
		return
	}
	mean, lo, hi := stats.ShareLimitsParts(c.Cut, int64(len(c.Groups)), quality.GroupSize)
	b.share("chart", about, "mean share cut", mean, stats.Whole, "attempts")
	b.share("chart", about, "lower limit", lo, stats.Whole, "attempts")
	b.share("chart", about, "upper limit", hi, stats.Whole, "attempts")
	for i, g := range c.Groups {
		group := "group " + strconv.Itoa(i+1)
		b.share("chart", about, group+", cut", g.Cut, quality.GroupSize, "attempts")
		b.time("chart", about, group+", filled", at(s, g.Last))
		if g.Out {
			b.code("chart", about, group, "outside the limits")
		}
	}
	b.number("chart", about, "after the last full group", c.Rest, "attempts")
}

func (b *builder) inspections(s *session.State, called map[event.Ref]string) {
	for _, e := range s.Standing(event.KindInspected) {
		f := e.Fact.(*event.Inspected)
		about := "pass " + called[f.Pass]
		if !f.Region.IsZero() {
			about += ", " + called[f.Region]
		}
		b.time("inspected", about, "when", at(s, e))
		b.text("inspected", about, "by", s.Person(e.Replica, e.Stamp))
		b.number("inspected", about, "grafts", int64(f.Grafts), "grafts")
		b.share("inspected", about, "cut follicles", int64(f.Cut), int64(f.Whole+f.Cut), "follicles")
	}
}

func (b *builder) looks(s *session.State, called map[event.Ref]string) {
	for _, e := range s.Standing(event.KindLooked) {
		f := e.Fact.(*event.Looked)
		about := "pass " + called[f.Pass]
		b.time("looked", about, "when", at(s, e))
		b.text("looked", about, "by", s.Person(e.Replica, e.Stamp))
		b.share("looked", about, "damaged", int64(f.Damaged), int64(f.Grafts), "grafts")
		if f.Note != "" {
			b.text("looked", about, "note", f.Note)
		}
	}
}
