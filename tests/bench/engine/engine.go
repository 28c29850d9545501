// Package engine measures the engine alone, without clock skew, disk or
// socket: merging a returning phone's counts, one tap at several sizes of a
// session, and a count that comes late. It runs natively and as WebAssembly.
package engine

import (
	"fmt"
	"time"

	"rootledger/pwa/bridge"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// Sizes are the sessions, in events, that a tap is measured on.
var Sizes = []int{1_000, 10_000, 100_000}

const (
	merged    = 10_000 // events of a returning phone
	taps      = 400    // taps of one measurement
	startMs   = 1_800_000_000_000
	perSecond = 4
)

// room is a lead's replica with a plan, and a phone's that shares it.
type room struct {
	lead, phone *syncengine.Replica
	pass        event.Ref
	region      event.Ref
	ms          int64
}

func replica(n byte) *syncengine.Replica {
	return syncengine.New(syncengine.Identity{Session: event.SessionID{1}, Replica: event.ReplicaID{n}, Phone: event.PhoneID{n}, Start: event.StartID{n}})
}

func (r *room) now() syncengine.Now {
	r.ms += 1000 / perSecond
	return syncengine.Now{WallMs: startMs + r.ms, SinceMs: uint64(r.ms)}
}

func (r *room) record(by *syncengine.Replica, fact event.Fact) (*event.Event, error) {
	e, err := by.Record(fact, false, r.now())
	if err != nil {
		return nil, fmt.Errorf("engine: %w", err)
	}
	return e, nil
}

// newRoom plans a day and begins a pass on the phone.
func newRoom() (*room, error) {
	r := &room{lead: replica(1), phone: replica(2)}
	facts := []event.Fact{
		&event.Opened{Case: "bench", Room: "1", Stations: []event.Station{event.Extraction, event.Sorting, event.SiteMaking, event.Placing}},
		&event.Joined{Person: "Lead", Station: event.Lead}, &event.Budget{Grafts: 4000},
		&event.Zone{Name: "Front", AreaMM2: 4000, Density10: 400, Mix: [4]uint16{400, 400, 200, 0}},
		&event.Zone{Name: "Crown", AreaMM2: 8000, Density10: 300, Mix: [4]uint16{100, 500, 300, 100}},
		&event.Region{Code: "L", Name: "Left", AreaMM2: 10_000, Density10: 800, SharePerMille: 250},
	}
	var events []*event.Event
	for _, fact := range facts {
		e, err := r.record(r.lead, fact)
		if err != nil {
			return nil, err
		}
		events = append(events, e)
	}
	r.region = events[5].Ref()
	if _, refused := r.phone.Receive(events, r.now()); len(refused) > 0 {
		return nil, refused[0].Fault
	}
	if _, err := r.record(r.phone, &event.Joined{Person: "Operator", Station: event.Extraction}); err != nil {
		return nil, err
	}
	pass, err := r.record(r.phone, &event.PassBegun{Mode: event.Each})
	if err != nil {
		return nil, err
	}
	r.pass = pass.Ref()
	return r, nil
}

func (r *room) tap() (*event.Event, error) {
	return r.record(r.phone, &event.Attempt{Pass: r.pass, Region: r.region, Outcome: event.Intact, N: 1})
}

func (r *room) fill(n int) error {
	for r.phone.State().Events() < n {
		if _, err := r.tap(); err != nil {
			return err
		}
	}
	return nil
}

// Merge is how long it takes to unpack, hash, link and fold 10,000 counts of a
// returning phone in one batch, and to draw the figures.
func Merge() (time.Duration, error) {
	r, err := newRoom()
	if err != nil {
		return 0, err
	}
	if err := r.fill(merged); err != nil {
		return 0, err
	}
	var frames []syncengine.Events
	peer := r.phone.Know(r.lead.Vector(), nobody)
	for batch := r.phone.Batch(&peer); batch.Len() > 0; batch = r.phone.Batch(&peer) {
		frames = append(frames, batch.Message())
	}
	began := time.Now()
	events := make([]*event.Event, 0, merged)
	for _, frame := range frames {
		some, err := frame.Unpack()
		if err != nil {
			return 0, fmt.Errorf("engine: %w", err)
		}
		events = append(events, some...)
	}
	fresh, refused := r.lead.Receive(events, r.now())
	v := r.lead.View(startMs+r.ms, nil)
	took := time.Since(began)
	if len(refused) > 0 || len(fresh) < merged-20 || v.Ledger.Attempts.Punched < merged-20 {
		return 0, fmt.Errorf("engine: merged %d, %d refused", len(fresh), len(refused))
	}
	return took, nil
}

// Tap is how long one tap takes on a session of n events: Record, View, and the
// changed sections encoded. One sample a tap.
func Tap(n int) ([]time.Duration, error) {
	r, err := newRoom()
	if err != nil {
		return nil, err
	}
	if err := r.fill(n); err != nil {
		return nil, err
	}
	var sections bridge.Sections
	var out []time.Duration
	for range taps {
		began := time.Now()
		if _, err := r.tap(); err != nil {
			return nil, err
		}
		v := r.phone.View(startMs+r.ms, nil)
		changed := sections.Changed(&v)
		out = append(out, time.Since(began))
		if len(changed) == 0 {
			return nil, fmt.Errorf("engine: a tap changed nothing")
		}
	}
	return out, nil
}

// Late is how long a count takes that was made 5,000 events ago in a session of
// 12,000, from its bytes to the figures.
func Late() (time.Duration, error) {
	r, err := newRoom()
	if err != nil {
		return 0, err
	}
	if err := r.fill(7_000); err != nil {
		return 0, err
	}
	away := replica(3)
	share(r.phone, away, r.now())
	e, err := r.record(away, &event.Sorted{Size: 2, N: 1})
	if err != nil {
		return 0, err
	}
	if err := r.fill(12_000); err != nil {
		return 0, err
	}
	began := time.Now()
	late, err := event.Decode(e.Body)
	if err != nil {
		return 0, fmt.Errorf("engine: %w", err)
	}
	fresh, _ := r.phone.Receive([]*event.Event{late}, r.now())
	v := r.phone.View(startMs+r.ms, nil)
	took := time.Since(began)
	if len(fresh) != 1 || v.Ledger.Judged != 1 {
		return 0, fmt.Errorf("engine: the late count is not in the figures")
	}
	return took, nil
}

func nobody(event.ReplicaID) bool { return false }

// share hands everything that one replica holds to another.
func share(from, to *syncengine.Replica, now syncengine.Now) {
	peer := from.Know(to.Vector(), nobody)
	for batch := from.Batch(&peer); batch.Len() > 0; batch = from.Batch(&peer) {
		if events, err := batch.Message().Unpack(); err == nil {
			to.Receive(events, now)
		}
	}
}

// Samples are the durations of one measurement, in microseconds.
type Samples struct {
	ID           string    `json:"id"`
	Microseconds []float64 `json:"microseconds"`
}

// agains is how many more merges one process does: its first is the first work
// that it does at all, and in a browser that is compiled while it runs.
const agains = 7

// All runs every measurement once.
func All() ([]Samples, error) {
	var out []Samples
	one := func(id string, run func() (time.Duration, error)) error {
		took, err := run()
		out = append(out, Samples{id, []float64{float64(took.Nanoseconds()) / 1000}})
		return err
	}
	if err := one("merge", Merge); err != nil {
		return nil, err
	}
	again := Samples{ID: "again"}
	for range agains {
		took, err := Merge()
		if err != nil {
			return nil, err
		}
		again.Microseconds = append(again.Microseconds, float64(took.Nanoseconds())/1000)
	}
	out = append(out, again)
	for _, n := range Sizes {
		times, err := Tap(n)
		if err != nil {
			return nil, err
		}
		s := Samples{ID: fmt.Sprintf("tap.%d", n)}
		for _, took := range times {
			s.Microseconds = append(s.Microseconds, float64(took.Nanoseconds())/1000)
		}
		out = append(out, s)
	}
	return out, one("late", Late)
}
