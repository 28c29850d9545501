package session

import (
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/team"
)

// history is everything that was written under one replica id. A phone that was
// copied or restored from a backup may leave two events in one place: both
// stand, and both count.
type history struct {
	chain    []*entry             // by seq from 1: the first history that came
	beside   map[event.Ref]*entry // every event of the others
	disorder bool                 // stamps of the chain go down somewhere: no phone of ours wrote it
}

func (h *history) find(ref event.Ref) *entry {
	if ref.Seq > 0 && ref.Seq <= uint64(len(h.chain)) {
		if en := h.chain[ref.Seq-1]; en.event.Ref() == ref {
			return en
		}
	}
	return h.beside[ref]
}

// follows returns the entry that an event links to, nil for a first one; ok is
// false when it is not here, or the event is here already.
func (h *history) follows(e *event.Event) (parent *entry, ok bool) {
	if h.find(e.Ref()) != nil {
		return nil, false
	}
	if e.Seq == 1 {
		return nil, true
	}
	parent = h.find(event.Ref{Replica: e.Replica, Seq: e.Seq - 1, Check: [8]byte(e.Prev[:8])})
	return parent, parent != nil
}

func (h *history) add(en, parent *entry) {
	if parent != nil {
		en.station = parent.station
	}
	if f, ok := en.event.Fact.(*event.Joined); ok && en.event.Valid() == nil {
		en.station = f.Station
	}
	if n := len(h.chain); en.event.Seq == uint64(n)+1 && (n == 0 || h.chain[n-1] == parent) {
		h.disorder = h.disorder || n > 0 && event.Before(en.event, parent.event)
		h.chain = append(h.chain, en)
		return
	}
	if h.beside == nil {
		h.beside = make(map[event.Ref]*entry)
	}
	h.beside[en.event.Ref()] = en
}

// entries lists every entry in the order of event.Compare.
func (h *history) entries() []*entry {
	if len(h.beside) == 0 && !h.disorder {
		return h.chain
	}
	out := slices.Clone(h.chain)
	for _, en := range h.beside {
		out = append(out, en)
	}
	slices.SortFunc(out, func(a, b *entry) int { return event.Compare(a.event, b.event) })
	return out
}

// team is the team, built again if it needs to be.
func (s *State) team() *team.Team {
	if !s.teams.Stale() {
		return &s.teams
	}
	s.teams = team.Team{}
	for _, h := range s.histories {
		for _, en := range h.entries() {
			s.teams.Meet(en.event)
			if en.status == waiting {
				continue
			}
			s.teams.Add(en.counts(), 1)
			if en.status == undone {
				s.teams.Add(en.counts(), -1)
			}
		}
	}
	return &s.teams
}

// Split is one replica id under which two or more histories were written: a
// phone that was copied, or restored from a backup. All of them count.
type Split struct {
	Replica  event.ReplicaID
	Person   string // who held it last
	Seq      uint64 // the first place that was taken twice
	Branches []Branch
}

// Branch is one of the histories from there on. Its first event names it.
type Branch struct {
	First  event.Ref
	Events int64
}

// Splits lists the split histories, by replica.
func (s *State) Splits() []Split {
	var out []Split
	for id, h := range s.histories {
		if len(h.beside) > 0 {
			split := h.split()
			split.Replica, split.Person = id, s.team().Person(id, s.newest)
			out = append(out, split)
		}
	}
	event.Sort(out, func(a, b *Split) int {
		return event.CompareRef(event.Ref{Replica: a.Replica}, event.Ref{Replica: b.Replica})
	})
	return out
}

// split finds the first place that was taken twice and counts what was written
// from there on. A branch that splits again is one branch.
func (h *history) split() Split {
	entries := h.entries()
	out := Split{Seq: entries[len(entries)-1].event.Seq}
	for ref := range h.beside {
		out.Seq = min(out.Seq, ref.Seq)
	}
	bySeq := slices.Clone(entries)
	slices.SortFunc(bySeq, func(a, b *entry) int { return event.CompareRef(a.event.Ref(), b.event.Ref()) })
	branch := make(map[event.Ref]int) // the branch that an event is on
	for _, en := range bySeq {
		e := en.event
		at := -1
		switch {
		case e.Seq < out.Seq:
			continue
		case e.Seq == out.Seq:
			at = len(out.Branches)
			out.Branches = append(out.Branches, Branch{First: e.Ref()})
		default:
			at = branch[event.Ref{Replica: e.Replica, Seq: e.Seq - 1, Check: [8]byte(e.Prev[:8])}]
		}
		branch[e.Ref()] = at
		out.Branches[at].Events++
	}
	return out
}

// splits is how many histories are split.
func (s *State) splits() (n int64) {
	for _, h := range s.histories {
		if len(h.beside) > 0 {
			n++
		}
	}
	return n
}

// Until is the session as it was at a time, ms since 1970 by the session's
// clock: what had been written by then, by all that is known now about when.
func (s *State) Until(ms int64) *State {
	then := new(State)
	for _, h := range s.histories {
		for _, en := range h.entries() {
			e := en.event
			later := s.atMs(e) > ms
			if later && !e.Fact.Kind().ByServer() { // clock notes say when things were, whenever they came
				continue
			}
			if err := then.Apply(e); err != nil {
				continue // what it follows was later, so it is too
			}
			if f, ok := e.Fact.(*event.Granted); ok && later {
				then.shares.Forget(f)
			}
		}
	}
	return then
}
