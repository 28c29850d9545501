package syncengine

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// slowShare is a phone's share worked out the long way: every entry of an attempt
// that it wrote, undone or not, and of a reading what no shot between it and the
// reading before told already.
func (s *slowLedger) slowShare(id event.ReplicaID) (granted, spent int64) {
	wrote := slices.Clone(s.all)
	slices.SortFunc(wrote, event.Compare)
	for at, e := range wrote {
		switch f := e.Fact.(type) {
		case *event.Granted:
			if f.To == id {
				granted += int64(f.N)
			}
		case *event.Reclaimed:
			if f.From == id && s.leads(e) {
				granted -= int64(f.N)
			}
		}
		if e.Replica != id {
			continue
		}
		switch f := e.Fact.(type) {
		case *event.Attempt:
			if s.modeOf(f.Pass) == event.Each {
				spent += int64(f.N)
			}
		case *event.Fired:
			if s.modeOf(f.Pass) != event.Each {
				spent += int64(f.N)
			}
		case *event.Reading:
			if s.modeOf(f.Pass) != event.Each {
				spent += slowStep(wrote[:at], e, f)
			}
		}
	}
	return granted, spent
}

// slowStep is what a reading adds, from all that came before it.
func slowStep(before []*event.Event, e *event.Event, f *event.Reading) int64 {
	var shots int64
	stepped := false // past a reading of any counter
	for _, b := range slices.Backward(before) {
		if b.Replica != e.Replica {
			continue
		}
		switch g := b.Fact.(type) {
		case *event.Fired:
			if g.Pass == f.Pass && !stepped {
				shots += int64(g.N)
			}
		case *event.Reading:
			if g.Pass != f.Pass {
				continue
			}
			stepped = true
			if g.Counter == f.Counter {
				step := int64(f.Value) - int64(g.Value)
				if f.Direction == event.Down {
					step = -step
				}
				return max(0, step-shots)
			}
		}
	}
	return 0
}

// In whatever order a day arrives, the shares are those of all that was written.
func TestSharesAgainstEntries(t *testing.T) {
	spent := 0
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 80)
		events := d.events()
		wall := readOnTheWay(t, d, events)
		slow := newSlowLedger(events)
		for _, m := range d.crew {
			id := m.Me().Replica
			got := wall.State().Share(id)
			granted, took := slow.slowShare(id)
			if got.Granted != granted || got.Spent != took {
				rt.Fatalf("%v: got %+v, want %d granted, %d spent", id, got, granted, took)
			}
			if took > 0 && granted > 0 {
				spent++
			}
		}
	})
	if spent == 0 {
		t.Error("no phone took anything of its share")
	}
}

// sharing is a server that knows a plan and some phones at the punch.
type sharing struct {
	t      *testing.T
	server *Replica
	phones []*Replica
	pass   []event.Ref
	ms     int64
	links  session.Links
}

func newSharing(t *testing.T, budget uint32, phones int) *sharing {
	t.Helper()
	s := &sharing{t: t, ms: dayStart, links: session.Links{}}
	lead := New(numbered(1))
	s.server = New(numbered(9))
	s.write(lead, &event.Joined{Person: "Yew", Station: event.Lead})
	s.write(lead, &event.Opened{Case: "S-1", Room: "1", Stations: []event.Station{event.Extraction, event.Sorting}})
	s.write(lead, &event.Budget{Grafts: budget})
	s.write(lead, &event.Yield{PerMille: 1000})
	for i := range phones {
		p := New(numbered(byte(2 + i)))
		s.phones = append(s.phones, p)
		s.write(p, &event.Joined{Person: "Elm", Station: event.Extraction})
		s.pass = append(s.pass, s.write(p, &event.PassBegun{Mode: event.Each}).Ref())
		s.links[p.Me().Replica] = session.Link{HeardMs: s.ms}
	}
	return s
}

func (s *sharing) write(by *Replica, f event.Fact) *event.Event {
	s.t.Helper()
	e, err := by.Record(f, false, Now{WallMs: s.ms})
	if err != nil {
		s.t.Fatal(err)
	}
	if by != s.server {
		take(s.t, s.server, s.ms, e)
	}
	return e
}

func (s *sharing) attempts(of int, n uint32) {
	s.t.Helper()
	for range n {
		s.write(s.phones[of], &event.Attempt{Pass: s.pass[of], Outcome: event.Intact, N: 1})
	}
}

// grant has the server hand out what its policy says, and says how much each got.
func (s *sharing) grant() []int64 {
	s.t.Helper()
	got := make([]int64, len(s.phones))
	for id := range s.links {
		s.links[id] = session.Link{HeardMs: s.ms}
	}
	for _, g := range s.server.Grants(Now{WallMs: s.ms}, s.links) {
		s.write(s.server, g)
		for i, p := range s.phones {
			if p.Me().Replica == g.To {
				got[i] += int64(g.N)
			}
		}
	}
	return got
}

// Half of what is free goes out in equal parts, then by who takes how much; a
// phone is topped up once half of that is gone; and it never hands out more than
// may be taken.
func TestGrants(t *testing.T) {
	s := newSharing(t, 1000, 2)
	if got := s.grant(); !slices.Equal(got, []int64{250, 250}) {
		t.Errorf("at the start: got %v, want 250 each", got)
	}
	if got := s.grant(); !slices.Equal(got, []int64{0, 0}) {
		t.Errorf("at once again: got %v, want nothing", got)
	}
	s.attempts(0, 170) // 80 left; free stays at 500: its part is 200 of 230, of half of that 217
	if got := s.grant(); !slices.Equal(got, []int64{217 - 80, 0}) {
		t.Errorf("after 170: got %v, want 137 for the first", got)
	}
	idle := int64(217)
	for stop := int64(829); stop > 0; stop-- {
		s.attempts(1, 1)
		s.ms += 1000
		s.grant()
		h := s.server.View(s.ms, s.links).Headline
		if h.StopAt != stop || h.AtRisk != 0 || h.SharedOut > max(h.StopAt, idle) {
			t.Fatalf("%d are out of %d, %d at risk while all are heard", h.SharedOut, h.StopAt, h.AtRisk)
		}
		if past := -s.server.State().Share(s.phones[1].Me().Replica).Left(); stop > idle && past > 0 || stop <= idle && past > idle {
			t.Fatalf("with %d left the second phone is %d past its share", stop, past)
		}
	}
}

// The range while a phone is away: what it may have taken, and no more.
func TestRangeWhileAway(t *testing.T) {
	s := newSharing(t, 1000, 2)
	s.grant()
	s.attempts(0, 50)
	s.ms += 60_000
	s.links[s.phones[1].Me().Replica] = session.Link{HeardMs: s.ms}
	h := s.server.View(s.ms, s.links).Headline
	if h.Away != 1 || h.Held != 200 || h.StopAt != 950 || h.StopFrom != 750 || h.SharedOut != 450 {
		t.Errorf("got %+v, want one away that holds 200 of 950", h)
	}
	s.attempts(0, 200)
	if h := s.server.View(s.ms, s.links).Headline; h.Held != 0 || h.StopFrom != 750 || h.StopAt != 750 {
		t.Errorf("got %+v, want the whole share heard", h)
	}
	budget := &event.Budget{Grafts: 300}
	lead := s.server
	s.write(lead, budget)
	if h := s.server.View(s.ms, s.links).Headline; h.StopAt != 50 || h.SharedOut != 250 || h.AtRisk != 0 {
		t.Errorf("got %+v, want nothing at risk: who holds it is heard", h)
	}
	s.ms += 60_000
	if h := s.server.View(s.ms, s.links).Headline; h.AtRisk != 200 || h.StopFrom != 0 {
		t.Errorf("got %+v, want 200 at risk while all are away", h)
	}
	if free, _ := s.server.State().Shared(s.ms, s.links); free != -200 || len(s.server.Grants(Now{WallMs: s.ms}, s.links)) != 0 {
		t.Errorf("free is %d, want -200 and no grant", free)
	}
}

// A budget that is set late: what was taken before is no share, and one look is
// enough. Whoever goes on to another table holds nothing any more.
func TestSharesOfALateBudget(t *testing.T) {
	s := newSharing(t, 1, 2)
	s.attempts(0, 300)
	s.attempts(1, 100)
	s.write(s.server, &event.Budget{Grafts: 500})
	if got := s.grant(); !slices.Equal(got, []int64{300 + 50*330/460, 100 + 50*130/460}) {
		t.Errorf("got %v, want what was taken and a part of half of 100", got)
	}
	if got := s.grant(); !slices.Equal(got, []int64{0, 0}) {
		t.Errorf("at once again: got %v, want nothing", got)
	}
	before := s.server.View(s.ms, s.links).Headline
	s.write(s.phones[0], &event.Joined{Person: "Elm", Station: event.Sorting})
	s.ms += 60_000 // all are away
	if h := s.server.View(s.ms, s.links).Headline; before.SharedOut != 35+14 || h.SharedOut != 14 || h.Held != 14 || h.Away != 2 {
		t.Errorf("before %+v, then %+v: want 14 of 49", before, h)
	}
}

// The session at an earlier time knows no later share, and still dates by every
// clock note.
func TestUntilForgetsLaterShares(t *testing.T) {
	s := newSharing(t, 1000, 1)
	p := s.phones[0].Me()
	at := s.ms
	s.attempts(0, 1)
	s.ms += 600_000
	s.grant()
	s.write(s.server, &event.ClockNote{Replica: p.Replica, Start: p.Start, RoomMs: uint64(dayStart - 3_600_000), AheadMs: 3_600_000})
	then := s.server.State().Until(at - 1_800_000)
	if share := then.Share(p.Replica); share.Granted != 0 || share.Known {
		t.Errorf("by then it has %+v, want no share", share)
	}
	if off := then.View(p.Replica, at, nil).Own.ClockAheadMs; off != 3_600_000 {
		t.Errorf("the clock is %d ms ahead then, want an hour", off)
	}
}
