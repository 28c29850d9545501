package simulation

import (
	"slices"

	"rootledger/shared/event"
)

// line is one event that counts: it stands, all that it names is there, and it
// lies where the newest refile of each field put it.
type line struct {
	*event.Event
	fact               event.Fact // of an opening count what it stands for
	pass, region, zone event.Ref
	dish, setup, trial event.Ref
	size               event.Size
}

// named is what an event must find to count, by kind.
type named struct{ pass, region, zone, dish, setup, trial, agent event.Ref }

// lines lists what counts of all that is stored.
func lines(final []*event.Event) []line {
	known := make(map[event.Ref]*event.Event, len(final))
	for _, e := range final {
		known[e.Ref()] = e
	}
	is := func(ref event.Ref, kind event.Kind) bool {
		at := known[ref]
		return ref.IsZero() || at != nil && at.Fact.Validate() == nil && at.Fact.Kind() == kind && at.Makes()
	}
	void, leads := undone(final)
	tries := mayTry(final)
	var out []line
	var refiles []*event.Event
	for _, e := range final {
		l, n := lineOf(e)
		if e.Fact.Validate() != nil || void[e.Ref()] || !is(n.pass, event.KindPassBegun) || !is(n.region, event.KindRegion) ||
			!is(n.zone, event.KindZone) || !is(n.dish, event.KindDish) || !is(n.setup, event.KindSetup) || !is(n.trial, event.KindTrial) ||
			!is(n.agent, event.KindAgent) || !n.agent.IsZero() && !leads[n.agent] {
			continue
		}
		switch f := e.Fact.(type) {
		case *event.Settled, *event.TrialConcluded, *event.Agent, *event.DoseRule:
			if !leads[e.Ref()] {
				continue
			}
		case *event.Setup, *event.SetupChosen, *event.Trial:
			if !tries[e.Ref()] {
				continue
			}
		case *event.Refiled:
			if leads[e.Ref()] || !slices.ContainsFunc(f.Targets, func(t event.Ref) bool { return t.Replica != e.Replica }) {
				refiles = append(refiles, e)
			}
			continue
		}
		out = append(out, l)
	}
	for i := range out {
		out[i].file(refiles)
	}
	return out
}

// lineOf is an event as it was written, and what it names.
func lineOf(e *event.Event) (l line, n named) {
	l = line{Event: e, fact: e.Fact}
	if f, ok := e.Fact.(*event.OpeningCount); ok {
		if l.fact = f.Count(); l.fact == nil {
			l.fact = e.Fact
		}
	}
	switch f := l.fact.(type) {
	case *event.Attempt:
		l.pass, l.region, l.setup, l.trial = f.Pass, f.Region, f.Setup, f.Trial
	case *event.Inspected:
		l.pass, l.region = f.Pass, f.Region
	case *event.Looked:
		l.pass = f.Pass
	case *event.Sorted:
		l.dish, l.size = f.Dish, f.Size
	case *event.Rejected:
		l.dish, l.size = f.Dish, f.Size
	case *event.Split:
		l.dish, l.size = f.Dish, f.Size
	case *event.Placed:
		l.zone, l.dish, l.size = f.Zone, f.Dish, f.Size
	case *event.CameBack:
		l.zone, l.dish, l.size = f.Zone, f.Dish, f.Size
	case *event.DishDone:
		l.zone, l.dish = f.Zone, f.Dish
	case *event.Recount:
		l.zone, l.dish, l.size = f.Zone, f.Dish, f.Size
	case *event.Refiled:
		l.pass, l.region, l.zone, l.dish, l.setup = f.Pass, f.Region, f.Zone, f.Dish, f.Setup
	case *event.Settled:
		l.region, l.size = f.Region, f.Size
		switch f.What {
		case event.Pending, event.Against, event.Counter:
			l.pass = f.At
		case event.InDish:
			l.dish = f.At
		case event.SitesOpen:
			l.zone = f.At
		}
	}
	n = named{pass: l.pass, region: l.region, zone: l.zone, dish: l.dish, setup: l.setup, trial: l.trial}
	if f, ok := l.fact.(*event.Dosed); ok {
		n.agent = f.Agent
	}
	return l, n
}

// file moves a count to where the refile with the greatest stamp of each field
// puts it. What is no count stays.
func (l *line) file(refiles []*event.Event) {
	if !l.Fact.Kind().Counts() {
		return
	}
	var by [8]*event.Event
	for _, e := range refiles {
		f := e.Fact.(*event.Refiled)
		for bit := range by {
			if f.Sets&(1<<bit) != 0 && slices.Contains(f.Targets, l.Ref()) && (by[bit] == nil || event.Before(by[bit], e)) {
				by[bit] = e
			}
		}
	}
	for bit, e := range by {
		if e == nil {
			continue
		}
		f, kind := e.Fact.(*event.Refiled), l.fact.Kind()
		switch event.Filed(1 << bit) {
		case event.FiledPass:
			if l.pass != f.Pass {
				l.trial = event.Ref{}
			}
			l.pass = f.Pass
		case event.FiledSetup:
			if l.setup = f.Setup; l.setup.IsZero() {
				l.trial = event.Ref{}
			}
		case event.FiledRegion:
			l.region = f.Region
		case event.FiledZone:
			l.zone = f.Zone
		case event.FiledDish:
			if kind != event.KindDishDone {
				l.dish = f.Dish
			}
		case event.FiledSize:
			if kind != event.KindSplit {
				l.size = f.Size
			}
		}
	}
}

// pile is one figure that counts add to: of what, where and which size.
type pile struct {
	what string
	at   event.Ref
	size event.Size
}

// piles is a ledger as sums of moves.
type piles map[pile]int64

// move notes n grafts of a size that come into the holding, and into a dish of it.
func (h piles) move(l line, size event.Size, n int64) {
	h[pile{"held", event.Ref{}, size}] += n
	if !l.dish.IsZero() {
		h[pile{"dish", l.dish, size}] += n
	}
}

// add takes one line in.
func (h piles) add(l line) {
	of := func(what string, size event.Size, n int64) { h[pile{what, event.Ref{}, size}] += n }
	switch f := l.fact.(type) {
	case *event.Sorted:
		of("sorted", l.size, int64(f.N))
		h.move(l, l.size, int64(f.N))
	case *event.Split:
		if f.From == event.Bench {
			of("split", 0, int64(f.N))
		} else {
			h.move(l, l.size, -int64(f.N))
		}
		for _, piece := range f.Pieces {
			h.move(l, piece, int64(f.N))
		}
	case *event.Rejected:
		if f.From == event.Bench {
			of("rejected", 0, int64(f.N))
		} else {
			h.move(l, l.size, -int64(f.N))
		}
	case *event.Placed:
		of("placed", l.size, int64(f.N))
		h.move(l, l.size, -int64(f.N))
	case *event.CameBack:
		of("placed", l.size, -int64(f.N))
		h.move(l, l.size, int64(f.N))
	case *event.DishDone:
		for i := range event.Sizes {
			size := event.Size(i + 1)
			of("placed", size, int64(f.Placed[i]))
			h.move(l, size, -int64(f.Placed[i])-int64(f.Rejected[i]))
			h[pile{"dish", l.dish, size}] -= int64(f.Returned[i])
		}
	case *event.Attempt:
		if f.Outcome == event.Buried {
			of("buried", 0, int64(f.N))
		}
	case *event.Settled:
		switch f.What {
		case event.OnBench:
			of("settled on the bench", 0, f.Amount)
		case event.LeftIn:
			of("buried", 0, f.Amount)
		case event.Held, event.InDish:
			h.move(l, l.size, f.Amount)
		}
	}
}

// all is a pile over every size, those of no known size included.
func (h piles) all(what string, at event.Ref) (n int64) {
	for size := range event.Size(event.Sizes + 1) {
		n += h[pile{what, at, size}]
	}
	return n
}
