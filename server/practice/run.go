package practice

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/syncengine"
)

// Config is one practice run.
type Config struct {
	Server string // base address
	Office string // the server's office token
	Room   string // the room it plays in, "practice" when empty
	Seed   uint64
	Speed  uint32 // times as fast as a clock
	Grafts int    // the budget; 0 is 1,200

	Progress func(nowMs int64, v session.View) // called about once a second; nil for none
}

// dayStart is 08:00 UTC of a day long past the format's epoch; the clock of a
// practice session begins there.
const dayStart = 1_893_484_800_000 // 2030-01-01T08:00:00Z

// room is one run: every phone, and the wall.
type room struct {
	config  Config
	api     *API
	session event.SessionID
	clock   event.Practice
	day     *Day
	office  *Phone
	wall    *Phone
	phones  map[string]*Phone
	names   Names // complete before the first tap, but for passes
	mu      sync.Mutex
}

// Run plays a day against a server and reports what came of it. The report is
// complete also when figures differ; an error says that the day could not be
// played to its end.
func Run(ctx context.Context, c Config) (Report, error) {
	if c.Room == "" {
		c.Room = "practice"
	}
	if c.Grafts == 0 {
		c.Grafts = 1200
	}
	r := &room{config: c, api: NewAPI(c.Server, c.Office), session: RandomID[event.SessionID](), day: NewDay(c.Seed, c.Grafts),
		phones: make(map[string]*Phone), names: make(Names)}
	r.clock = event.Practice{StartMs: dayStart, RealMs: uint64(time.Now().UnixMilli()), Speed: c.Speed}
	ctx, cancel := context.WithCancel(ctx)
	var staying sync.WaitGroup
	defer staying.Wait()
	defer cancel()
	if err := r.gather(ctx, &staying); err != nil {
		return Report{}, err
	}
	if err := r.play(ctx); err != nil {
		return Report{}, err
	}
	return r.report(ctx)
}

func (r *room) now() syncengine.Now {
	real := time.Now().UnixMilli()
	ms := r.clock.Now(real)
	return syncengine.Now{WallMs: ms, SinceMs: uint64(max(0, ms-int64(r.clock.StartMs)))}
}

// gather opens the session, plans it, and lets every phone join and hear of it.
func (r *room) gather(ctx context.Context, staying *sync.WaitGroup) error {
	if err := r.api.CreateSession(ctx, r.session, r.config.Room); err != nil {
		return err
	}
	stay := func(p *Phone) {
		staying.Add(1)
		go func() {
			defer staying.Done()
			p.Stay(ctx)
		}()
	}
	me := identity()
	pass, err := r.api.JoinOffice(ctx, r.session, me.Phone, me.Replica)
	if err != nil {
		return err
	}
	r.office = NewPhone("office", r.api, pass, me, r.now)
	if err := r.plan(); err != nil {
		return err
	}
	stay(r.office)
	r.wall = NewWall(r.api, r.session, r.now)
	stay(r.wall)
	if err := r.office.InRoom(ctx); err != nil {
		return err
	}
	for _, one := range Team {
		p, err := r.join(ctx, one.Name)
		if err != nil {
			return err
		}
		if _, err := p.Tap(&event.Joined{Person: one.Person, Station: one.Station}, false); err != nil {
			return fmt.Errorf("practice: %s joins: %w", one.Name, err)
		}
		stay(p)
	}
	planned := r.office.Events()
	for _, p := range r.phones {
		err := p.Until(ctx, func(events int, written, stored uint64) bool { return events > planned && stored >= written })
		if err != nil {
			return err
		}
	}
	return nil
}

func identity() syncengine.Identity {
	return syncengine.Identity{Replica: RandomID[event.ReplicaID](), Phone: RandomID[event.PhoneID]()}
}

// join lets a phone in with the code that the wall shows.
func (r *room) join(ctx context.Context, name string) (*Phone, error) {
	shown, err := r.api.Room(ctx, r.config.Room)
	if err != nil {
		return nil, err
	}
	api, me := NewAPI(r.config.Server, ""), identity()
	pass, err := api.Join(ctx, shown.Code, me.Phone, me.Replica)
	if err != nil {
		return nil, err
	}
	if pass.Session != r.session {
		return nil, fmt.Errorf("practice: room %s now plays another session", r.config.Room)
	}
	p := NewPhone(name, api, pass, me, r.now)
	r.phones[name] = p
	return p, nil
}

// plan opens the session with two zones whose needs add up to the budget, and
// two regions that allow more than it takes.
func (r *room) plan() error {
	half := uint32(r.config.Grafts+1) / 2
	needs := [zones]uint32{half, uint32(r.config.Grafts) - half}
	facts := []event.Fact{
		&event.Opened{Case: fmt.Sprintf("P-%d", r.config.Seed%100_000), Room: r.config.Room, Practice: r.clock,
			Stations: []event.Station{event.Extraction, event.Sorting, event.SiteMaking, event.Placing}},
		&event.Joined{Person: "Oak", Station: event.Lead},
		&event.Budget{Grafts: uint32(r.config.Grafts)},
		&event.Yield{PerMille: 880},
	}
	named := map[int]string{}
	for i, name := range zoneNames { // 50 grafts/cm²: 2 mm² a graft
		named[len(facts)] = name
		facts = append(facts, &event.Zone{Name: name, AreaMM2: max(1, 2*needs[i]), Density10: 500, Mix: mixes[i]})
	}
	for _, code := range regionNames { // 80/cm², a quarter of it: 5 mm² an attempt
		named[len(facts)] = code
		facts = append(facts, &event.Region{Code: code, Name: "Region " + code, AreaMM2: min(uint32(r.config.Grafts)*5+50, 200_000),
			Density10: 800, SharePerMille: 250, HairsPerUnit100: 210})
	}
	for _, setup := range Setups() {
		named[len(facts)] = setup.Name
		facts = append(facts, setup)
	}
	for i, fact := range facts {
		e, err := r.office.Tap(fact, false)
		if err != nil {
			return fmt.Errorf("practice: plan: %w", err)
		}
		if name, ok := named[i]; ok {
			r.names[name] = e.Ref()
		}
	}
	return nil
}

// play lets every phone do what the day says, each at its time, and ends the
// session when all is in the room.
func (r *room) play(ctx context.Context) error {
	began := r.now().WallMs
	errs := make(chan error, len(r.phones)+1)
	work, stop := context.WithCancel(ctx)
	for name, p := range r.phones {
		go func() { errs <- r.follow(work, name, p, began) }()
	}
	watching := make(chan struct{})
	go func() {
		defer close(watching)
		r.watch(work)
	}()
	var all error
	for range r.phones {
		all = errors.Join(all, <-errs)
	}
	stop()
	<-watching
	if all != nil {
		return all
	}
	for _, a := range r.day.Close {
		if err := r.act(r.phones[a.Phone], a); err != nil {
			return fmt.Errorf("practice: %s at the close: %w", a.Phone, err)
		}
	}
	for _, p := range r.phones {
		if err := p.InRoom(ctx); err != nil {
			return err
		}
	}
	if _, err := r.office.Tap(&event.Ended{}, false); err != nil {
		return fmt.Errorf("practice: end: %w", err)
	}
	return r.office.InRoom(ctx)
}

func (r *room) follow(ctx context.Context, name string, p *Phone, began int64) error {
	for _, a := range r.day.Actions {
		if a.Phone != name {
			continue
		}
		wait := time.Duration(began+int64(a.AtMs)-r.now().WallMs) * time.Millisecond / time.Duration(r.clock.Speed)
		select {
		case <-time.After(wait):
		case <-ctx.Done():
			return ctx.Err()
		}
		if err := r.act(p, a); err != nil {
			return fmt.Errorf("practice: %s at minute %d: %w", name, a.AtMs/minute, err)
		}
	}
	return nil
}

func (r *room) act(p *Phone, a Action) error {
	switch a.Also {
	case Leaves, Returns:
		p.Away(a.Also == Leaves)
		return nil
	}
	r.mu.Lock()
	fact := a.Fact(r.names)
	r.mu.Unlock()
	e, err := p.Tap(fact, false)
	if err != nil {
		return err
	}
	switch a.Also {
	case Slip:
		_, err = p.Tap(&event.Void{Target: e.Ref(), Reason: "slip of the thumb"}, false)
	case Twice:
		p.SendTwice(e)
	case Remembered:
		r.mu.Lock()
		r.names[nameOf(e)] = e.Ref()
		r.mu.Unlock()
	}
	return err
}

// nameOf is what a pass or a trial that begins is called: passes are told apart
// by mode, and there is one trial.
func nameOf(e *event.Event) string {
	if f, ok := e.Fact.(*event.PassBegun); ok {
		return passNames[f.Mode-1]
	}
	return trialName
}

func (r *room) watch(ctx context.Context) {
	if r.config.Progress == nil {
		return
	}
	every := time.NewTicker(time.Second)
	defer every.Stop()
	for {
		select {
		case <-every.C:
			r.config.Progress(r.now().WallMs, r.wall.View())
		case <-ctx.Done():
			return
		}
	}
}
