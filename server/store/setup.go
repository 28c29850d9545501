package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"github.com/mattn/go-sqlite3"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Setup is one punch set-up that the clinic saved for itself. Times in ms since
// 1970; RetiredMs is 0 while it is in use. The fact is what is said when it is
// put into a session, and has its name.
type Setup struct {
	ID        int64
	Fact      *event.Setup
	SavedMs   int64
	RetiredMs int64
}

// MaxSetups is how many set-ups may be in use at once: more than a list that a
// person reads.
const MaxSetups = 100

// Setups lists the set-ups in use by name, then those that were retired, the
// newest first, at most MaxSetups of them.
func (s *Store) Setups(ctx context.Context) ([]Setup, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT id, fact, saved_ms, retired_ms FROM setup
		ORDER BY retired_ms > 0, retired_ms DESC, name COLLATE NOCASE LIMIT ?`, 2*MaxSetups)
	if err != nil {
		return nil, fmt.Errorf("store: set-ups: %w", storeFault(err))
	}
	defer rows.Close()
	out := []Setup{}
	for rows.Next() {
		one, err := scanSetup(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return out, rows.Err()
}

func scanSetup(row interface{ Scan(...any) error }) (Setup, error) {
	var s Setup
	var raw []byte
	if err := row.Scan(&s.ID, &raw, &s.SavedMs, &s.RetiredMs); err != nil {
		return Setup{}, fmt.Errorf("store: set-up: %w", err)
	}
	fact, ok := event.DecodeFact(event.KindSetup, raw).(*event.Setup)
	if !ok {
		return Setup{}, fmt.Errorf("store: set-up %d: its fact can not be read", s.ID)
	}
	s.Fact = fact
	return s, nil
}

// SaveSetup keeps a valid set-up: a new one for id 0, else another state of the
// one with that id, which is then in use. It fails in words when another one in
// use has its name, or when there are too many.
func (s *Store) SaveSetup(ctx context.Context, id int64, fact *event.Setup, nowMs int64) (Setup, error) {
	var others int
	err := s.read.QueryRowContext(ctx, `SELECT count(*) FROM setup WHERE retired_ms = 0 AND id <> ?`, id).Scan(&others)
	if err != nil {
		return Setup{}, fmt.Errorf("store: save set-up: %w", storeFault(err))
	}
	if others >= MaxSetups {
		return Setup{}, fault.New(fault.TooMuch, "saved-many").WithInt("max", MaxSetups)
	}
	raw := event.EncodeFact(fact)
	if id == 0 {
		return s.oneSetup(ctx, fact.Name, `INSERT INTO setup (name, fact, saved_ms) VALUES (?, ?, ?)
			RETURNING id, fact, saved_ms, retired_ms`, fact.Name, raw, nowMs)
	}
	return s.oneSetup(ctx, fact.Name, `UPDATE setup SET name = ?, fact = ?, saved_ms = ?, retired_ms = 0 WHERE id = ?
		RETURNING id, fact, saved_ms, retired_ms`, fact.Name, raw, nowMs, id)
}

// RetireSetup takes a set-up out of use. It stays in the list, and sessions that
// had it keep it; doing it twice changes nothing.
func (s *Store) RetireSetup(ctx context.Context, id, nowMs int64) (Setup, error) {
	return s.oneSetup(ctx, "", `UPDATE setup SET retired_ms = CASE retired_ms WHEN 0 THEN ? ELSE retired_ms END WHERE id = ?
		RETURNING id, fact, saved_ms, retired_ms`, nowMs, id)
}

// oneSetup runs a statement that returns the set-up that it changed.
func (s *Store) oneSetup(ctx context.Context, name, statement string, args ...any) (Setup, error) {
	out, err := scanSetup(s.write.QueryRowContext(ctx, statement, args...))
	var sqlite sqlite3.Error
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return Setup{}, fault.New(fault.Missing, "saved-missing")
	case errors.As(err, &sqlite) && sqlite.ExtendedCode == sqlite3.ErrConstraintUnique:
		return Setup{}, fault.New(fault.Conflict, "saved-taken").With("label", name)
	case err != nil:
		return Setup{}, fmt.Errorf("store: set-up: %w", storeFault(err))
	}
	return out, nil
}
