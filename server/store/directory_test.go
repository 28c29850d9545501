package store

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rootledger/pwa/words"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

func fileAt(t *testing.T, path, text string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// wantWords holds a fault to a sentence that names dir and has no hole.
func wantWords(t *testing.T, err error, dir string) {
	t.Helper()
	f := fault.Of(err)
	if f == nil {
		t.Fatalf("%v has no words", err)
	}
	said := words.English().Fault(f)
	if !strings.Contains(said, dir) || strings.Contains(said, "{") {
		t.Errorf("words: got %q, want a sentence that names %s", said, dir)
	}
}

func TestUnusableDirectories(t *testing.T) {
	tests := []struct {
		name string
		dir  func(t *testing.T) string
	}{
		{"a file in its place", func(t *testing.T) string { return fileAt(t, filepath.Join(t.TempDir(), "data"), "") }},
		{"below a file", func(t *testing.T) string {
			return filepath.Join(fileAt(t, filepath.Join(t.TempDir(), "file"), ""), "data")
		}},
		{"where nobody can make one", func(*testing.T) string { return "/proc/rootledger" }},
		{"a name that is too long", func(t *testing.T) string { return filepath.Join(t.TempDir(), strings.Repeat("x", 300)) }},
		{"the lock is a directory", func(t *testing.T) string {
			dir := t.TempDir()
			if err := os.Mkdir(filepath.Join(dir, "lock"), 0o700); err != nil {
				t.Fatal(err)
			}
			return dir
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := test.dir(t)
			s, err := Open(bounded(t), dir)
			if err == nil {
				closed(t, s)
				t.Fatal("it was opened")
			}
			wantCode(t, "open", err, "data-dir-unusable")
			wantWords(t, err, dir)
		})
	}
}

func TestUnusableForReading(t *testing.T) {
	empty := t.TempDir()
	for name, dir := range map[string]string{
		"not there": filepath.Join(empty, "data"), "empty": empty, "below a file": fileAt(t, filepath.Join(t.TempDir(), "f"), "") + "/data",
	} {
		t.Run(name, func(t *testing.T) {
			_, err := OpenReadOnly(bounded(t), dir)
			wantCode(t, "open", err, "data-dir-unusable")
			wantWords(t, err, dir)
		})
	}
	if entries, err := os.ReadDir(empty); err != nil || len(entries) != 0 {
		t.Errorf("opening for reading made %v, %v", entries, err)
	}
}

func TestDirectoryIsForOneServer(t *testing.T) {
	dir := t.TempDir()
	first := open(t, dir)
	row := sessionIn(t, first, 1, "A")
	_, err := Open(bounded(t), dir)
	wantCode(t, "a second server", err, "data-dir-taken")
	wantWords(t, err, dir)
	events := newAuthor(1).taps(t, 3)
	appended(t, first, row, 1, events) // the first one is not disturbed
	closed(t, first)
	wantBodies(t, open(t, dir), row, events)
}

// A directory that failed to open is free again.
func TestDatabaseThatIsNone(t *testing.T) {
	dir := t.TempDir()
	path := fileAt(t, filepath.Join(dir, "rootledger.db"), strings.Repeat("not a database\n", 100))
	for range 2 {
		if s, err := Open(bounded(t), dir); err == nil {
			closed(t, s)
			t.Fatal("it was opened")
		} else if fault.Is(err, "data-dir-taken") || fault.Of(err) == nil {
			t.Errorf("open: got %v, want other words", err)
		}
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	closed(t, open(t, dir))
}

func TestReadOnlyBesideAServer(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	row, ash := sessionIn(t, s, 1, "A"), newAuthor(1)
	all := ash.taps(t, 3)
	appended(t, s, row, 1, all)
	reader := readOnly(t, dir)
	wantBodies(t, reader, row, all)
	more := ash.taps(t, 100)
	appended(t, s, row, 4, more) // seen by a reader that was there before
	wantBodies(t, reader, row, append(all, more...))
	if reader.write != nil {
		t.Error("a reader can write")
	}
	_, err := Open(bounded(t), dir)
	wantCode(t, "the reader leaves the directory to its server", err, "data-dir-taken")
}

func TestReadOnlyAfterTheServerStopped(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	row, events := sessionIn(t, s, 1, "A"), newAuthor(1).taps(t, 200)
	appended(t, s, row, 1, events)
	closed(t, s)
	reader := readOnly(t, dir)
	wantBodies(t, reader, row, events)
	if _, err := reader.SessionByCase(bounded(t), "C-1"); !fault.Is(err, "session-missing") {
		t.Errorf("session: got %v, want session-missing", err)
	}
	wantBodies(t, open(t, dir), row, events) // a server may start beside it
}

// A server that was killed leaves its log; a reader alone reads that too.
func TestReadOnlyAfterAServerWasKilled(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	row, events := sessionIn(t, s, 1, "A"), newAuthor(1).taps(t, 10)
	appended(t, s, row, 1, events)
	left := t.TempDir()
	for _, name := range []string{"rootledger.db", "rootledger.db-wal"} {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		fileAt(t, filepath.Join(left, name), string(text))
	}
	wantBodies(t, readOnly(t, left), row, events)
	wantBodies(t, open(t, left), row, events)
}

func readOnly(t *testing.T, dir string) *Store {
	t.Helper()
	s, err := OpenReadOnly(bounded(t), dir)
	if err != nil {
		t.Fatalf("open for reading: %v", err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Errorf("close: %v", err)
		}
	})
	same(t, "a reader's identity", s.Server().Replica, event.ReplicaID{})
	return s
}
