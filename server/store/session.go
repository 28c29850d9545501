package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Session is one session in a list. Times in ms since 1970, 0 for not yet.
type Session struct {
	Row       int64           `json:"-"`
	ID        event.SessionID `json:"session"`
	Room      string          `json:"room"`
	Case      string          `json:"case"`
	Practice  bool            `json:"practice"`
	CreatedMs int64           `json:"createdMs"`
	OpenedMs  int64           `json:"openedMs"`
	EndedMs   int64           `json:"endedMs"`
	// RefilledMs is since when the office lets phones bring back what anyone wrote.
	RefilledMs int64 `json:"refilledMs"`
	// OlderMs is since when the database is known to have less than it told:
	// phones may bring back what anyone counted.
	OlderMs int64 `json:"olderMs"`
}

const sessionColumns = `id, session, room, case_code, practice, created_ms, opened_ms, ended_ms, refilled_ms, older_ms`

func scanSession(row interface{ Scan(...any) error }) (Session, error) {
	var s Session
	var id []byte
	err := row.Scan(&s.Row, &id, &s.Room, &s.Case, &s.Practice, &s.CreatedMs, &s.OpenedMs, &s.EndedMs, &s.RefilledMs, &s.OlderMs)
	if err == nil {
		s.ID = event.SessionID(id)
	}
	return s, err
}

// CreateSession makes room for a session's events; with refill it is one that
// was lost here, and phones bring back what anyone wrote. Doing it twice is no
// error; it changes a session only that is known to have less than it told.
func (s *Store) CreateSession(ctx context.Context, id event.SessionID, room string, nowMs int64, refill bool) error {
	refilledMs := int64(0)
	if refill {
		refilledMs = nowMs
	}
	_, err := s.write.ExecContext(ctx,
		`INSERT INTO session (session, room, created_ms, refilled_ms) VALUES (?, ?, ?, ?)
			ON CONFLICT (session) DO UPDATE SET refilled_ms = excluded.refilled_ms WHERE excluded.refilled_ms > 0 AND older_ms > 0`,
		id[:], room, nowMs, refilledMs)
	if err != nil {
		return fmt.Errorf("store: create session: %w", storeFault(err))
	}
	return nil
}

// EndRefill has a session take again only what the enrolled may bring.
func (s *Store) EndRefill(ctx context.Context, id event.SessionID) error {
	if _, err := s.write.ExecContext(ctx, `UPDATE session SET refilled_ms = 0, older_ms = 0 WHERE session = ?`, id[:]); err != nil {
		return fmt.Errorf("store: end refill: %w", storeFault(err))
	}
	return nil
}

// Session returns one session, or a fault when there is none.
func (s *Store) Session(ctx context.Context, id event.SessionID) (Session, error) {
	return s.oneSession(ctx, `WHERE session = ?`, id[:])
}

// Current returns a room's running session; where none runs, or only practice,
// the newest.
func (s *Store) Current(ctx context.Context, room string) (Session, error) {
	return s.oneSession(ctx, `WHERE room = ? ORDER BY ended_ms <> 0 OR practice <> 0, id DESC LIMIT 1`, room)
}

// SessionByCase returns the newest session with this case code, a real one
// before any of practice.
func (s *Store) SessionByCase(ctx context.Context, code string) (Session, error) {
	return s.oneSession(ctx, `WHERE case_code = ? ORDER BY practice, id DESC LIMIT 1`, code)
}

func (s *Store) oneSession(ctx context.Context, where string, args ...any) (Session, error) {
	row, err := scanSession(s.read.QueryRowContext(ctx, `SELECT `+sessionColumns+` FROM session `+where, args...))
	if errors.Is(err, sql.ErrNoRows) {
		return Session{}, fault.New(fault.Missing, "session-missing")
	}
	if err != nil {
		return Session{}, fmt.Errorf("store: session: %w", err)
	}
	return row, nil
}

// Sessions lists the newest sessions first, at most limit.
func (s *Store) Sessions(ctx context.Context, limit int) ([]Session, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+sessionColumns+` FROM session ORDER BY id DESC LIMIT ?`, limit)
	if err != nil {
		return nil, fmt.Errorf("store: sessions: %w", err)
	}
	defer rows.Close()
	out := []Session{}
	for rows.Next() {
		one, err := scanSession(rows)
		if err != nil {
			return nil, fmt.Errorf("store: sessions: %w", err)
		}
		out = append(out, one)
	}
	return out, rows.Err()
}

// noteSession repeats in the list what an event says of its session.
func noteSession(ctx context.Context, tx *sql.Tx, row int64, e *event.Event) error {
	if e.Valid() != nil {
		return nil
	}
	var err error
	switch f := e.Fact.(type) {
	case *event.Opened:
		_, err = tx.ExecContext(ctx, `UPDATE session SET case_code = ?, practice = ?, opened_ms = ? WHERE id = ? AND opened_ms = 0`,
			f.Case, f.Practice.Speed > 0, e.Stamp.Ms(), row)
	case *event.Ended:
		_, err = tx.ExecContext(ctx, `UPDATE session SET ended_ms = ? WHERE id = ? AND ended_ms = 0`, e.Stamp.Ms(), row)
	}
	return err
}
