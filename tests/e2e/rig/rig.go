// Package rig is a real server, a session on it, and browsers that join it, for
// tests and pictures.
package rig

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"rootledger/server/command"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/syncengine"
	"rootledger/tests/e2e/browser"
)

// Rig is one session in one room of a server.
type Rig struct {
	Ctx     context.Context
	Serving *command.Serving // nil when the server is a process of its own
	API     *practice.API
	Room    string
	Session event.SessionID
	Office  *practice.Phone // a Go phone that opened and planned the session
	Names   map[string]event.Ref

	cancel  context.CancelFunc
	staying *sync.WaitGroup
	ago     *atomic.Int64 // ms
}

// Now is the real clock, as a Go phone reads it.
func Now() syncengine.Now { return before(0) }

func before(ms int64) syncengine.Now {
	ms = time.Now().UnixMilli() - ms
	return syncengine.Now{WallMs: ms, SinceMs: uint64(ms)}
}

// Ago has the Go phones of this room say that what they tap next was some time
// ago, until the next call: a day of hours in a moment. It must not grow.
func (r *Rig) Ago(d time.Duration) { r.ago.Store(d.Milliseconds()) }

// Start starts a server with its data in dir, for a session in room 1.
func Start(dir string) (*Rig, error) {
	ctx, cancel := context.WithCancel(context.Background())
	serving, err := command.Serve(ctx, dir, "127.0.0.1:0", slog.New(slog.NewTextHandler(io.Discard, nil)))
	if err != nil {
		cancel()
		return nil, err
	}
	r := Over("http://"+serving.Addr, serving.Office)
	r.Ctx, r.cancel, r.Serving = ctx, cancel, serving
	return r, nil
}

// Over is a session in room 1 of a server that runs already.
func Over(base, office string) *Rig {
	ctx, cancel := context.WithCancel(context.Background())
	return &Rig{Ctx: ctx, API: practice.NewAPI(base, office), Room: "1", Session: practice.RandomID[event.SessionID](),
		Names: make(map[string]event.Ref), cancel: cancel, staying: new(sync.WaitGroup), ago: new(atomic.Int64)}
}

// Beside is another session of the same server, in another room. It ends with
// the rig that it came from.
func (r *Rig) Beside(room string) *Rig {
	other := *r
	other.Room, other.Session = room, practice.RandomID[event.SessionID]()
	other.Office, other.Names, other.ago = nil, make(map[string]event.Ref), new(atomic.Int64)
	return &other
}

// URL is the server's own address.
func (r *Rig) URL() string { return r.API.Base }

// Close ends everything.
func (r *Rig) Close() error {
	r.cancel()
	r.staying.Wait()
	if r.Serving == nil {
		return nil
	}
	return r.Serving.Close()
}

// Stay keeps a Go phone connected until the rig is closed.
func (r *Rig) Stay(p *practice.Phone) {
	r.staying.Add(1)
	go func() {
		defer r.staying.Done()
		p.Stay(r.Ctx)
	}()
}

// Join lets a Go phone in with the office token, connected.
func (r *Rig) Join(person string, station event.Station) (*practice.Phone, error) {
	me := syncengine.Identity{Replica: practice.RandomID[event.ReplicaID](), Phone: practice.RandomID[event.PhoneID]()}
	pass, err := r.API.JoinOffice(r.Ctx, r.Session, me.Phone, me.Replica)
	if err != nil {
		return nil, err
	}
	ago := r.ago.Swap(0) // a server that asks now must not find the clock off
	p := practice.NewPhone(person, r.API, pass, me, func() syncengine.Now { return before(r.ago.Load()) })
	r.Stay(p)
	known := 0
	if r.Office != nil {
		known = r.Office.Events()
	}
	if err := r.Within(func(ctx context.Context) error {
		return p.Until(ctx, func(events int, _, _ uint64) bool { return events >= known })
	}); err != nil {
		return nil, err
	}
	r.ago.Store(ago)
	_, err = p.Tap(&event.Joined{Person: person, Station: station}, false)
	return p, err
}

// Within bounds a wait.
func (r *Rig) Within(wait func(context.Context) error) error {
	ctx, cancel := context.WithTimeout(r.Ctx, 20*time.Second)
	defer cancel()
	return wait(ctx)
}

// Open opens and plans the session: three zones, four regions, a budget.
func (r *Rig) Open(code string, grafts uint32) error {
	return r.OpenWith(r.Opening(code), append([]event.Fact{&event.Budget{Grafts: grafts}}, Plan(grafts)...)...)
}

// Opening is the fact that opens the session, with every station counting.
func (r *Rig) Opening(code string) *event.Opened {
	return &event.Opened{Case: code, Room: r.Room, Stations: []event.Station{event.Extraction, event.Sorting, event.SiteMaking, event.Placing}}
}

// OpenWith opens the session with a plan of the caller's.
func (r *Rig) OpenWith(opening *event.Opened, plan ...event.Fact) error {
	if err := r.API.CreateSession(r.Ctx, r.Session, r.Room); err != nil {
		return err
	}
	office, err := r.Join("Oak", event.Office)
	if err != nil {
		return err
	}
	r.Office = office
	for _, fact := range append([]event.Fact{opening}, plan...) {
		if err := r.Do(office, fact); err != nil {
			return err
		}
	}
	return r.Within(office.InRoom)
}

// Plan is three zones that need some grafts in all, and four regions.
func Plan(grafts uint32) []event.Fact {
	return []event.Fact{
		&event.Zone{Name: "Front", AreaMM2: max(1, grafts*2*3/10), Density10: 500, Mix: [4]uint16{600, 350, 50, 0}},
		&event.Zone{Name: "Middle", AreaMM2: max(1, grafts*2*35/100), Density10: 500, Mix: [4]uint16{50, 500, 400, 50}},
		&event.Zone{Name: "Crown", AreaMM2: max(1, grafts*2*35/100), Density10: 500, Mix: [4]uint16{100, 550, 300, 50}},
		&event.Region{Code: "SL", Name: "Side left", AreaMM2: 3600, Density10: 800, SharePerMille: 200, HairsPerUnit100: 210},
		&event.Region{Code: "BL", Name: "Back left", AreaMM2: 5000, Density10: 800, SharePerMille: 200, HairsPerUnit100: 210},
		&event.Region{Code: "BR", Name: "Back right", AreaMM2: 5000, Density10: 800, SharePerMille: 200, HairsPerUnit100: 210},
		&event.Region{Code: "SR", Name: "Side right", AreaMM2: 3600, Density10: 800, SharePerMille: 200, HairsPerUnit100: 210},
	}
}

// Do taps a fact, and remembers zones, regions, dishes and passes by name.
func (r *Rig) Do(p *practice.Phone, fact event.Fact) error {
	e, err := p.Tap(fact, false)
	if err != nil {
		return fmt.Errorf("rig: %w", err)
	}
	switch f := fact.(type) {
	case *event.Zone:
		r.Names[f.Name] = e.Ref()
	case *event.Region:
		r.Names[f.Code] = e.Ref()
	case *event.Dish:
		r.Names["dish "+f.Label] = e.Ref()
	case *event.PassBegun:
		r.Names["pass"] = e.Ref()
		r.Names[f.Mode.String()] = e.Ref()
	}
	return nil
}

// Screen is what a person does on a page of whatever browser.
type Screen interface {
	Open(url string) error
	Until(expression string) error
	Type(selector, text string) error
	Click(selector string) error
}

// JoinPage joins a browser's phone through its screens, with the code on the
// wall. base is the address that it uses.
func (r *Rig) JoinPage(p Screen, base, person, station string) error {
	room, err := r.API.Room(r.Ctx, r.Room)
	if err != nil {
		return err
	}
	return errors.Join(
		p.Open(base+"/join/"+room.Code),
		p.Until(`document.querySelector(".join form")`),
		p.Type(`input[autocomplete="nickname"]`, person),
		p.Click(`.stations label:has(input):nth-child(`+stationPlace(station)+`)`),
		p.Click(`.form button.first`),
		p.Until(`document.querySelector(".phone h1") && !document.querySelector(".join")`),
	)
}

// JoinLead joins a browser's phone as a lead, with the link from the office.
func (r *Rig) JoinLead(p *browser.Page, base, person string) error {
	return errors.Join(
		p.Open(base+"/join/?session="+r.Session.String()+"#"+r.API.Office),
		p.Until(`document.querySelector(".join form")`),
		p.Type(`input[autocomplete="nickname"]`, person),
		p.Click(`.form button.first`),
		p.Until(`document.querySelector(".phone.lead h1")`),
	)
}

func stationPlace(station string) string {
	for i, name := range []string{"extraction", "sorting", "sites", "placing", "desk", "lead"} {
		if name == station {
			return fmt.Sprint(i + 1)
		}
	}
	return "0"
}
