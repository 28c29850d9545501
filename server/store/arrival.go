package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"
)

// markEvery is how close two marks of one session are at most.
const markEvery = time.Second

// mark notes when the events from a place on arrived, if the one before is a
// while ago. It is called by whoever commits, alone.
func (w *writer) mark(ctx context.Context, tx *sql.Tx, session, first int64, now time.Time) error {
	if now.Sub(w.marked[session]) < markEvery {
		return nil
	}
	_, err := tx.ExecContext(ctx, `INSERT OR REPLACE INTO arrival (session, n, at_ms) VALUES (?, ?, ?)`, session, first, now.UnixMilli())
	return err
}

// Arrivals are the marks of one session: from place N on, counted from 1, events
// arrived at AtMs (ms since 1970, the server's clock) or later, to a second.
type Arrivals []Arrival

// Arrival is one mark.
type Arrival struct {
	N    int64
	AtMs int64
}

// Arrivals lists a session's marks. Events stored before marks were kept have none.
func (s *Store) Arrivals(ctx context.Context, session int64) (out Arrivals, err error) {
	rows, err := s.read.QueryContext(ctx, `SELECT n, at_ms FROM arrival WHERE session = ? ORDER BY n`, session)
	if err != nil {
		return nil, fmt.Errorf("store: arrivals: %w", storeFault(err))
	}
	defer rows.Close()
	for rows.Next() {
		var one Arrival
		if err := rows.Scan(&one.N, &one.AtMs); err != nil {
			return nil, fmt.Errorf("store: arrivals: %w", storeFault(err))
		}
		out = append(out, one)
	}
	return out, rows.Err()
}

// By is how many events had arrived by a time; ok is false when that is not known,
// because the first were stored without marks.
func (a Arrivals) By(ms int64) (n int64, ok bool) {
	if len(a) == 0 || a[0].N != 1 {
		return 0, false
	}
	for i := len(a) - 1; i >= 0; i-- {
		if a[i].AtMs <= ms {
			if i+1 == len(a) {
				return 1<<62 - 1, true
			}
			return a[i+1].N - 1, true
		}
	}
	return 0, true
}

// At is when the n-th event arrived, 0 when that is not known.
func (a Arrivals) At(n int64) (ms int64) {
	for _, one := range a {
		if one.N > n {
			break
		}
		ms = one.AtMs
	}
	return ms
}
