package store

import (
	"context"
	"database/sql"
	"fmt"

	"rootledger/shared/event"
)

// rowsAtOnce is how many events one statement inserts: past this, the cost of
// a statement no longer shows beside that of its rows.
const rowsAtOnce = 64

// Append stores events of one session behind those that it has; first is the
// place of the first, counted from 1. When it returns nil they survive a power
// cut; otherwise none of them is stored. Callers at the same time share commits.
func (s *Store) Append(ctx context.Context, session int64, first int64, events []*event.Event) error {
	return s.writer.do(ctx, &job{session: session, first: first, events: events})
}

func insertEvents(ctx context.Context, tx *sql.Tx, session, first int64, events []*event.Event) error {
	for from := 0; from < len(events); from += rowsAtOnce {
		some := events[from:min(from+rowsAtOnce, len(events))]
		args := append(make([]any, 0, 2+3*len(some)), session, first+int64(from))
		for _, e := range some {
			args = append(args, e.Replica[:], int64(e.Seq), e.Body)
			if err := noteSession(ctx, tx, session, e); err != nil {
				return err
			}
		}
		if _, err := tx.ExecContext(ctx, insertSQL[len(some)-1], args...); err != nil {
			return err
		}
	}
	return nil
}

// insertSQL has the statement for 1..rowsAtOnce rows: the session, the place of
// the first, then replica, seq and body of each.
var insertSQL = func() (out [rowsAtOnce]string) {
	rows := `INSERT INTO event (session, n, replica, seq, body) VALUES `
	for i := range out {
		rows += fmt.Sprintf(`(?1,?2+%d,?%d,?%d,?%d)`, i, 3*i+3, 3*i+4, 3*i+5)
		out[i] = rows
		rows += `,`
	}
	return out
}()

// EventsOf calls each with every event of a session, in the order of arrival.
func (s *Store) EventsOf(ctx context.Context, session int64, each func(*event.Event) error) error {
	rows, err := s.read.QueryContext(ctx, `SELECT n, body FROM event WHERE session = ? ORDER BY n`, session)
	if err != nil {
		return fmt.Errorf("store: events: %w", storeFault(err))
	}
	defer rows.Close()
	for want := int64(1); rows.Next(); want++ {
		var n int64
		var body []byte
		if err := rows.Scan(&n, &body); err != nil {
			return fmt.Errorf("store: events: %w", err)
		}
		if n != want {
			return fmt.Errorf("store: session %d has a gap before event %d", session, n)
		}
		e, err := event.Decode(body)
		if err != nil {
			return fmt.Errorf("store: event %d: %w", n, err)
		}
		if err := each(e); err != nil {
			return err
		}
	}
	if err := rows.Err(); err != nil {
		return fmt.Errorf("store: events: %w", storeFault(err))
	}
	return nil
}
