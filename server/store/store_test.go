package store

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"testing"

	"github.com/mattn/go-sqlite3"

	"rootledger/shared/event"
)

func TestSQLiteIsNewEnough(t *testing.T) {
	text, number, _ := sqlite3.Version()
	if number < minSQLite {
		t.Errorf("SQLite: got %s (%d), want at least %d", text, number, minSQLite)
	}
	var running string
	if err := open(t, t.TempDir()).read.QueryRow(`SELECT sqlite_version()`).Scan(&running); err != nil {
		t.Fatal(err)
	}
	same(t, "version that runs", running, text)
}

// pooled takes every connection of a pool at once, so that each one is seen.
func pooled(t *testing.T, db *sql.DB, n int) []*sql.Conn {
	t.Helper()
	var out []*sql.Conn
	for range n {
		conn, err := db.Conn(bounded(t))
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = conn.Close() })
		out = append(out, conn)
	}
	return out
}

func TestEveryConnectionIsDurable(t *testing.T) {
	s := open(t, t.TempDir())
	pools := []struct {
		name  string
		db    *sql.DB
		conns int
	}{{"the writer", s.write, 1}, {"a reader", s.read, readers}}
	pragmas := []struct{ name, want string }{
		{"journal_mode", "wal"}, {"synchronous", "2"}, {"foreign_keys", "1"}, {"busy_timeout", "5000"},
	}
	for _, pool := range pools {
		same(t, pool.name+": connections", pool.db.Stats().MaxOpenConnections, pool.conns)
		for _, conn := range pooled(t, pool.db, pool.conns) {
			for _, p := range pragmas {
				var got string
				if err := conn.QueryRowContext(bounded(t), "PRAGMA "+p.name).Scan(&got); err != nil {
					t.Fatalf("%s: %s: %v", pool.name, p.name, err)
				}
				same(t, pool.name+": "+p.name, got, p.want)
			}
		}
	}
}

func TestReadersCanNotWrite(t *testing.T) {
	s := open(t, t.TempDir())
	for _, conn := range pooled(t, s.read, readers) {
		if _, err := conn.ExecContext(bounded(t), `DELETE FROM event`); err == nil {
			t.Error("a reader deleted events")
		}
	}
}

func TestReopenedStoreHasTheSameBodiesInOrder(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	row := sessionIn(t, s, 1, "A")
	ash, birch := newAuthor(1), newAuthor(2)
	var all []*event.Event
	for _, some := range [][]*event.Event{ // one statement, several, one again, none
		ash.taps(t, rowsAtOnce), birch.taps(t, 3*rowsAtOnce+5), ash.taps(t, 1), nil, birch.taps(t, 2),
	} {
		appended(t, s, row, int64(len(all))+1, some)
		all = append(all, some...)
		wantBodies(t, s, row, all)
	}
	closed(t, s)
	wantBodies(t, open(t, dir), row, all)
}

func TestSessionsDoNotMix(t *testing.T) {
	s := open(t, t.TempDir())
	first, second := sessionIn(t, s, 1, "A"), sessionIn(t, s, 2, "A")
	ash, birch := newAuthor(1).taps(t, 3), newAuthor(1).taps(t, 2) // the same replica and seqs in each
	appended(t, s, first, 1, ash)
	appended(t, s, second, 1, birch)
	wantBodies(t, s, first, ash)
	wantBodies(t, s, second, birch)
	wantBodies(t, s, 99, nil)
}

func TestMigratingTwiceChangesNothing(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	who, row := s.Server(), sessionIn(t, s, 1, "A")
	events := newAuthor(1).taps(t, 3)
	appended(t, s, row, 1, events)
	steps := count(t, s.read, "goose_db_version")
	closed(t, s)
	for range 2 {
		again := open(t, dir)
		same(t, "epoch", again.Server().Epoch, who.Epoch)
		same(t, "server replica", again.Server().Replica, who.Replica)
		same(t, "key", string(again.Server().JWTKey), string(who.JWTKey))
		same(t, "steps noted", count(t, again.read, "goose_db_version"), steps)
		wantBodies(t, again, row, events)
		closed(t, again)
	}
}

func count(t *testing.T, db *sql.DB, table string) (n int) {
	t.Helper()
	if err := db.QueryRowContext(bounded(t), `SELECT count(*) FROM `+table).Scan(&n); err != nil {
		t.Fatalf("%s: %v", table, err)
	}
	return n
}

func TestEveryDatabaseIsItsOwnEpoch(t *testing.T) {
	one, other := open(t, t.TempDir()).Server(), open(t, t.TempDir()).Server()
	if one.Epoch == other.Epoch || one.Replica == other.Replica || string(one.JWTKey) == string(other.JWTKey) {
		t.Errorf("two databases share an identity: %x %v, %x %v", one.Epoch, one.Replica, other.Epoch, other.Replica)
	}
	same(t, "length of the key", len(one.JWTKey), 32)
	if one.Epoch == ([16]byte{}) || one.Replica == (event.ReplicaID{}) {
		t.Errorf("an identity is zero: %x %v", one.Epoch, one.Replica)
	}
}

// A path may have any characters; some mean something to SQLite.
func TestOddDirectoryNames(t *testing.T) {
	for _, name := range []string{"a b", "a?mode=memory", "a#b", "a%41", "ä"} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), name, "deep")
			closed(t, open(t, dir))
			if _, err := os.Stat(filepath.Join(dir, "rootledger.db")); err != nil {
				t.Errorf("database: %v", err)
			}
		})
	}
}

func TestDataAreForTheServersUserOnly(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	closed(t, open(t, dir))
	for name, want := range map[string]os.FileMode{"": 0o700, "rootledger.db": 0o600, "lock": 0o600} {
		info, err := os.Stat(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		same(t, "data/"+name, info.Mode().Perm(), want)
	}
}

func TestCancelledAppendStoresNothing(t *testing.T) {
	s := open(t, t.TempDir())
	row := sessionIn(t, s, 1, "A")
	ctx, cancel := context.WithCancel(bounded(t))
	cancel()
	if err := s.Append(ctx, row, 1, newAuthor(1).taps(t, 3)); err == nil {
		t.Error("an append that was called off succeeded")
	}
	wantBodies(t, s, row, nil)
}
