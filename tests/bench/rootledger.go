package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/syncengine"
	"rootledger/tests/bench/load"
)

// ourMeasurements are the same loads on the whole of Rootledger: real engine,
// real sockets, every tap durable before it is told, the wall folding events.
func ourMeasurements(s settings) []measurement {
	return tapsToWall(s, "rootledger", "WAL, FULL", openRoom)
}

// ourRoom is one session on a server.
type ourRoom struct {
	*ourServer
	name    string
	api     *practice.API
	session event.SessionID
	office  *practice.Phone
	pass    event.Ref
	clock   func() syncengine.Now // of phones that join
}

func now() syncengine.Now {
	ms := time.Now().UnixMilli()
	return syncengine.Now{WallMs: ms, SinceMs: uint64(ms)}
}

// patience bounds every wait of a measurement.
const patience = time.Minute

func openRoom(dir string) (load.Room, func() error, error) {
	r, err := newRoom(dir)
	if err != nil {
		return nil, nil, err
	}
	return r, r.end, nil
}

// newRoom is one room on a server of its own.
func newRoom(dir string) (*ourRoom, error) {
	s, err := startServer(dir)
	if err != nil {
		return nil, err
	}
	r, err := s.room("1")
	if err != nil {
		return nil, errors.Join(err, s.end())
	}
	return r, nil
}

func (r *ourRoom) plan() error {
	if err := r.api.CreateSession(r.ctx, r.session, r.name); err != nil {
		return err
	}
	var err error
	if r.office, err = r.phone("office"); err != nil {
		return err
	}
	facts := []event.Fact{
		&event.Opened{Case: "bench", Room: r.name, Stations: []event.Station{event.Extraction, event.Sorting, event.SiteMaking, event.Placing}},
		&event.Joined{Person: "Lead", Station: event.Lead}, &event.Budget{Grafts: 4000},
		&event.Zone{Name: "Front", AreaMM2: 8000, Density10: 400, Mix: [4]uint16{400, 400, 200, 0}},
		&event.Region{Code: "L", Name: "Left", AreaMM2: 30_000, Density10: 800, SharePerMille: 250},
		&event.PassBegun{Mode: event.Each},
	}
	for _, fact := range facts {
		e, err := r.office.Tap(fact, false)
		if err != nil {
			return err
		}
		r.pass = e.Ref() // the last one is the pass
	}
	r.stay(r.office)
	return r.settled(r.office)
}

// phone joins one, not connected yet.
func (r *ourRoom) phone(name string) (*practice.Phone, error) {
	me := syncengine.Identity{Replica: practice.RandomID[event.ReplicaID](), Phone: practice.RandomID[event.PhoneID]()}
	pass, err := r.api.JoinOffice(r.ctx, r.session, me.Phone, me.Replica)
	if err != nil {
		return nil, err
	}
	return practice.NewPhone(name, r.api, pass, me, r.clock), nil
}

func (r *ourRoom) settled(p *practice.Phone) error {
	ctx, cancel := context.WithTimeout(r.ctx, patience)
	defer cancel()
	return p.InRoom(ctx)
}

func (r *ourRoom) holds(p *practice.Phone, events int) error {
	ctx, cancel := context.WithTimeout(r.ctx, patience)
	defer cancel()
	return p.Until(ctx, func(have int, _, _ uint64) bool { return have >= events })
}

// tapping is one phone of a load.
type tapping struct {
	room  *ourRoom
	phone *practice.Phone
	ids   uint64
}

// Phone connects phone i.
func (r *ourRoom) Phone(i int) (load.Phone, error) {
	p, err := r.phone(fmt.Sprintf("phone-%d", i))
	if err != nil {
		return nil, err
	}
	if _, err := p.Tap(&event.Joined{Person: p.Name, Station: event.Extraction}, false); err != nil {
		return nil, err
	}
	r.stay(p)
	if err := r.holds(p, r.office.Events()+1); err != nil {
		return nil, err
	}
	return &tapping{room: r, phone: p}, r.settled(p)
}

// Tap records and sends one attempt.
func (t *tapping) Tap() (uint64, error) {
	e, err := t.phone.Tap(&event.Attempt{Pass: t.room.pass, Outcome: event.Intact, N: 1}, false)
	if err != nil {
		return 0, err
	}
	return idOf(e), nil
}

// Close waits for the last acknowledgement.
func (t *tapping) Close() error { return t.room.settled(t.phone) }

// idOf tells an event from all others: six bytes of its random replica, two of seq.
func idOf(e *event.Event) uint64 {
	var id uint64
	for _, b := range e.Replica[:6] {
		id = id<<8 | uint64(b)
	}
	return id<<16 | e.Seq&0xffff
}

// watching is a wall whose engine folds every event before it counts as seen.
type watching struct {
	seen   chan []uint64
	cancel context.CancelFunc
	done   chan struct{}
}

// Wall connects a wall that holds everything so far.
func (r *ourRoom) Wall() (load.Wall, error) {
	wall := practice.NewWall(r.api, r.session, now)
	ctx, cancel := context.WithCancel(r.ctx)
	w := &watching{seen: make(chan []uint64, load.MaxTaps), cancel: cancel, done: make(chan struct{})}
	wall.OnEvents(func(events []*event.Event) {
		ids := make([]uint64, len(events))
		for i, e := range events {
			ids[i] = idOf(e)
		}
		w.seen <- ids
	})
	go func() {
		defer close(w.done)
		wall.Stay(ctx)
	}()
	return w, r.holds(wall, r.office.Events())
}

// Next is the taps that the wall folded since.
func (w *watching) Next() ([]uint64, error) {
	select {
	case ids := <-w.seen:
		return ids, nil
	case <-w.done:
		return nil, errors.New("bench: the wall has ended")
	}
}

// Close ends the wall.
func (w *watching) Close() error {
	w.cancel()
	<-w.done
	return nil
}
