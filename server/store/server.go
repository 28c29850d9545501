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
func (s *Store) Server() Server { return s.server }

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
