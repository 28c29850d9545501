package command_test

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"rootledger/server/command"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

var quiet = slog.New(slog.NewTextHandler(io.Discard, nil))

func bounded(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	t.Cleanup(cancel)
	return ctx
}

// run carries out one command line.
func run(args ...string) (status int, out, errs string) {
	var o, e bytes.Buffer
	status = command.Run(args, &o, &e)
	return status, o.String(), e.String()
}

// refused runs a command line that must fail with these words and print nothing.
func refused(t *testing.T, says string, args ...string) {
	t.Helper()
	status, out, errs := run(args...)
	same(t, "status", status, 1)
	same(t, "output", out, "")
	wantWords(t, errs, says)
}

// hole is a place in a sentence that was not filled in.
var hole = regexp.MustCompile(`\{[a-z]+\}`)

// wantWords holds an error to one line of finished sentences.
func wantWords(t *testing.T, errs, says string) {
	t.Helper()
	last := errs[strings.LastIndex(strings.TrimSuffix(errs, "\n"), "\n")+1:]
	if !strings.HasPrefix(last, "rootledger: ") || !strings.Contains(last, says) || hole.MatchString(last) {
		t.Errorf("errors: got %q, want %q in a finished sentence", errs, says)
	}
}

func serve(t *testing.T, dir string) *command.Serving {
	t.Helper()
	s, err := command.Serve(bounded(t), dir, "127.0.0.1:0", quiet)
	if err != nil {
		t.Fatalf("serve: %v", err)
	}
	return s
}

func stop(t *testing.T, s *command.Serving) {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Errorf("stop: %v", err)
	}
}

func now() syncengine.Now {
	ms := time.Now().UnixMilli()
	return syncengine.Now{WallMs: ms, SinceMs: uint64(ms)}
}

// session is one session on a running server.
type session struct {
	t     *testing.T
	api   *practice.API
	id    event.SessionID
	code  string
	count int // events that its phones wrote
}

// begin opens a session with a case code, in a room of its own.
func begin(t *testing.T, s *command.Serving, code string) (*session, *practice.Phone) {
	t.Helper()
	d := &session{t: t, api: practice.NewAPI("http://"+s.Addr, s.Office), id: practice.RandomID[event.SessionID](), code: code}
	if err := d.api.CreateSession(bounded(t), d.id, code); err != nil {
		t.Fatal(err)
	}
	me := identity()
	pass, err := d.api.JoinOffice(bounded(t), d.id, me.Phone, me.Replica)
	if err != nil {
		t.Fatal(err)
	}
	office := practice.NewPhone("office", d.api, pass, me, now)
	d.tap(office, &event.Opened{Case: code, Room: code, Stations: []event.Station{event.Extraction, event.Sorting, event.Placing}})
	d.tap(office, &event.Budget{Grafts: 500})
	stay(t, office)
	return d, office
}

func identity() syncengine.Identity {
	return syncengine.Identity{Replica: practice.RandomID[event.ReplicaID](), Phone: practice.RandomID[event.PhoneID]()}
}

// phone is a phone that joined with the code on the wall and stays connected.
func (d *session) phone(name string) *practice.Phone {
	d.t.Helper()
	shown, err := d.api.Room(bounded(d.t), d.code)
	if err != nil {
		d.t.Fatal(err)
	}
	me := identity()
	pass, err := practice.NewAPI(d.api.Base, "").Join(bounded(d.t), shown.Code, me.Phone, me.Replica)
	if err != nil {
		d.t.Fatal(err)
	}
	p := practice.NewPhone(name, d.api, pass, me, now)
	d.tap(p, &event.Joined{Person: name, Station: event.Sorting})
	stay(d.t, p)
	return p
}

func (d *session) tap(p *practice.Phone, fact event.Fact) *event.Event {
	d.t.Helper()
	e, err := p.Tap(fact, false)
	if err != nil {
		d.t.Fatalf("%s: %v", p.Name, err)
	}
	d.count++
	return e
}

// wall is a wall that has everything that was tapped.
func (d *session) wall() *practice.Phone {
	d.t.Helper()
	w := practice.NewWall(d.api, d.id, now)
	stay(d.t, w)
	if err := w.Until(bounded(d.t), func(events int, _, _ uint64) bool { return events >= d.count }); err != nil {
		d.t.Fatal(err)
	}
	return w
}

// stay keeps a phone connected until the test ends.
func stay(t *testing.T, p *practice.Phone) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	var done sync.WaitGroup
	done.Go(func() { p.Stay(ctx) })
	t.Cleanup(func() {
		cancel()
		done.Wait()
	})
}

// afternoon is a session in which several people sorted, slipped and undid.
func afternoon(t *testing.T, s *command.Serving, code string) *session {
	t.Helper()
	d, office := begin(t, s, code)
	ash, birch := d.phone("Ash"), d.phone("Birch")
	for n := range uint32(20) {
		d.tap(ash, &event.Sorted{Size: event.Size(n%4 + 1), N: n + 1})
		d.tap(birch, &event.Sorted{Size: 2, N: 1})
	}
	slip := d.tap(ash, &event.Sorted{Size: 1, N: 300})
	d.tap(ash, &event.Void{Target: slip.Ref(), Reason: "slip of the thumb"})
	d.tap(birch, &event.Note{Text: "=a long day"})
	for _, p := range []*practice.Phone{office, ash, birch} {
		if err := p.InRoom(bounded(t)); err != nil {
			t.Fatal(err)
		}
	}
	return d
}

func same[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}
