package auth

import (
	"context"
	"sync"
	"testing"
	"time"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

var (
	testSession = event.SessionID{1}
	testReplica = event.ReplicaID{1}
	testPhone   = event.PhoneID{1}
)

// watch is a clock that a test moves.
type watch struct {
	mu  sync.Mutex
	now time.Time
}

func newWatch() *watch { return &watch{now: time.UnixMilli(1_800_000_000_000)} }

func (w *watch) time() time.Time {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.now
}

func (w *watch) pass(d time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.now = w.now.Add(d)
}

func bounded(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	t.Cleanup(cancel)
	return ctx
}

// opened is an Auth over a database of its own, with one session.
func opened(t *testing.T) (*Auth, *watch, store.Session) {
	t.Helper()
	s, err := store.Open(bounded(t), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := s.CreateSession(bounded(t), testSession, "A", 1, false); err != nil {
		t.Fatal(err)
	}
	row, err := s.Session(bounded(t), testSession)
	if err != nil {
		t.Fatal(err)
	}
	w := newWatch()
	return New(s, "the office token", w.time), w, row
}

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
