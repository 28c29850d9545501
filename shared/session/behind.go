package session

import (
	"cmp"
	"slices"

	"rootledger/shared/event"
)

// Question asks where a figure comes from.
type Question struct {
	Of    Figure
	At    event.Ref
	Size  event.Size
	Limit int // entries, at most
}

// Behind is where a figure comes from: the terms that it is computed from, each
// of which may be asked about in turn; who counted what of it; and the very
// entries, newest first.
type Behind struct {
	Terms   []Term  `json:"terms"`
	People  []Part  `json:"people"`
	Entries []Entry `json:"entries"`
	More    int64   `json:"more"` // entries that are not listed
}

// Term is one number that a figure is made of. Per says what N counts: 1, or
// 1,000 for per mille, 10 for tenths, 10,000 for hundredths of a per cent,
// 1,000,000 for millionths: mg in ng.
type Term struct {
	Name string     `json:"name"`
	N    int64      `json:"n"`
	Per  int64      `json:"per"`
	Of   Figure     `json:"of"` // what may be asked about it, 0 for nothing
	At   event.Ref  `json:"at"`
	Size event.Size `json:"size"`
}

// Part is what one person counted of a figure at one station: how much they
// added and took away, and in how many entries.
type Part struct {
	Person  string        `json:"person"`
	Station event.Station `json:"station"`
	Plus    int64         `json:"plus"`
	Minus   int64         `json:"minus"`
	Entries int64         `json:"entries"`
}

// Behind answers a question at now (ms since 1970, the session's clock).
func (s *State) Behind(q Question, nowMs int64) Behind {
	out := Behind{Terms: []Term{}, People: []Part{}, Entries: []Entry{}}
	out.Terms = append(out.Terms, s.terms(q, nowMs)...)
	var found []*entry
	for _, h := range s.histories {
		for _, en := range h.entries() {
			if en.status == counted {
				if _, ok := s.effect(q, en.counts()); ok {
					found = append(found, en)
				}
			}
		}
	}
	slices.SortFunc(found, func(a, b *entry) int { return event.Compare(b.event, a.event) })
	for i, en := range found {
		n, _ := s.effect(q, en.counts())
		person := s.team().Person(en.event.Replica, en.event.Stamp)
		out.People = join(out.People, person, en.station, n)
		if i < q.Limit {
			one := s.entryOf(en)
			one.Person = person
			out.Entries = append(out.Entries, one)
		} else {
			out.More++
		}
	}
	event.Sort(out.People, func(a, b *Part) int {
		return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(a.Person, b.Person))
	})
	return out
}

func join(parts []Part, person string, station event.Station, n int64) []Part {
	at := slices.IndexFunc(parts, func(p Part) bool { return p.Person == person && p.Station == station })
	if at < 0 {
		parts, at = append(parts, Part{Person: person, Station: station}), len(parts)
	}
	p := &parts[at]
	p.Plus, p.Minus, p.Entries = p.Plus+max(0, n), p.Minus+max(0, -n), p.Entries+1
	return parts
}

// effect is what an entry, as it counts, does to the figure of a question: how
// much it adds or takes away. ok is false for one that has no part in it.
func (s *State) effect(q Question, e *event.Event) (n int64, ok bool) {
	if asksDoses(q.Of) {
		return s.doseEffect(q, e)
	}
	switch q.Of {
	case FigureOut, FigureBench, FigurePending, FigureCounter, FigureAttempted, FigureBuried, FigureYield, FigurePaceTaking, FigureShare, FigureResidual:
		if n, ok = s.extractionEffect(q, e); ok || q.Of != FigureBench {
			return n, ok
		}
		return benchEffect(e)
	case FigureSorted, FigureHolding, FigureDish, FigurePlaced, FigureSites, FigureMix, FigureHairs, FigureKept,
		FigurePaceSorting, FigurePaceSites, FigurePacePlacing:
		return graftEffect(q, e)
	case FigureSetup, FigureNotWhole, FigureTrial, FigureTurn:
		return s.setupEffect(q, e)
	case FigureTotal, FigurePartial, FigureTopped, FigureEmpty, FigureFollicles, FigureWatch:
		return s.qualityEffect(q, e)
	case FigureTimeOut, FigureLongestOut, FigureOldestOut, FigureAhead:
		return s.outEffect(q.Of, e)
	}
	return planEffect(q, e)
}

func planEffect(q Question, e *event.Event) (n int64, ok bool) {
	switch f := e.Fact.(type) {
	case *event.Budget:
		return int64(f.Grafts), q.Of == FigureBudget
	case *event.Zone:
		return 0, q.Of == FigureNeed && (q.At.IsZero() || q.At == e.Ref() || q.At == f.Of)
	case *event.Region:
		return 0, q.Of == FigureCapacity && (q.At.IsZero() || q.At == e.Ref() || q.At == f.Of)
	}
	return 0, false
}

// extractionEffect is that of what the punch did. What a shot or a reading adds
// its track says: a reading its step, less the shots in it.
func (s *State) extractionEffect(q Question, e *event.Event) (n int64, ok bool) {
	var pass, region event.Ref
	var outcome event.Outcome
	switch f := plain(e.Fact).(type) {
	case *event.Attempt:
		pass, region, outcome, n = f.Pass, f.Region, f.Outcome, int64(f.N)
	case *event.Fired:
		pass, region, n = f.Pass, f.Region, int64(f.N)
	case *event.Reading:
		pass, region = f.Pass, f.Region
	case *event.Retrieved:
		return int64(f.N) * sign(q.Of != FigureBuried), (q.Of == FigureOut || q.Of == FigureBench || q.Of == FigureBuried && f.From == event.Buried) && (q.At.IsZero() || q.At == f.Pass)
	case *event.Settled:
		return s.settledEffect(q, f)
	default:
		return 0, false
	}
	if !q.At.IsZero() && q.At != pass && q.At != region {
		return 0, false
	}
	shot, mode := outcome == 0, s.attempts.Mode(pass)
	if shot && e.Fact.Kind() != event.KindOpeningCount {
		n = s.attempts.Adds(e, pass)
	}
	return punchEffect(q.Of, mode, outcome, n)
}

// punchEffect is what n attempts do to a figure: with an outcome, or as shots of
// a pass that is counted in a mode when that is 0.
func punchEffect(of Figure, mode event.Mode, outcome event.Outcome, n int64) (int64, bool) {
	shot, derived := outcome == 0, mode == event.ByException
	switch of {
	case FigureOut, FigureBench:
		switch {
		case derived && (outcome == event.Intact || outcome == event.Partial): // what a shot gave is taken for intact already
			return 0, outcome == event.Partial
		case derived:
			return n * sign(shot), true
		}
		return n, outcome == event.Intact || outcome == event.Partial
	case FigureBuried:
		return n, outcome == event.Buried
	case FigureYield:
		return n, shot == derived
	case FigurePending:
		return n * sign(shot), mode == event.Pulled
	case FigureCounter:
		return n * sign(!shot), mode == event.Each
	}
	return n, shot != (mode == event.Each)
}

// settledEffect is that of a settlement about attempts.
func (s *State) settledEffect(q Question, f *event.Settled) (int64, bool) {
	here := q.At.IsZero() || q.At == f.At || q.At == f.Region
	switch f.What {
	case event.Pending:
		if q.Of == FigureOut || q.Of == FigureBench || q.Of == FigureYield {
			return f.Amount, here && s.attempts.Mode(f.At) == event.ByException
		}
		if q.Of == FigurePending {
			return f.Amount, here && s.attempts.Mode(f.At) == event.Pulled
		}
		return f.Amount, here && (q.Of == FigureAttempted || q.Of == FigureShare || q.Of == FigureResidual)
	case event.LeftIn:
		return f.Amount, q.Of == FigureBuried
	case event.Counter:
		return f.Amount, q.Of == FigureCounter && here
	}
	return 0, false
}

func sign(plus bool) int64 {
	if plus {
		return 1
	}
	return -1
}

// benchEffect is that of what leaves the bench.
func benchEffect(e *event.Event) (n int64, ok bool) {
	switch f := e.Fact.(type) {
	case *event.Sorted:
		return -int64(f.N), true
	case *event.Split:
		return -int64(f.N), f.From == event.Bench
	case *event.Rejected:
		return -int64(f.N), f.From == event.Bench
	case *event.Settled:
		return f.Amount, f.What == event.OnBench
	}
	return 0, false
}
