package session

import (
	"testing"

	"rootledger/shared/event"
)

// The phones of a stage, by number.
const (
	lead = iota + 1
	puncher
	sorter
	siter
	placer
	second // another lead
)

var stations = map[byte]event.Station{lead: event.Lead, puncher: event.Extraction, sorter: event.Sorting,
	siter: event.SiteMaking, placer: event.Placing, second: event.Lead}

const startMs = 1_800_000_000_000

// stage is a session that every phone has joined, with a zone and a pass.
type stage struct {
	t     *testing.T
	state State
	seqs  map[byte]uint64
	heads map[byte]event.Hash
	ms    int64 // of the next event

	zone, pass event.Ref
}

// newStage opens a session; all four stations count unless some are given.
func newStage(t *testing.T, mode event.Mode, counting ...event.Station) *stage {
	t.Helper()
	if counting == nil {
		counting = []event.Station{event.Extraction, event.Sorting, event.SiteMaking, event.Placing}
	}
	s := &stage{t: t, seqs: map[byte]uint64{}, heads: map[byte]event.Hash{}, ms: startMs}
	s.says(lead, &event.Opened{Case: "C-1", Room: "1", Stations: counting})
	for who := byte(lead); who <= placer; who++ {
		s.says(who, &event.Joined{Person: "P" + string('0'+rune(who)), Station: stations[who]})
	}
	s.zone = s.says(lead, &event.Zone{Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}})
	s.pass = s.says(puncher, &event.PassBegun{Mode: mode})
	return s
}

// says adds the next event of a phone, a second after the one before it.
func (s *stage) says(who byte, fact event.Fact) event.Ref {
	s.t.Helper()
	e := s.event(who, fact)
	if err := s.state.Apply(e); err != nil {
		s.t.Fatalf("%v: %v", fact.Kind(), err)
	}
	return e.Ref()
}

func (s *stage) event(who byte, fact event.Fact) *event.Event {
	s.t.Helper()
	s.seqs[who]++
	s.ms += 1000
	e := &event.Event{Replica: replicaOf(who), Seq: s.seqs[who], Prev: s.heads[who], Stamp: event.StampAt(s.ms), Fact: fact}
	if e.Seq == 1 {
		e.Session, e.Phone = event.SessionID{1}, event.PhoneID{who}
	}
	if err := e.Seal(); err != nil {
		s.t.Fatalf("%v: %v", fact.Kind(), err)
	}
	s.heads[who] = e.Hash
	return e
}

func replicaOf(who byte) event.ReplicaID { return event.ReplicaID{who} }

func (s *stage) taps(outcome event.Outcome, n uint32) {
	s.says(puncher, &event.Attempt{Pass: s.pass, Outcome: outcome, N: n})
}

func (s *stage) fires(n uint32) { s.says(puncher, &event.Fired{Pass: s.pass, N: n}) }

func (s *stage) reads(value uint32) {
	s.says(puncher, &event.Reading{Pass: s.pass, Counter: "a", Direction: event.Up, Value: value})
}

func (s *stage) sorts(size event.Size, n uint32) { s.says(sorter, &event.Sorted{Size: size, N: n}) }

func (s *stage) makes(size event.Size, n uint32) {
	s.says(siter, &event.Sites{Zone: s.zone, Size: size, N: n})
}

func (s *stage) places(size event.Size, n uint32) {
	s.says(placer, &event.Placed{Zone: s.zone, Size: size, N: n})
}

// found is a difference without its times, as a test writes it.
type found struct {
	what   event.Identity
	size   event.Size
	amount int64
}

// checkFound holds the differences of a stage to a list in any order, all open.
func (s *stage) checkFound(when string, want ...found) {
	s.t.Helper()
	got := map[found]int{}
	for _, d := range s.state.View(replicaOf(lead), s.ms, nil).Differences {
		got[found{d.What, d.Size, d.Amount}]++
		if !d.Open || d.WaitingFor != 0 {
			s.t.Errorf("%s: %s waits for %d, want open", when, d.What, d.WaitingFor)
		}
	}
	for _, one := range want {
		if got[one]--; got[one] < 0 {
			s.t.Errorf("%s: no difference %+v", when, one)
		}
	}
	for one, n := range got {
		if n > 0 {
			s.t.Errorf("%s: got difference %+v, want none such", when, one)
		}
	}
}
