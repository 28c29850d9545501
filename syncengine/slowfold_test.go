package syncengine

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// slowLedger is the stocks of a list of events worked out the long way: it
// looks at the whole list for every question and remembers nothing in between.
type slowLedger struct {
	all    []*event.Event
	stands map[event.Ref]bool // entries that no void stands against
}

func newSlowLedger(all []*event.Event) *slowLedger {
	s := &slowLedger{all, make(map[event.Ref]bool)}
	for _, e := range all {
		s.stands[e.Ref()] = !e.Fact.Kind().Voidable() || !s.isVoid(e.Ref())
	}
	return s
}

// isVoid looks for a void of target that no restore of target names.
func (s *slowLedger) isVoid(target event.Ref) bool {
	for _, e := range s.all {
		if f, ok := e.Fact.(*event.Void); ok && f.Target == target && !s.isCancelled(target, e.Ref()) {
			return true
		}
	}
	return false
}

func (s *slowLedger) isCancelled(target, void event.Ref) bool {
	for _, e := range s.all {
		if f, ok := e.Fact.(*event.Restore); ok && f.Target == target {
			for _, one := range f.Voids {
				if one == void {
					return true
				}
			}
		}
	}
	return false
}

// sum adds what count says of every entry that stands.
func (s *slowLedger) sum(count func(event.Fact) int64) int64 {
	var n int64
	for _, e := range s.all {
		if s.stands[e.Ref()] {
			n += count(e.Fact)
		}
	}
	return n
}

// taps is the attempts tapped with one outcome in one pass.
func (s *slowLedger) taps(pass event.Ref, outcome event.Outcome) int64 {
	return s.sum(func(fact event.Fact) int64 {
		if f, ok := fact.(*event.Attempt); ok && f.Pass == pass && f.Outcome == outcome {
			return int64(f.N)
		}
		return 0
	})
}

func (s *slowLedger) retrieved(from event.Outcome) int64 {
	return s.sum(func(fact event.Fact) int64 {
		if f, ok := fact.(*event.Retrieved); ok && f.From == from {
			return int64(f.N)
		}
		return 0
	})
}

// counted is what the counters of one pass say: of each replica the shots that
// lie between no counter's first and last reading, and of each counter the
// steps between neighbouring readings. against is the steps the wrong way.
func (s *slowLedger) counted(pass event.Ref) (punched, against int64) {
	for _, e := range s.all {
		if !s.stands[e.Ref()] {
			continue
		}
		switch f := e.Fact.(type) {
		case *event.Fired:
			if f.Pass == pass && !s.covered(e, pass) {
				punched += int64(f.N)
			}
		case *event.Reading:
			before := s.readingBefore(e, f)
			if f.Pass != pass || before == nil {
				continue
			}
			step := int64(f.Value) - int64(before.Value)
			if f.Direction == event.Down {
				step = -step
			}
			punched += step
			against += max(0, -step)
		}
	}
	return punched, against
}

// readings calls each for the standing readings of a replica in a pass.
func (s *slowLedger) readings(by event.ReplicaID, pass event.Ref, each func(uint64, *event.Reading)) {
	for _, e := range s.all {
		if f, ok := e.Fact.(*event.Reading); ok && e.Replica == by && f.Pass == pass && s.stands[e.Ref()] {
			each(e.Seq, f)
		}
	}
}

// covered says whether some counter was read before the shot and after it.
func (s *slowLedger) covered(shot *event.Event, pass event.Ref) bool {
	earlier, covered := map[string]bool{}, false
	s.readings(shot.Replica, pass, func(seq uint64, f *event.Reading) {
		earlier[f.Counter] = earlier[f.Counter] || seq < shot.Seq
	})
	s.readings(shot.Replica, pass, func(seq uint64, f *event.Reading) {
		covered = covered || seq > shot.Seq && earlier[f.Counter]
	})
	return covered
}

// readingBefore is the newest reading of the same counter before this one.
func (s *slowLedger) readingBefore(at *event.Event, of *event.Reading) *event.Reading {
	var before *event.Reading
	newest := uint64(0)
	s.readings(at.Replica, of.Pass, func(seq uint64, f *event.Reading) {
		if f.Counter == of.Counter && seq < at.Seq && seq > newest {
			before, newest = f, seq
		}
	})
	return before
}

// extraction fills in what the passes say, each in its own way of counting.
func (s *slowLedger) extraction(l *session.Ledger) {
	for _, e := range s.all {
		begun, ok := e.Fact.(*event.PassBegun)
		if !ok {
			continue
		}
		pass, a, tapped := e.Ref(), &l.Attempts, int64(0)
		for outcome := event.Intact; outcome <= event.Empty; outcome++ {
			n := s.taps(pass, outcome)
			if outcome == event.Intact && begun.Mode == event.ByException {
				continue
			}
			a.Outcomes[outcome-1] += n
			tapped += n
		}
		punched, against := s.counted(pass)
		switch begun.Mode {
		case event.Each:
			punched, against = tapped, 0
		case event.Pulled:
			a.Pending += punched - tapped
		case event.ByException:
			a.Outcomes[event.Intact-1] += punched - tapped
		}
		a.Punched += punched
		a.Against += against
	}
	l.Attempts.RetrievedTopped, l.Attempts.RetrievedBuried = s.retrieved(event.Topped), s.retrieved(event.Buried)
	l.Out = l.Attempts.Outcomes[0] + l.Attempts.Outcomes[1] + s.retrieved(event.Topped) + s.retrieved(event.Buried)
	l.OutcomesTotal = l.Attempts.OutcomeTotal()
	l.BuriedOpen = l.Attempts.Outcomes[4] - s.retrieved(event.Buried)
}

// grafts fills in the bench, holding, what was placed and the open sites.
func (s *slowLedger) grafts(l *session.Ledger) {
	for _, e := range s.all {
		if !s.stands[e.Ref()] {
			continue
		}
		switch f := e.Fact.(type) {
		case *event.Sorted:
			l.Kept += int64(f.N)
			l.Sorted[f.Size-1] += int64(f.N)
			l.Holding[f.Size-1] += int64(f.N)
		case *event.Split:
			s.split(l, f)
		case *event.Rejected:
			switch {
			case f.From == event.Bench:
				l.RejectedBench += int64(f.N)
			case f.Size == 0:
				l.RejectedPlacing += int64(f.N)
				l.HoldingUnsized -= int64(f.N)
			default:
				l.RejectedPlacing += int64(f.N)
				l.Holding[f.Size-1] -= int64(f.N)
			}
		case *event.Sites:
			l.OpenSites += int64(f.N)
		case *event.SitesClosed:
			l.OpenSites -= int64(f.N)
		case *event.Placed:
			l.OpenSites -= int64(f.N)
			l.Placed[f.Size-1] += int64(f.N)
			l.Holding[f.Size-1] -= int64(f.N)
		case *event.CameBack:
			l.OpenSites += int64(f.N)
			l.Placed[f.Size-1] -= int64(f.N)
			l.Holding[f.Size-1] += int64(f.N)
		}
	}
	l.Judged = l.Kept + l.RejectedBench
	l.Bench = l.Out - l.Judged
	l.HoldingTotal = l.Holding.Total() + l.HoldingUnsized
	l.PlacedTotal = l.Placed.Total()
}

func (s *slowLedger) split(l *session.Ledger, f *event.Split) {
	if f.From == event.Bench {
		l.Kept += int64(f.N)
	} else {
		l.Holding[f.Size-1] -= int64(f.N)
	}
	for _, piece := range f.Pieces {
		l.Holding[piece-1] += int64(f.N)
	}
	l.Gained += int64(f.N) * int64(len(f.Pieces)-1)
}

// stocksOf is the part of a ledger that sums of events make.
func stocksOf(l session.Ledger) session.Ledger {
	return session.Ledger{Attempts: l.Attempts, Out: l.Out, BuriedOpen: l.BuriedOpen, Judged: l.Judged, Kept: l.Kept,
		Bench: l.Bench, Sorted: l.Sorted, Holding: l.Holding, HoldingUnsized: l.HoldingUnsized, HoldingTotal: l.HoldingTotal,
		Placed: l.Placed, PlacedTotal: l.PlacedTotal, RejectedBench: l.RejectedBench, RejectedPlacing: l.RejectedPlacing,
		Gained: l.Gained, OpenSites: l.OpenSites, OutcomesTotal: l.OutcomesTotal}
}

func TestLedgerIsTheSumOfWhatStands(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 60)
		events := d.events()
		var want session.Ledger
		slow := newSlowLedger(events)
		slow.extraction(&want)
		slow.grafts(&want)
		view := d.inOrder(wallIdentity(), shuffled(d.pick, events)).View(d.ms, nil)
		if !slices.Contains(view.Session.Stations, event.SiteMaking) {
			want.OpenSites = 0 // known only where sites are counted
		}
		if got := stocksOf(view.Ledger); got != want {
			rt.Fatalf("got  %+v\nwant %+v", got, want)
		}
		if view.Session.Waiting != 0 || view.Session.Events != int64(len(events)) {
			rt.Fatalf("got %d events, %d waiting, want %d and 0", view.Session.Events, view.Session.Waiting, len(events))
		}
	})
}
