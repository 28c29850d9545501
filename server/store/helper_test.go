package store

import (
	"context"
	"database/sql"
	"path/filepath"
	"testing"
	"time"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// testMs is when every test session is made, in ms since 1970.
const testMs = 1_800_000_000_000

// bounded is a context that no test outlives.
func bounded(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	t.Cleanup(cancel)
	return ctx
}

// open opens dir for the length of the test.
func open(t *testing.T, dir string) *Store {
	t.Helper()
	s, err := Open(bounded(t), dir)
	if err != nil {
		t.Fatalf("open: %v", err)
	}
	t.Cleanup(func() { _ = s.Close() }) // most tests close it themselves
	return s
}

// closed closes a store in the middle of a test.
func closed(t *testing.T, s *Store) {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Fatalf("close: %v", err)
	}
}

// sessionIn makes a session and returns its row.
func sessionIn(t *testing.T, s *Store, n byte, room string) int64 {
	t.Helper()
	ctx, id := bounded(t), event.SessionID{n}
	if err := s.CreateSession(ctx, id, room, testMs, false); err != nil {
		t.Fatalf("create session: %v", err)
	}
	row, err := s.Session(ctx, id)
	if err != nil {
		t.Fatalf("session: %v", err)
	}
	return row.Row
}

// author writes one chain of events.
type author struct {
	id   event.ReplicaID
	head *event.Event
}

func (a *author) next(t *testing.T, fact event.Fact) *event.Event {
	t.Helper()
	e := &event.Event{Replica: a.id, Seq: 1, Session: event.SessionID{1}, Phone: event.PhoneID{a.id[0]},
		WallMs: testMs, Fact: fact}
	if a.head != nil {
		e.Seq, e.Prev, e.Session, e.Phone = a.head.Seq+1, a.head.Hash, event.SessionID{}, event.PhoneID{}
	}
	e.Stamp = event.StampAt(testMs + int64(e.Seq))
	if err := e.Seal(); err != nil {
		t.Fatalf("seal: %v", err)
	}
	a.head = e
	return e
}

// taps is n more events of an author.
func (a *author) taps(t *testing.T, n int) []*event.Event {
	t.Helper()
	out := make([]*event.Event, 0, n)
	for range n {
		out = append(out, a.next(t, &event.Sorted{Size: 1, N: 1}))
	}
	return out
}

func newAuthor(n byte) *author { return &author{id: event.ReplicaID{n, 7: n}} }

// appended stores events behind those of a session that a test knows of.
func appended(t *testing.T, s *Store, row, first int64, events []*event.Event) {
	t.Helper()
	if err := s.Append(bounded(t), row, first, events); err != nil {
		t.Fatalf("append at %d: %v", first, err)
	}
}

// bodies is what the store has of a session.
func bodies(t *testing.T, s *Store, row int64) [][]byte {
	t.Helper()
	var out [][]byte
	err := s.EventsOf(bounded(t), row, func(e *event.Event) error {
		out = append(out, e.Body)
		return nil
	})
	if err != nil {
		t.Fatalf("events: %v", err)
	}
	return out
}

// wantBodies holds the store to exactly these events in this order.
func wantBodies(t *testing.T, s *Store, row int64, want []*event.Event) {
	t.Helper()
	got := bodies(t, s, row)
	if len(got) != len(want) {
		t.Fatalf("stored events: got %d, want %d", len(got), len(want))
	}
	for i, e := range want {
		if string(got[i]) != string(e.Body) {
			t.Fatalf("event %d: got %x, want %x", i+1, got[i], e.Body)
		}
	}
}

// wantCode checks the code of a fault.
func wantCode(t *testing.T, what string, err error, code fault.Code) {
	t.Helper()
	if !fault.Is(err, code) {
		t.Errorf("%s: got %v, want %s", what, err, code)
	}
}

func same[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

// aside opens a connection of its own to a database, as another program would.
func aside(t *testing.T, dir string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+escapePath(filepath.Join(dir, "rootledger.db"))+"?_busy_timeout=5000")
	if err != nil {
		t.Fatalf("open aside: %v", err)
	}
	t.Cleanup(func() { _ = db.Close() })
	return db
}

// spoil changes a database behind the store's back.
func spoil(t *testing.T, dir, statement string, args ...any) {
	t.Helper()
	db := aside(t, dir)
	if _, err := db.ExecContext(bounded(t), statement, args...); err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
	if err := db.Close(); err != nil {
		t.Fatalf("close aside: %v", err)
	}
}
