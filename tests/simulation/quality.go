package simulation

import (
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// qualityDeeds are samples, looks at the last grafts, and how cut ones are watched.
var qualityDeeds = map[string]func(w *World, a Action){
	"inspect": tapping(func(p *Phone, a Action) event.Fact {
		pass, at := p.somewhere(a)
		if pass.IsZero() {
			return nil
		}
		return &event.Inspected{Pass: pass, Region: at, Grafts: p.n(a), Whole: 2 * p.n(a), Cut: uint32(a.Arg % 3)}
	}),
	"look": tapping(func(p *Phone, a Action) event.Fact {
		pass, _ := p.somewhere(a)
		if pass.IsZero() {
			return nil
		}
		return &event.Looked{Pass: pass, Grafts: p.n(a), Damaged: p.n(a) - 1}
	}),
	"watch": leading(func(p *Phone, a Action) event.Fact {
		return &event.Watch{P0Parts: 500, P1Parts: uint32(1_000 + a.Arg%3*500), H100: uint32(200 + a.Arg%4*100)}
	}),
}

func init() {
	for name, do := range qualityDeeds {
		deeds[name] = do
	}
}

// checkQuality: rates are of what stands, and a pass asks for a look as a walk
// over its entries, in their order, says.
func (w *World) checkQuality(all []line, v session.View) {
	var total, partial, follicles, cut int64
	for _, l := range all {
		switch f := l.fact.(type) {
		case *event.Attempt:
			if f.Outcome == event.Total {
				total += int64(f.N)
			} else if f.Outcome == event.Partial {
				partial += int64(f.N)
			}
		case *event.Inspected:
			follicles, cut = follicles+int64(f.Whole+f.Cut), cut+int64(f.Cut)
		}
	}
	r := v.Quality.Rows[0].Rates
	w.sum("totally cut", r.Total.N, total)
	w.sum("partly cut", r.Partial.N, partial)
	w.sum("cut follicles", r.Follicles.N, cut)
	w.sum("follicles", r.Follicles.Of, follicles)
	ordered := slices.Clone(all)
	slices.SortFunc(ordered, func(a, b line) int { return event.Compare(a.Event, b.Event) })
	for _, one := range v.Quality.Watched {
		s := walk(ordered, one.Pass, v.Quality.P1Parts, v.Quality.H100)
		w.sum("cut since the last look", one.Cut, s.cut)
		w.sum("attempts since the last look", one.Trials, s.trials)
		if one.Asks != s.asks {
			w.violate("O2", "pass %d asks for a look: the figures say %v, the events %v", one.Number, one.Asks, s.asks)
		}
	}
}

// walked is the sum over one pass, in millionths.
type walked struct {
	sum, trials, cut int64
	asks             bool
}

// inMillionths are, by the share to notice against one of 5 %, what a cut
// attempt adds and what any other takes away: log(p1/p0) and log(0.95/(1 − p1)).
var inMillionths = map[int64][2]int64{1_000: {693147, 54067}, 1_500: {1098612, 111226}, 2_000: {1386294, 171850}}

// saw says whether a look at a pass saw an attempt: what it says that it had, or
// all before it.
func (l *line) saw(attempt *event.Event, pass event.Ref) bool {
	f, ok := l.fact.(*event.Looked)
	if !ok || f.Pass != pass {
		return false
	}
	seen := len(f.Upto) == 0 && event.Before(attempt, l.Event)
	for _, last := range f.Upto {
		seen = seen || last.Replica == attempt.Replica && last.Seq >= attempt.Seq
	}
	return seen
}

func walk(ordered []line, pass event.Ref, p1, h100 int64) (s walked) {
	weights := inMillionths[p1]
	for _, l := range ordered {
		f, ok := l.Event.Fact.(*event.Attempt)
		if !ok || l.pass != pass || slices.ContainsFunc(ordered, func(look line) bool { return look.saw(l.Event, pass) }) {
			continue
		}
		for range f.N {
			s.trials++
			if f.Outcome == event.Partial || f.Outcome == event.Total {
				s.cut, s.sum = s.cut+1, s.sum+weights[0]
			} else {
				s.sum = max(0, s.sum-weights[1])
			}
			s.asks = s.asks || s.sum >= 10_000*h100
			if s.sum == 0 && !s.asks {
				s = walked{}
			}
		}
	}
	return s
}
