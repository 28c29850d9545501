package syncengine

import (
	"rootledger/shared/event"
)

// stranger is a phone of another program: it links what it writes, but nothing
// of ours keeps it from settling or moving what it may not. At times it is a lead.
type stranger struct {
	id    event.ReplicaID
	head  *event.Event
	wrote []*event.Event
}

func newStranger() *stranger { return &stranger{id: event.ReplicaID{0x55, 7: 0x55}} }

// writes adds an event to the stranger's history.
func (s *stranger) writes(d *day, fact event.Fact) {
	e := &event.Event{Replica: s.id, Seq: 1, Session: testSession, Phone: event.PhoneID{0x55}, Stamp: event.StampAt(d.ms), Fact: fact}
	if s.head != nil {
		e.Seq, e.Prev, e.Session, e.Phone = s.head.Seq+1, s.head.Hash, event.SessionID{}, event.PhoneID{}
		e.Stamp = max(e.Stamp, s.head.Stamp+1)
	}
	e.Late = fact.Kind().Counts() && d.pick(4) == 0
	s.head = remade(d.t, e)
	s.wrote = append(s.wrote, s.head)
}

// acts has the stranger do one thing that a phone of ours would not, or would.
func (s *stranger) acts(d *day) {
	if s.head == nil || d.pick(6) == 0 {
		s.writes(d, &event.Joined{Person: "Xen", Station: []event.Station{event.Placing, event.Lead}[d.pick(2)]})
		return
	}
	switch d.pick(6) {
	case 0:
		s.writes(d, &event.Sorted{Size: d.size(), N: d.n(), Dish: s.any(d, d.dishes)})
	case 1:
		s.writes(d, &event.Recount{Of: event.Holding, Size: event.Size(d.pick(event.Sizes + 1)), N: d.n()})
	case 2:
		f := &event.Settled{What: []event.Identity{event.OnBench, event.Held, event.LeftIn}[d.pick(3)], Amount: -int64(d.n()), Reason: "so"}
		if pass := s.any(d, d.passes); !pass.IsZero() && d.pick(2) == 0 {
			f.What, f.At = event.Pending, pass
		}
		s.writes(d, f)
	case 3:
		f := &event.Setup{Name: "X", DiameterUM: 900, Motions: []event.Motion{event.Rotation}, ArcsDeg: []uint32{0}, RPM: []uint32{0},
			Power: []uint32{0}, StepsMs: []uint32{9}}
		s.writes(d, f)
		if trial := s.any(d, d.trials); !trial.IsZero() {
			s.writes(d, &event.TrialConcluded{Trial: trial, Note: "so"})
		}
	default:
		f := &event.Refiled{Sets: event.FiledSize | event.FiledRegion | event.FiledDish, Size: d.size(),
			Region: s.any(d, d.regions), Dish: s.any(d, d.dishes)}
		for range 1 + d.pick(2) {
			f.Targets = append(f.Targets, s.target(d))
		}
		s.writes(d, f)
	}
}

// any is one of the references, zero when there is none.
func (s *stranger) any(d *day, refs []event.Ref) event.Ref {
	if len(refs) == 0 {
		return event.Ref{}
	}
	return refs[d.pick(len(refs))]
}

// target is an entry of anyone, of the stranger's own, something that is no
// entry, or something that never comes.
func (s *stranger) target(d *day) event.Ref {
	lists := [][]event.Ref{d.entries, d.entries, d.passes, d.zones, {d.crew[0].Head()}, {s.wrote[d.pick(len(s.wrote))].Ref()}}
	if ref := s.any(d, lists[d.pick(len(lists))]); !ref.IsZero() && d.pick(8) > 0 {
		return ref
	}
	return event.Ref{Replica: s.id, Seq: 1 << 30, Check: [8]byte{1}}
}
