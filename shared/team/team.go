// Package team answers: who did what, when? It knows which person held which
// phone at which station, pauses and hand-overs, and each phone's own tally.
package team

import (
	"bytes"
	"slices"

	"rootledger/shared/event"
)

// Team is the people and phones of one session. The zero value is empty.
type Team struct {
	replicas map[event.ReplicaID]*replica
	order    []*replica // by id
	pauses   []Pause    // by stamp
	stale    bool
}

type replica struct {
	id       event.ReplicaID
	began    *event.Event // the first in order that has no other before it
	phone    event.PhoneID
	held     []holder // in order
	left     bool
	newest   event.Stamp
	top      *event.Event // the last in order of those added
	handed   event.Stamp  // the newest hand-over, 0 for none
	stretch  []stretch    // one more than holders, in order
	handOver []HandOver
}

// holder is who holds the phone, and where, from one of its events on.
type holder struct {
	from    *event.Event
	person  string
	station event.Station
}

// last is who holds the phone now.
func (r *replica) last() holder {
	if len(r.held) == 0 {
		return holder{}
	}
	return r.held[len(r.held)-1]
}

// station is where the phone was when it wrote an event.
func (r *replica) station(e *event.Event) event.Station {
	var at event.Station
	for _, h := range r.held {
		if !event.Before(e, h.from) {
			at = h.station
		}
	}
	return at
}

// stretch is the tally of one holder: a new one begins whenever somebody joins
// or takes over.
type stretch struct {
	from    *event.Event // the first that belongs to it, nil for the beginning
	person  string
	station event.Station
	handed  bool // it began with a hand-over: own tallies start again at zero
	newest  event.Stamp
	own     Own
}

// Own is what one phone counted, in attempts, grafts and sites.
type Own struct {
	Outcomes        [event.Outcomes]int64 `json:"outcomes"`
	Fired           int64                 `json:"fired"`
	Sorted          event.BySize          `json:"sorted"`
	Split           int64                 `json:"split"`
	RejectedBench   int64                 `json:"rejectedBench"`
	RejectedPlacing int64                 `json:"rejectedPlacing"`
	Sites           event.BySize          `json:"sites"`
	Placed          event.BySize          `json:"placed"` // less those that came back
}

// HandOver is one change of person at a phone.
type HandOver struct {
	Replica event.ReplicaID
	Stamp   event.Stamp
	Station event.Station
	From    string
	To      string
	Checks  []event.Ref // the recounts and readings that were made for it
}

// Pause is one declared pause or its end.
type Pause struct {
	Ref     event.Ref
	Stamp   event.Stamp
	Station event.Station // of the phone that said so
	Room    bool
	Begins  bool
	Reason  string
}

// Meet notes that a replica was there, whatever its event says.
func (t *Team) Meet(e *event.Event) {
	r := t.replica(e.Replica)
	r.newest = max(r.newest, e.Stamp)
	if e.Seq == 1 && (r.began == nil || event.Before(e, r.began)) {
		r.began, r.phone = e, e.Phone
	}
}

// Stale says that events came that change who held a phone before what was
// added already: a second history under one replica id. The team must be built
// again, each replica's events in order.
func (t *Team) Stale() bool { return t.stale }

// Add takes an event in (sign 1) or out again (sign -1).
func (t *Team) Add(e *event.Event, sign int64) {
	r := t.replica(e.Replica)
	inOrder := r.top == nil || !event.Before(e, r.top)
	if inOrder {
		r.top = e
	}
	switch f := e.Fact.(type) {
	case *event.Joined:
		t.stale = t.stale || !inOrder
		r.held, r.left = append(r.held, holder{e, f.Person, f.Station}), false
		r.stretch = append(r.stretch, stretch{from: e, person: f.Person, station: f.Station})
	case *event.Left:
		t.stale = t.stale || !inOrder
		r.left = true
	case *event.HandedOver:
		t.stale = t.stale || !inOrder
		now := r.last()
		r.handOver = append(r.handOver, HandOver{r.id, e.Stamp, now.station, now.person, f.Person, f.Checks})
		r.held = append(r.held, holder{e, f.Person, now.station})
		r.handed = max(r.handed, e.Stamp)
		r.stretch = append(r.stretch, stretch{from: e, person: f.Person, station: now.station, handed: true})
	case *event.Paused:
		t.pause(Pause{e.Ref(), e.Stamp, r.station(e), f.Room, true, f.Reason}, sign)
	case *event.Resumed:
		t.pause(Pause{e.Ref(), e.Stamp, r.station(e), f.Room, false, ""}, sign)
	default:
		s := r.stretchOf(e)
		s.newest = max(s.newest, e.Stamp)
		s.own.add(e.Fact, sign)
	}
}

func (t *Team) replica(id event.ReplicaID) *replica {
	r := t.replicas[id]
	if r == nil {
		if t.replicas == nil {
			t.replicas = make(map[event.ReplicaID]*replica)
		}
		r = &replica{id: id, stretch: []stretch{{}}}
		t.replicas[id] = r
		at := len(t.order)
		for at > 0 && bytes.Compare(t.order[at-1].id[:], id[:]) > 0 {
			at--
		}
		t.order = event.Inserted(t.order, at, r)
	}
	return r
}

func (r *replica) stretchOf(e *event.Event) *stretch {
	for i := len(r.stretch) - 1; i > 0; i-- {
		if !event.Before(e, r.stretch[i].from) {
			return &r.stretch[i]
		}
	}
	return &r.stretch[0]
}

// sinceHandOver is the tally since the last hand-over, whoever joined since.
func (r *replica) sinceHandOver() stretch {
	sum := stretch{}
	for i := len(r.stretch) - 1; i >= 0; i-- {
		s := r.stretch[i]
		sum.newest = max(sum.newest, s.newest)
		sum.own.plus(s.own)
		if s.handed {
			break
		}
	}
	return sum
}

func (o *Own) add(fact event.Fact, sign int64) {
	switch f := fact.(type) {
	case *event.Attempt:
		o.Outcomes[f.Outcome-1] += sign * int64(f.N)
	case *event.Fired:
		o.Fired += sign * int64(f.N)
	case *event.OpeningCount: // of shots or outcomes; the others come as ordinary counts
		if f.Of == event.KindFired {
			o.Fired += sign * int64(f.N)
		} else {
			o.Outcomes[f.Outcome-1] += sign * int64(f.N)
		}
	case *event.Sorted:
		o.Sorted[f.Size-1] += sign * int64(f.N)
	case *event.Split:
		o.Split += sign * int64(f.N)
	case *event.Rejected:
		if f.From == event.Bench {
			o.RejectedBench += sign * int64(f.N)
		} else {
			o.RejectedPlacing += sign * int64(f.N)
		}
	case *event.Sites:
		o.Sites[f.Size-1] += sign * int64(f.N)
	case *event.Placed:
		o.Placed[f.Size-1] += sign * int64(f.N)
	case *event.CameBack:
		o.Placed[f.Size-1] -= sign * int64(f.N)
	case *event.DishDone:
		for i := range event.Sizes {
			o.Placed[i] += sign * int64(f.Placed[i])
			o.RejectedPlacing += sign * int64(f.Rejected[i])
		}
	}
}

func (o *Own) plus(p Own) {
	for i := range o.Outcomes {
		o.Outcomes[i] += p.Outcomes[i]
	}
	for i := range o.Sorted {
		o.Sorted[i] += p.Sorted[i]
		o.Sites[i] += p.Sites[i]
		o.Placed[i] += p.Placed[i]
	}
	o.Fired += p.Fired
	o.Split += p.Split
	o.RejectedBench += p.RejectedBench
	o.RejectedPlacing += p.RejectedPlacing
}

func (t *Team) pause(p Pause, sign int64) {
	at, found := slices.BinarySearchFunc(t.pauses, p, func(a, b Pause) int {
		if a.Stamp != b.Stamp {
			if a.Stamp < b.Stamp {
				return -1
			}
			return 1
		}
		return event.CompareRef(a.Ref, b.Ref)
	})
	switch {
	case sign > 0 && !found:
		t.pauses = event.Inserted(t.pauses, at, p)
	case sign < 0 && found:
		t.pauses = slices.Delete(t.pauses, at, at+1)
	}
}

// Pauses lists declared pauses and their ends in order.
func (t *Team) Pauses() []Pause { return t.pauses }

// HandOvers lists every change of person in order.
func (t *Team) HandOvers() []HandOver {
	var out []HandOver
	for _, r := range t.order {
		out = append(out, r.handOver...)
	}
	event.Sort(out, func(a, b *HandOver) int {
		if a.Stamp != b.Stamp {
			if a.Stamp < b.Stamp {
				return -1
			}
			return 1
		}
		return event.CompareRef(event.Ref{Replica: a.Replica}, event.Ref{Replica: b.Replica})
	})
	return out
}

// Member is one phone's part in the session, under one of its replica ids.
type Member struct {
	Replica event.ReplicaID
	Phone   event.PhoneID
	Person  string
	Station event.Station // 0 until it joined
	Left    bool
	Newest  event.Stamp // its newest event
	Handed  event.Stamp // its newest hand-over, 0 for none
	Own     Own         // since the last hand-over
}

// Members lists every replica by id.
func (t *Team) Members() []Member {
	out := make([]Member, 0, len(t.order))
	for _, r := range t.order {
		now := r.last()
		out = append(out, Member{r.id, r.phone, now.person, now.station, r.left, r.newest, r.handed, r.sinceHandOver().own})
	}
	return out
}

// Station is where a replica counts now, 0 before it joined.
func (t *Team) Station(id event.ReplicaID) event.Station {
	if r := t.replicas[id]; r != nil {
		return r.last().station
	}
	return 0
}

// Stint is what one person counted on one phone at one station without a break.
type Stint struct {
	Person  string
	Station event.Station // 0 before the phone joined
	Own     Own
}

// Stints lists every stint that counted something, by phone and in order. Their
// sums are everything that was tapped.
func (t *Team) Stints() []Stint {
	var out []Stint
	for _, m := range t.Members() {
		for _, s := range t.replicas[m.Replica].stretch {
			if s.own != (Own{}) {
				out = append(out, Stint{s.person, s.station, s.own})
			}
		}
	}
	return out
}

// Person is who held a replica at a stamp, or who first held it after.
func (t *Team) Person(id event.ReplicaID, at event.Stamp) string {
	r := t.replicas[id]
	if r == nil || len(r.held) == 0 {
		return ""
	}
	person := r.held[0].person
	for _, h := range r.held {
		if h.from.Stamp <= at {
			person = h.person
		}
	}
	return person
}

// Own is the tally of a replica's phone in this session, all its replica ids
// together, since that phone's last hand-over.
func (t *Team) Own(id event.ReplicaID) Own {
	me := t.replicas[id]
	if me == nil {
		return Own{}
	}
	handed := event.Stamp(0)
	for _, r := range t.order {
		if r.phone == me.phone {
			handed = max(handed, r.handed)
		}
	}
	var sum Own
	for _, r := range t.order {
		last := r.sinceHandOver()
		if r.phone == me.phone && (r.handed == handed || last.newest > handed) {
			sum.plus(last.own)
		}
	}
	return sum
}
