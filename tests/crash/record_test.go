package crash

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"

	_ "github.com/mattn/go-sqlite3" // the driver

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// sound asks SQLite whether the database in dir is whole, reading only.
func sound(ctx context.Context, dir string) (err error) {
	db, err := sql.Open("sqlite3", "file:"+filepath.Join(dir, "rootledger.db")+"?mode=ro&_busy_timeout=5000")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	db.SetMaxOpenConns(1)
	var verdict string
	if err := db.QueryRowContext(ctx, `PRAGMA integrity_check`).Scan(&verdict); err != nil {
		return fmt.Errorf("integrity check: %w", err)
	}
	if verdict != "ok" {
		return fmt.Errorf("integrity check: %s", verdict)
	}
	rows, err := db.QueryContext(ctx, `PRAGMA foreign_key_check`)
	if err != nil {
		return fmt.Errorf("foreign key check: %w", err)
	}
	defer rows.Close()
	if rows.Next() {
		return errors.New("foreign key check: a row names one that is not there")
	}
	return rows.Err()
}

// arrived reads the events of a session in the order of arrival, reading only.
// A session that is not there has none.
func arrived(ctx context.Context, dir string, id event.SessionID) (events []*event.Event, err error) {
	s, err := store.OpenReadOnly(ctx, dir)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return eventsIn(ctx, s, id)
}

func eventsIn(ctx context.Context, s *store.Store, id event.SessionID) (events []*event.Event, err error) {
	row, err := s.Session(ctx, id)
	if fault.Is(err, "session-missing") {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	err = s.EventsOf(ctx, row.Row, func(e *event.Event) error {
		events = append(events, e)
		return nil
	})
	return events, err
}

// linked wants each event to follow the one before it in its own chain, and
// returns the last seq of each replica.
func linked(events []*event.Event) (map[event.ReplicaID]uint64, error) {
	heads := map[event.ReplicaID]uint64{}
	hashes := map[event.ReplicaID]event.Hash{}
	for i, e := range events {
		if e.Seq != heads[e.Replica]+1 || e.Prev != hashes[e.Replica] {
			return nil, fmt.Errorf("event %d, %s:%d, does not follow %s:%d", i+1, e.Replica, e.Seq, e.Replica, heads[e.Replica])
		}
		heads[e.Replica], hashes[e.Replica] = e.Seq, e.Hash
	}
	return heads, nil
}

// begins wants events to begin with the whole of earlier.
func begins(events, earlier []*event.Event) error {
	if len(events) < len(earlier) {
		return fmt.Errorf("%d events were stored and only %d are left", len(earlier), len(events))
	}
	for i, e := range earlier {
		if events[i].Hash != e.Hash {
			return fmt.Errorf("event %d was %s:%d and now is %s:%d", i+1, e.Replica, e.Seq, events[i].Replica, events[i].Seq)
		}
	}
	return nil
}
