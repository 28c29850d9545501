// Package store keeps events in SQLite: what it says is stored survives a
// power cut. One connection writes, a pool reads. One file a table.
package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"syscall"

	"github.com/mattn/go-sqlite3"
	"github.com/pressly/goose/v3"

	"rootledger/migrations"
	"rootledger/shared/fault"
)

// Store is one data directory, open for one server, or for reading only.
type Store struct {
	write  *sql.DB // nil when only reading
	writer *writer // of events, over write
	read   *sql.DB
	lock   *os.File // nil when only reading
	server atomic.Pointer[Server]
}

// minSQLite is the first version without the WAL-reset corruption.
const minSQLite = 3_051_003

// readers is how many connections read at once: two cores, and one to spare.
const readers = 3

// Open opens the database in dir, making both when they are missing. It fails
// with words when dir can't be used, or when another server has it open.
func Open(ctx context.Context, dir string) (*Store, error) {
	if _, number, _ := sqlite3.Version(); number < minSQLite {
		return nil, fmt.Errorf("store: SQLite %d is older than %d", number, minSQLite)
	}
	lock, err := lockDirectory(dir)
	if err != nil {
		return nil, err
	}
	s := &Store{lock: lock}
	if err := s.open(ctx, filepath.Join(dir, "rootledger.db")); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// OpenReadOnly opens the database in dir for reading, beside a running server.
func OpenReadOnly(ctx context.Context, dir string) (*Store, error) {
	path := filepath.Join(dir, "rootledger.db")
	if _, err := os.Stat(path); err != nil {
		return nil, unusable(dir, err)
	}
	read, err := connect(ctx, path, "ro", readers)
	var sqlite sqlite3.Error
	if errors.As(err, &sqlite) && sqlite.Code == sqlite3.ErrCantOpen {
		return nil, unusable(dir, err)
	}
	if err != nil {
		return nil, err
	}
	s := &Store{read: read}
	s.server.Store(new(Server))
	if err := s.wantSchema(ctx, dir); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// wantSchema fails when a database that is only read lacks a step of the schema:
// no server of this version has opened it yet.
func (s *Store) wantSchema(ctx context.Context, dir string) error {
	steps, err := fs.Glob(migrations.Files, "*.sql")
	if err != nil {
		return fmt.Errorf("store: migrations: %w", err)
	}
	var done int
	err = s.read.QueryRowContext(ctx, `SELECT count(*) FROM goose_db_version WHERE version_id > 0`).Scan(&done)
	var sqlite sqlite3.Error
	none := errors.As(err, &sqlite) && sqlite.Code == sqlite3.ErrError // there is no such table
	if err != nil && !none {
		return fmt.Errorf("store: schema: %w", storeFault(err))
	}
	if done < len(steps) {
		return fault.New(fault.Conflict, "data-older").With("dir", dir)
	}
	return nil
}

// lockDirectory takes the directory for this process until it ends.
func lockDirectory(dir string) (*os.File, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, unusable(dir, err)
	}
	f, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, unusable(dir, err)
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		return nil, errors.Join(fault.New(fault.Conflict, "data-dir-taken").With("dir", dir), f.Close())
	}
	return f, nil
}

func unusable(dir string, err error) error {
	return fmt.Errorf("%w: %w", fault.New(fault.Unavailable, "data-dir-unusable").With("dir", dir).With("cause", err.Error()), err)
}

func (s *Store) open(ctx context.Context, path string) error {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600) // it holds the key of all tokens
	if err != nil {
		return unusable(filepath.Dir(path), err)
	}
	if err := file.Close(); err != nil {
		return unusable(filepath.Dir(path), err)
	}
	if s.write, err = connect(ctx, path, "rw", 1); err != nil {
		return err
	}
	s.writer = newWriter(s.write)
	provider, err := goose.NewProvider(goose.DialectSQLite3, s.write, migrations.Files)
	if err != nil {
		return fmt.Errorf("store: migrations: %w", err)
	}
	if _, err := provider.Up(ctx); err != nil {
		if err = storeFault(err); fault.Of(err) == nil {
			err = unusable(filepath.Dir(path), err)
		}
		return fmt.Errorf("store: migrate: %w", err)
	}
	if s.read, err = connect(ctx, path, "ro", readers); err != nil {
		return err
	}
	server, err := s.loadServer(ctx)
	s.server.Store(&server)
	return err
}

// connect opens a pool whose connections all have the durable pragmas, and
// reads those back.
func connect(ctx context.Context, path, mode string, connections int) (*sql.DB, error) {
	dsn := "file:" + escapePath(path) + "?mode=" + mode +
		"&_journal_mode=WAL&_synchronous=FULL&_busy_timeout=5000&_foreign_keys=1&_txlock=immediate&_stmt_cache_size=100"
	db, err := sql.Open("sqlite3", dsn)
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "5000"} {
		var got string
		if err := db.QueryRowContext(ctx, "PRAGMA "+pragma).Scan(&got); err != nil {
			return nil, errors.Join(fmt.Errorf("store: open %s: %w", path, storeFault(err)), db.Close())
		}
		if got != want {
			return nil, errors.Join(fmt.Errorf("store: %s is %s, not %s", pragma, got, want), db.Close())
		}
	}
	return db, nil
}

func escapePath(path string) string {
	return strings.NewReplacer("%", "%25", "?", "%3f", "#", "%23").Replace(path)
}

// Close closes the database and gives the directory free. What Append said is
// stored stays stored.
func (s *Store) Close() error {
	var errs []error
	if s.read != nil {
		errs = append(errs, s.read.Close())
	}
	if s.write != nil {
		errs = append(errs, s.write.Close())
	}
	if s.lock != nil {
		errs = append(errs, s.lock.Close())
	}
	return errors.Join(errs...)
}

// storeFault gives the failures that a person can mend their words.
func storeFault(err error) error {
	var sqlite sqlite3.Error
	if !errors.As(err, &sqlite) {
		return err
	}
	code := fault.Code("store-failed")
	if sqlite.Code == sqlite3.ErrFull || sqlite.SystemErrno == syscall.ENOSPC {
		code = "disk-full"
	}
	return fmt.Errorf("%w: %w", fault.New(fault.Unavailable, code).With("cause", strconv.Itoa(int(sqlite.ExtendedCode))+" "+sqlite.Error()), err)
}

func random(n int) []byte {
	b := make([]byte, n)
	rand.Read(b) // never fails: crypto/rand ends the program instead
	return b
}
