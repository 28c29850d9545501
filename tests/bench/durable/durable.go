// Package durable opens SQLite the one way in which everything measured here
// that says "synced" opens it: a write-ahead log that is forced to the disk at
// each commit. It reads the settings back, so that no figure rests on a
// setting that did not take.
package durable

import (
	"database/sql"
	"errors"
	"fmt"
	"net/url"

	_ "github.com/mattn/go-sqlite3" // the driver
)

// full is what SQLite answers for synchronous=FULL.
const full = "2"

// Open opens or makes the database at path with one connection, and runs the
// schema. It fails when the journal is not WAL or synchronous is not FULL.
func Open(path, schema string) (*sql.DB, error) {
	name := url.URL{Scheme: "file", OmitHost: true, Path: path,
		RawQuery: "_journal_mode=WAL&_synchronous=FULL&_busy_timeout=5000&_txlock=immediate"}
	db, err := sql.Open("sqlite3", name.String())
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	db.SetMaxOpenConns(1)
	if err := errors.Join(holds(db, "journal_mode", "wal"), holds(db, "synchronous", full)); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	if _, err := db.Exec(schema); err != nil {
		return nil, errors.Join(fmt.Errorf("schema: %w", err), db.Close())
	}
	return db, nil
}

func holds(db *sql.DB, pragma, want string) error {
	var got string
	if err := db.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil {
		return fmt.Errorf("read %s: %w", pragma, err)
	}
	if got != want {
		return fmt.Errorf("%s is %q, want %q", pragma, got, want)
	}
	return nil
}
