package crash

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"
	"time"

	"rootledger/server/auth"
	"rootledger/server/command"
	"rootledger/server/export"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// stations are where the phones of a room tap.
var stations = []event.Station{event.Extraction, event.Extraction, event.Sorting, event.Sorting, event.SiteMaking, event.Placing}

// room is a session with its office, six phones that tap, and a wall. All of
// them come back by themselves whenever the server does.
type room struct {
	name    string
	api     *practice.API
	id      event.SessionID
	zone    event.Ref
	region  event.Ref
	office  *hand
	hands   []*hand // the office not included
	wall    *practice.Phone
	clock   func() syncengine.Now
	ears    *ears          // hear what comes to phones and walls, nil for nobody
	earlier []*event.Event // as last read from the store
	lost    int            // acknowledged and, in some check, not there

	staying   context.Context
	everybody sync.WaitGroup
	tapping   sync.WaitGroup
	rest      context.CancelFunc // ends the tapping
}

// gather opens a session on a server that answers and lets everyone in.
func gather(ctx context.Context, t *testing.T, p *process, dir, name string) *room {
	t.Helper()
	r := open(ctx, t, p, dir, name)
	for _, station := range stations {
		r.join(ctx, t, station)
	}
	for _, h := range r.hands {
		must(t, h.phone.Until(ctx, func(events int, written, stored uint64) bool {
			return events >= len(r.office.taps)+len(r.hands) && stored >= written
		}))
	}
	return r
}

// open opens a session, with its office and a wall.
func open(ctx context.Context, t *testing.T, p *process, dir, name string) *room {
	t.Helper()
	return openFor(ctx, t, p, dir, &room{name: name, clock: now}, event.Practice{})
}

// openFor is open for a room that has its name and clock, which is fast when it
// practises.
func openFor(ctx context.Context, t *testing.T, p *process, dir string, r *room, fast event.Practice) *room {
	t.Helper()
	token, err := auth.ReadOfficeToken(dir)
	must(t, err)
	r.api, r.id = practice.NewAPI(p.base(), token), practice.RandomID[event.SessionID]()
	var leave context.CancelFunc
	r.staying, leave = context.WithCancel(ctx)
	t.Cleanup(func() {
		leave()
		r.everybody.Wait()
	})
	must(t, r.api.CreateSession(ctx, r.id, r.name))
	me := identity()
	pass, err := r.api.JoinOffice(ctx, r.id, me.Phone, me.Replica)
	must(t, err)
	r.office = &hand{phone: practice.NewPhone("office", r.api, pass, me, r.clock), me: me.Replica, station: event.Lead}
	r.plan(t, fast)
	r.wall = r.newWall()
	return r
}

func now() syncengine.Now {
	ms := time.Now().UnixMilli()
	return syncengine.Now{WallMs: ms, SinceMs: uint64(ms)}
}

func identity() syncengine.Identity {
	return syncengine.Identity{Replica: practice.RandomID[event.ReplicaID](), Phone: practice.RandomID[event.PhoneID]()}
}

func (r *room) stay(p *practice.Phone) { r.everybody.Go(func() { p.Stay(r.staying) }) }

func (r *room) newWall() *practice.Phone {
	wall := practice.NewWall(r.api, r.id, r.clock)
	r.ears.on(wall)
	r.stay(wall)
	return wall
}

func (r *room) plan(t *testing.T, fast event.Practice) {
	t.Helper()
	r.stay(r.office.phone)
	for _, fact := range []event.Fact{
		&event.Opened{Case: r.name, Room: r.name, Practice: fast, Stations: []event.Station{event.Extraction, event.Sorting, event.SiteMaking, event.Placing}},
		&event.Joined{Person: "Oak", Station: event.Lead},
		&event.Budget{Grafts: 2000},
		&event.Zone{Name: "Front", AreaMM2: 4000, Density10: 500, Mix: [event.Sizes]uint16{250, 500, 200, 50}},
		&event.Region{Code: "L", Name: "Left", AreaMM2: 6000, Density10: 800, SharePerMille: 250, HairsPerUnit100: 210},
	} {
		e, err := r.office.tap(fact)
		must(t, err)
		switch fact.(type) {
		case *event.Zone:
			r.zone = e.Ref()
		case *event.Region:
			r.region = e.Ref()
		}
	}
}

// join lets one more hand in with the code on the wall.
func (r *room) join(ctx context.Context, t *testing.T, station event.Station) {
	t.Helper()
	shown, err := r.api.Room(ctx, r.name)
	must(t, err)
	api, me, i := practice.NewAPI(r.api.Base, ""), identity(), len(r.hands)
	pass, err := api.Join(ctx, shown.Code, me.Phone, me.Replica)
	must(t, err)
	name := fmt.Sprintf("%s-%d", station, i)
	h := &hand{phone: practice.NewPhone(name, api, pass, me, r.clock), me: me.Replica, station: station,
		random: rand.New(rand.NewPCG(seed, uint64(i))), zone: r.zone, region: r.region}
	_, err = h.tap(&event.Joined{Person: name, Station: station})
	must(t, err)
	r.ears.on(h.phone)
	r.stay(h.phone)
	r.hands = append(r.hands, h)
}

// begin lets every hand tap until stopTapping, each about so often.
func (r *room) begin(every time.Duration) {
	var ctx context.Context
	ctx, r.rest = context.WithCancel(r.staying)
	for _, h := range r.hands {
		r.tapping.Go(func() { h.tapAlong(ctx, every) })
	}
}

// stopTapping is back when the last tap is made.
func (r *room) stopTapping(t *testing.T) {
	t.Helper()
	r.rest()
	r.tapping.Wait()
	for _, h := range r.hands {
		if h.failed != nil {
			t.Fatalf("%s can not tap: %v", h.phone.Name, h.failed)
		}
	}
}

func (r *room) all() []*hand { return append([]*hand{r.office}, r.hands...) }

// acknowledged is how many events all phones together were told are stored.
func (r *room) acknowledged() (sum uint64) {
	for _, h := range r.all() {
		_, stored := h.counts()
		sum += stored
	}
	return sum
}

// heard waits until every hand was told of something new since it had been
// told of that much.
func (r *room) heard(ctx context.Context, t *testing.T, before []uint64) {
	t.Helper()
	for i, h := range r.hands {
		must(t, h.phone.Until(ctx, func(_ int, _, stored uint64) bool { return stored > before[i] }))
	}
}

func (r *room) told() (stored []uint64) {
	for _, h := range r.hands {
		_, s := h.counts()
		stored = append(stored, s)
	}
	return stored
}

// check reads the store of a server that is down: it is whole, all that was
// there before is there in its old place, chains link, every event is one that
// was tapped, and what any phone was told is stored is. It returns how many
// events of phones are stored.
func (r *room) check(ctx context.Context, t *testing.T, dir string) int {
	t.Helper()
	must(t, sound(ctx, dir))
	events, err := arrived(ctx, dir, r.id)
	must(t, err)
	must(t, begins(events, r.earlier))
	r.earlier = events
	heads, err := linked(events)
	must(t, err)
	wrote := map[event.ReplicaID][]*event.Event{}
	for _, h := range r.all() {
		written, stored := h.counts()
		if heads[h.me] < stored {
			r.lost += int(stored - heads[h.me])
			t.Fatalf("%s was told that %d of its events are stored, and %d are", h.phone.Name, stored, heads[h.me])
		}
		wrote[h.me] = h.written()
		if uint64(len(wrote[h.me])) < written {
			t.Fatalf("%s wrote %d events and remembers %d", h.phone.Name, written, len(wrote[h.me]))
		}
	}
	tapped := 0
	for i, e := range events {
		if e.Fact.Kind().ByServer() {
			continue
		}
		tapped++
		if taps := wrote[e.Replica]; e.Seq > uint64(len(taps)) || taps[e.Seq-1].Hash != e.Hash {
			t.Fatalf("event %d, %s:%d, was never tapped", i+1, e.Replica, e.Seq)
		}
	}
	return tapped
}

// settle waits until everything is in the room and on both an old and a new
// wall, and holds their figures to what was tapped. It returns them as JSON.
func (r *room) settle(ctx context.Context, t *testing.T) []byte {
	t.Helper()
	total, tapped := 0, truth{}
	for _, h := range r.all() {
		must(t, h.phone.InRoom(ctx))
		if refused := h.phone.Refused(); len(refused) > 0 {
			t.Errorf("%d events of %s were refused, the first because of %v", len(refused), h.phone.Name, refused[0].Fault)
		}
		total += len(h.written())
		tapped.plus(h.truth)
	}
	walls := []*practice.Phone{r.wall, r.newWall()}
	for _, wall := range walls {
		must(t, wall.Until(ctx, func(events int, _, _ uint64) bool { return events >= total }))
		view := wall.Settled()
		if shows := truthOf(view); shows != tapped || wall.Events() != total {
			t.Errorf("%d events were tapped, the wall has %d\ntapped  %+v\nthe wall shows %+v", total, wall.Events(), tapped, shows)
		}
	}
	var old, fresh []byte
	for range 50 { // what the server itself says may still be on its way to one of them
		var err error
		old, err = json.Marshal(walls[0].Settled())
		must(t, err)
		fresh, err = json.Marshal(walls[1].Settled())
		must(t, err)
		if bytes.Equal(old, fresh) {
			return old
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Errorf("the old wall and a new one differ:\n%s\n%s", old, fresh)
	return old
}

// agree wants the store of a server that is down to hold each event once, and
// its events, folded afresh, to give the wall's figures byte for byte.
func (r *room) agree(ctx context.Context, t *testing.T, dir string, wall []byte) {
	t.Helper()
	stored, heads := r.check(ctx, t, dir), 0
	for _, h := range r.all() {
		written, _ := h.counts()
		heads += int(written)
	}
	if stored != heads {
		t.Errorf("%d events are stored, and the phones wrote %d", stored, heads)
	}
	var text, figures bytes.Buffer
	lines := export.NewJSONLines(&text)
	for _, e := range r.earlier {
		must(t, lines.Write(e))
	}
	must(t, command.Replay(&text, &figures, 0))
	view, _, _ := bytes.Cut(figures.Bytes(), []byte("\n")) // what is asked for beside it follows, a line each
	if !bytes.Equal(view, wall) {
		t.Errorf("folded afresh, the store differs from the wall:\n%s\n%s", view, wall)
	}
}
