package web_test

import (
	"context"
	"io"
	"log/slog"
	"net/http/httptest"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"rootledger/pwa/words"
	"rootledger/server/auth"
	"rootledger/server/hub"
	"rootledger/server/practice"
	"rootledger/server/store"
	"rootledger/server/web"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// bound is how long one test may take.
const bound = 30 * time.Second

var quiet = slog.New(slog.NewTextHandler(io.Discard, nil))

func bounded(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), bound)
	t.Cleanup(cancel)
	return ctx
}

// rig is a server on a socket of its own, with one session that the office has
// opened and planned, and a clock that a test can move.
type rig struct {
	t       *testing.T
	api     *practice.API // with the office token
	store   *store.Store
	auth    *auth.Auth
	session event.SessionID
	office  *practice.Phone
	zone    event.Ref
	ahead   atomic.Int64 // ns by which the server's clock is ahead
}

func (r *rig) clock() time.Time { return time.Now().Add(time.Duration(r.ahead.Load())) }

func newRig(t *testing.T) *rig {
	t.Helper()
	r := &rig{t: t, session: practice.RandomID[event.SessionID]()}
	dir := t.TempDir()
	var err error
	if r.store, err = store.Open(bounded(t), dir); err != nil {
		t.Fatal(err)
	}
	token, err := auth.OfficeToken(dir)
	if err != nil {
		t.Fatal(err)
	}
	r.auth = auth.New(r.store, token, r.clock)
	rooms := hub.New(r.store, quiet, r.clock, func(err error) { t.Errorf("the server had to stop: %v", err) })
	s := &web.Server{Store: r.store, Auth: r.auth, Hub: rooms, Log: quiet, Clock: r.clock, Words: words.English()}
	listening := httptest.NewServer(s.Handler())
	t.Cleanup(func() {
		rooms.Close()
		listening.Close()
		s.Wait()
		if err := r.store.Close(); err != nil {
			t.Error(err)
		}
	})
	r.api = practice.NewAPI(listening.URL, token)
	r.open()
	return r
}

// open lets the office open the session and plan one zone.
func (r *rig) open() {
	r.t.Helper()
	ctx, me := bounded(r.t), identity()
	if err := r.api.CreateSession(ctx, r.session, "A"); err != nil {
		r.t.Fatal(err)
	}
	pass, err := r.api.JoinOffice(ctx, r.session, me.Phone, me.Replica)
	if err != nil {
		r.t.Fatal(err)
	}
	r.office = practice.NewPhone("office", r.api, pass, me, now)
	tap(r.t, r.office, &event.Opened{Case: "C-1", Room: "A",
		Stations: []event.Station{event.Extraction, event.Sorting, event.SiteMaking, event.Placing}})
	tap(r.t, r.office, &event.Joined{Person: "Oak", Station: event.Lead})
	r.zone = tap(r.t, r.office, &event.Zone{Name: "Front", AreaMM2: 1000, Density10: 500, Mix: [event.Sizes]uint16{250, 250, 250, 250}}).Ref()
	stay(r.t, r.office)
	inRoom(r.t, r.office)
}

func now() syncengine.Now {
	ms := time.Now().UnixMilli()
	return syncengine.Now{WallMs: ms, SinceMs: uint64(ms)}
}

func identity() syncengine.Identity {
	return syncengine.Identity{Replica: practice.RandomID[event.ReplicaID](), Phone: practice.RandomID[event.PhoneID]()}
}

// pass lets a new phone in with the code that the wall shows.
func (r *rig) pass() (practice.Pass, syncengine.Identity) {
	r.t.Helper()
	me := identity()
	shown, err := r.api.Room(bounded(r.t), "A")
	if err != nil {
		r.t.Fatal(err)
	}
	pass, err := r.phoneAPI().Join(bounded(r.t), shown.Code, me.Phone, me.Replica)
	if err != nil {
		r.t.Fatal(err)
	}
	return pass, me
}

// officePass lets a new phone in with the office token.
func (r *rig) officePass() (practice.Pass, syncengine.Identity) {
	r.t.Helper()
	me := identity()
	pass, err := r.api.JoinOffice(bounded(r.t), r.session, me.Phone, me.Replica)
	if err != nil {
		r.t.Fatal(err)
	}
	return pass, me
}

// phoneAPI has no office token.
func (r *rig) phoneAPI() *practice.API { return practice.NewAPI(r.api.Base, "") }

// phone is a phone that joined and stays connected.
func (r *rig) phone(name string) *practice.Phone {
	r.t.Helper()
	pass, me := r.pass()
	p := practice.NewPhone(name, r.phoneAPI(), pass, me, now)
	tap(r.t, p, &event.Joined{Person: name, Station: event.Sorting})
	stay(r.t, p)
	inRoom(r.t, p)
	return p
}

// wall is a wall that stays connected.
func (r *rig) wall() *practice.Phone {
	r.t.Helper()
	w := practice.NewWall(r.phoneAPI(), r.session, now)
	stay(r.t, w)
	return w
}

// stay keeps a phone connected until the test ends, before its server does.
func stay(t *testing.T, p *practice.Phone) (stop func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	var done sync.WaitGroup
	done.Go(func() { p.Stay(ctx) })
	stop = func() {
		cancel()
		done.Wait()
	}
	t.Cleanup(stop)
	return stop
}

func tap(t *testing.T, p *practice.Phone, fact event.Fact) *event.Event {
	t.Helper()
	e, err := p.Tap(fact, false)
	if err != nil {
		t.Fatalf("%s: %v: %v", p.Name, fact.Kind(), err)
	}
	return e
}

// sorts taps n sorted grafts, one by one.
func sorts(t *testing.T, p *practice.Phone, n int) {
	t.Helper()
	for range n {
		tap(t, p, &event.Sorted{Size: 1, N: 1})
	}
}

func inRoom(t *testing.T, p *practice.Phone) {
	t.Helper()
	if err := p.InRoom(bounded(t)); err != nil {
		t.Fatal(err)
	}
}

// holds waits until a phone or wall holds n events.
func holds(t *testing.T, p *practice.Phone, n int) {
	t.Helper()
	if err := p.Until(bounded(t), func(events int, _, _ uint64) bool { return events >= n }); err != nil {
		t.Fatal(err)
	}
}

// stored is every body that the store has of the session, in order.
func (r *rig) stored() [][]byte {
	r.t.Helper()
	row, err := r.store.Session(bounded(r.t), r.session)
	if err != nil {
		r.t.Fatal(err)
	}
	var out [][]byte
	err = r.store.EventsOf(bounded(r.t), row.Row, func(e *event.Event) error {
		out = append(out, e.Body)
		return nil
	})
	if err != nil {
		r.t.Fatal(err)
	}
	return out
}

// sortedInRoom is what a wall that knows every stored event has sorted.
func (r *rig) sortedInRoom() int64 {
	r.t.Helper()
	wall := practice.NewWall(r.phoneAPI(), r.session, now)
	stop := stay(r.t, wall)
	holds(r.t, wall, len(r.stored()))
	stop()
	return wall.Settled().Ledger.Sorted.Total()
}

func same[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}
