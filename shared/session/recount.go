package session

import (
	"cmp"
	"slices"

	"rootledger/shared/attempt"
	"rootledger/shared/event"
	"rootledger/shared/stock"
)

// recounts are the recounts that stand, and what the ledger said at each of
// them. That is worked out again only when something came that one of them
// should have seen.
type recounts struct {
	list  []*event.Event     // in order
	found []Recount          // the newest of each stock, in order
	since []event.Stamp      // when each of found was
	at    map[about]int      // where in found
	seen  map[event.Ref]bool // the dishes and zones that were counted again
	stale bool
}

// about is the stock that a recount is of, or a difference.
type about struct {
	what event.Identity
	at   event.Ref // the zone or dish
	size event.Size
}

func aboutOf(f *event.Recount) about {
	switch {
	case f.Of == event.Bench:
		return about{event.OnBench, event.Ref{}, 0}
	case f.Of == event.OpenSites:
		return about{event.SitesOpen, f.Zone, f.Size}
	case !f.Dish.IsZero():
		return about{event.InDish, f.Dish, f.Size}
	}
	return about{event.Held, event.Ref{}, f.Size}
}

// Recount is the newest recount of one stock: the objects that were counted,
// beside what the ledger says was there then, late counts and what was settled
// since included. Amount is Ledger − Counted: above zero, something that was
// counted is not there.
type Recount struct {
	Ref     event.Ref      `json:"ref"`
	What    event.Identity `json:"what"`
	At      event.Ref      `json:"at"`   // the zone or dish
	Size    event.Size     `json:"size"` // 0: all sizes
	Counted int64          `json:"counted"`
	Ledger  int64          `json:"ledger"`
	Amount  int64          `json:"amount"`
	AtMs    int64          `json:"atMs"`
	Person  string         `json:"person"`
}

// meet notes an entry that is taken in or out: what an earlier recount should
// have seen makes all of them stale.
func (r *recounts) meet(e *event.Event) {
	if len(r.list) == 0 && e.Fact.Kind() != event.KindRecount {
		return
	}
	switch e.Fact.Kind() {
	case event.KindRecount, event.KindSettled:
		r.stale = true
	default:
		r.stale = r.stale || e.Late || event.Before(e, r.list[len(r.list)-1])
	}
}

// recounted lists the newest recount of each stock. The ledger at a recount is
// a fold of what came before it in order, of every late count, and of whatever
// was settled. One walk answers for all recounts.
func (s *State) recounted() []Recount {
	if !s.recounts.stale {
		return s.recounts.found
	}
	s.recounts.stale, s.recounts.found = false, nil
	newest := make(map[about]*event.Event)
	for _, e := range s.recounts.list {
		newest[aboutOf(e.Fact.(*event.Recount))] = e
	}
	dropWholes(newest)
	before, rest := s.beforeRecounts()
	for _, e := range rest {
		f, ok := e.Fact.(*event.Recount)
		if !ok {
			before.add(e)
			continue
		}
		a := aboutOf(f)
		if newest[a] != e {
			continue
		}
		one := Recount{Ref: e.Ref(), What: a.what, At: a.at, Size: a.size, Counted: int64(f.N), Ledger: before.stock(a)}
		one.Amount = one.Ledger - one.Counted
		s.recounts.found = append(s.recounts.found, one)
	}
	event.Sort(s.recounts.found, func(a, b *Recount) int {
		return cmp.Or(cmp.Compare(a.What, b.What), event.CompareRef(a.At, b.At), cmp.Compare(a.Size, b.Size))
	})
	s.recounts.at, s.recounts.seen, s.recounts.since = make(map[about]int, len(s.recounts.found)), make(map[event.Ref]bool), nil
	for i, r := range s.recounts.found {
		s.recounts.at[about{r.What, r.At, r.Size}] = i
		s.recounts.seen[r.At] = true
		s.recounts.since = append(s.recounts.since, s.find(r.Ref).event.Stamp)
	}
	return s.recounts.found
}

// RecountsNamed lists those recounts among refs that stand, newest of their stock
// or not, in order, each with what the ledger said then. It walks all counts, as a
// sheet may.
func (s *State) RecountsNamed(refs []event.Ref) []Recount {
	before, rest := s.beforeRecounts()
	var out []Recount
	for _, e := range rest {
		f, ok := e.Fact.(*event.Recount)
		switch {
		case !ok:
			before.add(e)
		case slices.Contains(refs, e.Ref()):
			a := aboutOf(f)
			one := Recount{Ref: e.Ref(), What: a.what, At: a.at, Size: a.size, Counted: int64(f.N), Ledger: before.stock(a)}
			one.Amount = one.Ledger - one.Counted
			s.sign(&one)
			out = append(out, one)
		}
	}
	return out
}

// dropWholes drops a recount of all sizes once every size was counted after it:
// what it found is told by them.
func dropWholes(newest map[about]*event.Event) {
	for a, whole := range newest {
		if a.size != 0 || a.what == event.OnBench {
			continue
		}
		later := 0
		for size := event.Size(1); size <= event.Sizes; size++ {
			if one := newest[about{a.what, a.at, size}]; one != nil && event.Before(whole, one) {
				later++
			}
		}
		if later == event.Sizes {
			delete(newest, a)
		}
	}
}

// beforeRecounts is the ledger of what every recount takes in, and, in order,
// the counts that those after them take in, with the recounts among them.
func (s *State) beforeRecounts() (before ledgerThen, rest []*event.Event) {
	var makers, always []*event.Event // passes and dishes go first: others name them
	for _, h := range s.histories {
		for _, en := range h.entries() {
			e := en.counts()
			switch kind := e.Fact.Kind(); {
			case en.status != counted:
			case kind == event.KindPassBegun || kind == event.KindDish:
				makers = append(makers, e)
			case kind == event.KindRecount || kind.Counts() && !e.Late:
				rest = append(rest, e)
			default:
				always = append(always, e)
			}
		}
	}
	for _, e := range append(makers, always...) {
		before.add(e)
	}
	slices.SortFunc(rest, event.Compare)
	return before, rest
}

// recountOf is the newest recount of a stock and when it was, nil when nobody
// counted it again.
func (s *State) recountOf(a about) (*Recount, event.Stamp) {
	if len(s.recounted()) == 0 {
		return nil, 0
	}
	i, ok := s.recounts.at[a]
	if !ok {
		return nil, 0
	}
	s.sign(&s.recounts.found[i])
	return &s.recounts.found[i], s.recounts.since[i]
}

// sign says who counted and when: a clock note that comes later may date it anew.
func (s *State) sign(r *Recount) {
	e := s.find(r.Ref).event
	r.AtMs, r.Person = s.atMs(e), s.team().Person(e.Replica, e.Stamp)
}

// Recounted lists the newest recount of each stock.
func (s *State) Recounted() []Recount {
	out := append([]Recount{}, s.recounted()...)
	for i := range out {
		s.sign(&out[i])
	}
	return out
}

// ledgerThen is the stocks as they were at some time.
type ledgerThen struct {
	attempts attempt.Tally
	stocks   stock.Tally
}

func (l *ledgerThen) add(e *event.Event) {
	switch e.Fact.Kind() {
	case event.KindPassBegun, event.KindPassEnded, event.KindFired, event.KindAttempt, event.KindReading, event.KindRetrieved,
		event.KindOpeningCount:
		l.attempts.Add(e, 1)
	case event.KindSettled:
		l.attempts.Add(e, 1)
		l.stocks.Add(e, 1)
	default:
		l.stocks.Add(e, 1) // which ignores what it does not know
	}
}

func (l *ledgerThen) stock(a about) int64 {
	c := l.stocks.Counts()
	switch a.what {
	case event.OnBench:
		out := int64(0)
		for _, p := range l.attempts.Passes() {
			out += p.Total.Out()
		}
		return out - c.Judged() + c.SettledBench
	case event.SitesOpen:
		return ofSize(l.stocks.Zone(a.at).OpenSites(), 0, a.size)
	case event.InDish:
		if d := l.stocks.Dish(a.at); d != nil {
			return ofSize(d.In, d.Unsized, a.size)
		}
		return 0
	}
	return ofSize(c.Holding(), c.Unsized(), a.size)
}

// ofSize is a stock's grafts of one size, of all when that is 0.
func ofSize(b event.BySize, unsized int64, size event.Size) int64 {
	if size == 0 {
		return b.Total() + unsized
	}
	return b[size-1]
}
