package store

import (
	"database/sql"
	"os"
	"path/filepath"
	"testing"

	"github.com/pressly/goose/v3"

	"rootledger/migrations"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// A database that is found to be older than what it told is another one from
// then on, lets phones refill every session that it has, and keeps the rest.
func TestRenew(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	who := s.Server()
	row, events := sessionIn(t, s, 1, "A"), newAuthor(1).taps(t, 3)
	sessionIn(t, s, 2, "B")
	appended(t, s, row, 1, events)
	refilled := func(s *Store, n byte) int64 {
		t.Helper()
		one, err := s.Session(bounded(t), event.SessionID{n})
		if err != nil {
			t.Fatal(err)
		}
		return one.OlderMs
	}
	same(t, "refilled before", refilled(s, 1), 0)
	if err := s.Renew(bounded(t), testMs); err != nil {
		t.Fatal(err)
	}
	now := s.Server()
	if now.Epoch == who.Epoch || now.Replica == who.Replica || now.Replica == (event.ReplicaID{}) {
		t.Errorf("identity: got %x %v after %x %v", now.Epoch, now.Replica, who.Epoch, who.Replica)
	}
	same(t, "key: tokens stay good", string(now.JWTKey), string(who.JWTKey))
	same(t, "refilled since", refilled(s, 1), testMs)
	same(t, "the other refilled since", refilled(s, 2), testMs)
	sessionIn(t, s, 3, "C")
	if err := s.Renew(bounded(t), testMs+5); err != nil {
		t.Fatal(err)
	}
	same(t, "refilled since the first time", refilled(s, 1), testMs)
	same(t, "refilled since the second", refilled(s, 3), testMs+5)
	last := s.Server()
	if last.Epoch == now.Epoch {
		t.Error("the epoch is as before")
	}
	closed(t, s)
	again := open(t, dir)
	same(t, "epoch, opened again", again.Server().Epoch, last.Epoch)
	same(t, "replica, opened again", again.Server().Replica, last.Replica)
	same(t, "refilled, opened again", refilled(again, 1), testMs)
	wantBodies(t, again, row, events)
}

func TestRenewThatFailsChangesNothing(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	sessionIn(t, s, 1, "A")
	who := s.Server()
	spoil(t, dir, `CREATE TRIGGER refuse BEFORE UPDATE ON session BEGIN SELECT RAISE(ABORT, 'no'); END`)
	wantCode(t, "renew", s.Renew(bounded(t), testMs), "store-failed")
	same(t, "epoch", s.Server().Epoch, who.Epoch)
	closed(t, s)
	same(t, "epoch, opened again", open(t, dir).Server().Epoch, who.Epoch)
}

// versionOne makes a database as the first version did, with one session of
// some events, and one enrolment.
func versionOne(t *testing.T, dir string, events []*event.Event) {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+escapePath(filepath.Join(dir, "rootledger.db"))+"?_journal_mode=WAL")
	if err != nil {
		t.Fatal(err)
	}
	provider, err := goose.NewProvider(goose.DialectSQLite3, db, migrations.Files)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := provider.UpTo(bounded(t), 1); err != nil {
		t.Fatal(err)
	}
	run := func(statement string, args ...any) {
		t.Helper()
		if _, err := db.ExecContext(bounded(t), statement, args...); err != nil {
			t.Fatalf("%s: %v", statement, err)
		}
	}
	id, replica := event.SessionID{1}, events[0].Replica
	run(`INSERT INTO server VALUES (1, ?, ?, ?)`, make([]byte, 16), make([]byte, 8), make([]byte, 32))
	run(`INSERT INTO session VALUES (7, ?, 'A', 'C-1', 0, 5, 6, 0)`, id[:])
	run(`INSERT INTO replica VALUES (7, ?, ?, 'office', ?, 8)`, replica[:], make([]byte, 16), make([]byte, 32))
	for i, e := range events {
		run(`INSERT INTO event VALUES (7, ?, ?, ?, ?)`, i+1, e.Replica[:], e.Seq, e.Body)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

// A database of the first version is brought up with everything that it has,
// and then takes two events in one place.
func TestVersionOneIsBroughtUp(t *testing.T) {
	dir := t.TempDir()
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	ash, birch, copied := newAuthor(1), newAuthor(2), newAuthor(1)
	all := append(ash.taps(t, 70), birch.taps(t, 5)...)
	versionOne(t, dir, all)
	s := open(t, dir)
	row, err := s.Session(bounded(t), event.SessionID{1})
	if err != nil {
		t.Fatal(err)
	}
	same(t, "session", row, Session{Row: 7, ID: event.SessionID{1}, Room: "A", Case: "C-1", CreatedMs: 5, OpenedMs: 6})
	same(t, "epoch", s.Server().Epoch, [16]byte{})
	wantBodies(t, s, 7, all)
	let, err := s.Enrolments(bounded(t), 7)
	if err != nil || len(let) != 1 {
		t.Fatalf("enrolments: got %v, %v, want one", let, err)
	}
	same(t, "enrolment", let[0], Enrolment{Replica: all[0].Replica, Role: "office"})
	all = append(all, copied.next(t, &event.Sorted{Size: 2, N: 9}))
	appended(t, s, 7, int64(len(all)), all[len(all)-1:])
	closed(t, s)
	wantBodies(t, open(t, dir), 7, all)
}

// Until a server of this version has opened it, an older database is not read,
// in words, and is left as it was.
func TestVersionOneIsNotReadBeforeAServer(t *testing.T) {
	dir := t.TempDir()
	events := newAuthor(1).taps(t, 3)
	versionOne(t, dir, events)
	for range 2 {
		_, err := OpenReadOnly(bounded(t), dir)
		wantCode(t, "open for reading", err, "data-older")
		wantWords(t, err, dir)
	}
	closed(t, open(t, dir))
	wantBodies(t, readOnly(t, dir), 7, events)
}

// So it is with a database that no server has made ready yet.
func TestUnfinishedDatabaseIsNotRead(t *testing.T) {
	dir := t.TempDir()
	fileAt(t, filepath.Join(dir, "rootledger.db"), "")
	db, err := sql.Open("sqlite3", "file:"+escapePath(filepath.Join(dir, "rootledger.db"))+"?_journal_mode=WAL")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.ExecContext(bounded(t), `CREATE TABLE other (n INTEGER)`); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	_, err = OpenReadOnly(bounded(t), dir)
	wantCode(t, "open for reading", err, "data-older")
	closed(t, open(t, dir))
	readOnly(t, dir)
}

// Whatever keeps the schema from being brought up is said in words.
func TestSchemaThatCanNotBeBroughtUp(t *testing.T) {
	for name, test := range map[string]struct{ spoil, code string }{
		"a step is missing":      {`INSERT INTO goose_db_version (version_id, is_applied) VALUES (3, TRUE)`, "data-dir-unusable"},
		"its table is no table":  {`DROP TABLE goose_db_version; CREATE TABLE goose_db_version (n INTEGER)`, "store-failed"},
		"a step does not end":    {`ALTER TABLE session ADD COLUMN refilled_ms INTEGER NOT NULL DEFAULT 0`, "store-failed"},
		"what it needs was lost": {`DROP TABLE session`, "store-failed"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			versionOne(t, dir, newAuthor(1).taps(t, 1))
			spoil(t, dir, test.spoil)
			s, err := Open(bounded(t), dir)
			if err == nil {
				closed(t, s)
				t.Fatal("it was opened")
			}
			wantCode(t, "open", err, fault.Code(test.code))
		})
	}
}

// A session that was lost is made anew as one that phones refill, until that is
// ended; one that is there stays as it is.
func TestRefilledSession(t *testing.T) {
	s := open(t, t.TempDir())
	for n, test := range []struct {
		refill []bool // each time that it is made
		want   int64
	}{
		{[]bool{false}, 0},
		{[]bool{true}, testMs},
		{[]bool{false, true}, 0},
		{[]bool{true, false}, testMs},
	} {
		id := event.SessionID{byte(n + 1)}
		for i, refill := range test.refill {
			if err := s.CreateSession(bounded(t), id, "A", testMs+int64(i), refill); err != nil {
				t.Fatal(err)
			}
		}
		row, err := s.Session(bounded(t), id)
		if err != nil {
			t.Fatal(err)
		}
		same(t, "refilled since", row.RefilledMs, test.want)
	}
	if err := s.EndRefill(bounded(t), event.SessionID{2}); err != nil {
		t.Fatal(err)
	}
	for n, want := range map[byte]int64{2: 0, 4: testMs} {
		row, err := s.Session(bounded(t), event.SessionID{n})
		if err != nil {
			t.Fatal(err)
		}
		same(t, "refilled after the end of the second", row.RefilledMs, want)
	}
}
