package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"rootledger/shared/event"
)

// Server is who this database is.
type Server struct {
	Epoch   [16]byte        // changes when the database is lost or restored
	Replica event.ReplicaID // the server's own, for what it writes itself
	JWTKey  []byte          // 32 bytes
}

// Server returns who this database is.
func (s *Store) Server() Server { return *s.server.Load() }

// Renew gives this database a new epoch and replica id, for it was found to be
// older than what it had told, and lets phones bring back what anyone counted.
func (s *Store) Renew(ctx context.Context, nowMs int64) error {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("store: renew: %w", storeFault(err))
	}
	defer tx.Rollback()
	fresh := s.Server()
	fresh.Epoch, fresh.Replica = [16]byte(random(16)), event.ReplicaID(random(8))
	if _, err := tx.ExecContext(ctx, `UPDATE server SET epoch = ?, replica = ?`, fresh.Epoch[:], fresh.Replica[:]); err != nil {
		return fmt.Errorf("store: renew: %w", storeFault(err))
	}
	if _, err := tx.ExecContext(ctx, `UPDATE session SET older_ms = ? WHERE older_ms = 0`, nowMs); err != nil {
		return fmt.Errorf("store: renew: %w", storeFault(err))
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("store: renew: %w", storeFault(err))
	}
	s.server.Store(&fresh)
	return nil
}

func (s *Store) loadServer(ctx context.Context) (Server, error) {
	row, err := s.readServer(ctx)
	if !errors.Is(err, sql.ErrNoRows) {
		return row, err
	}
	_, err = s.write.ExecContext(ctx, `INSERT INTO server (id, epoch, replica, jwt_key) VALUES (1, ?, ?, ?)`,
		random(16), random(8), random(32))
	if err != nil {
		return Server{}, fmt.Errorf("store: first start: %w", storeFault(err))
	}
	return s.readServer(ctx)
}

func (s *Store) readServer(ctx context.Context) (Server, error) {
	var epoch, replica, key []byte
	err := s.write.QueryRowContext(ctx, `SELECT epoch, replica, jwt_key FROM server`).Scan(&epoch, &replica, &key)
	if err != nil {
		return Server{}, fmt.Errorf("store: server: %w", err)
	}
	return Server{[16]byte(epoch), event.ReplicaID(replica), key}, nil
}
