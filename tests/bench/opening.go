package main

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"rootledger/tests/bench/laden"
)

// opening is how many events a room has that is opened.
const opening = 100_000

func openingMeasurements(settings) []measurement {
	return []measurement{{"P6", "server start and a room of 100,000 events opened, until a phone is welcome", "WAL, FULL", openLarge}}
}

// openLarge fills a room, ends its server, and starts another on the same data.
// The limit is to read the bodies from the database and nothing else.
func openLarge(dir string) (f figures, err error) {
	phone, err := fill(dir)
	if err != nil {
		return figures{}, err
	}
	best, err := readBodies(filepath.Join(dir, "rootledger.db"))
	if err != nil {
		return figures{}, err
	}
	began := time.Now()
	s, err := startServer(dir)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, s.end()) }()
	ctx, cancel := context.WithTimeout(s.ctx, patience)
	defer cancel()
	if err := phone.ConnectTo(ctx, "http://"+s.serving.Addr); err != nil {
		return figures{}, err
	}
	took := time.Since(began)
	phone.Leave()
	if stored := phone.Stored(); stored != opening {
		return figures{}, fmt.Errorf("bench: the room has %d of %d events", stored, opening)
	}
	f = timed([]time.Duration{took})
	f.Limit = millis(best)
	return f, nil
}

// fill is a room with the events of one phone, its server ended.
func fill(dir string) (phone *laden.Phone, err error) {
	r, err := newRoom(dir)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, r.end()) }()
	if phone, err = r.laden(opening); err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(r.ctx, patience)
	defer cancel()
	return phone, phone.Bring(ctx)
}

func readBodies(path string) (took time.Duration, err error) {
	began := time.Now()
	db, err := sql.Open("sqlite3", "file:"+path+"?mode=ro")
	if err != nil {
		return 0, fmt.Errorf("bench: %w", err)
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	rows, err := db.Query(`SELECT body FROM event ORDER BY session, n`)
	if err != nil {
		return 0, fmt.Errorf("bench: %w", err)
	}
	defer rows.Close()
	var body []byte
	n := 0
	for ; rows.Next(); n++ {
		if err := rows.Scan(&body); err != nil {
			return 0, fmt.Errorf("bench: %w", err)
		}
	}
	if n < opening {
		return 0, fmt.Errorf("bench: %d bodies, not %d", n, opening)
	}
	return time.Since(began), rows.Err()
}
