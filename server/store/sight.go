package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"rootledger/shared/fault"
)

// Sight is how large a room's wall is and from how far it is read.
type Sight struct {
	DiagonalMM int64 `json:"diagonalMm"`
	DistanceMM int64 `json:"distanceMm"`
}

// What a wall may be: a tablet in the hand to a projection, seen across a hall.
const (
	minDiagonalMM, maxDiagonalMM = 200, 8000
	minDistanceMM, maxDistanceMM = 300, 30_000
)

// Validate refuses what is no wall.
func (s Sight) Validate() error {
	if s.DiagonalMM < minDiagonalMM || s.DiagonalMM > maxDiagonalMM || s.DistanceMM < minDistanceMM || s.DistanceMM > maxDistanceMM {
		return fault.New(fault.Invalid, "sight-range")
	}
	return nil
}

// Sight reads a room's, zeros when nobody said any.
func (s *Store) Sight(ctx context.Context, room string) (out Sight, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT diagonal_mm, distance_mm FROM sight WHERE room = ?`, room).Scan(&out.DiagonalMM, &out.DistanceMM)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return Sight{}, nil
	case err != nil:
		return Sight{}, fmt.Errorf("store: sight: %w", storeFault(err))
	}
	return out, nil
}

// SaveSight keeps a room's, which is valid, in the place of the one before.
func (s *Store) SaveSight(ctx context.Context, room string, to Sight) error {
	_, err := s.write.ExecContext(ctx, `INSERT INTO sight (room, diagonal_mm, distance_mm) VALUES (?, ?, ?)
		ON CONFLICT (room) DO UPDATE SET diagonal_mm = excluded.diagonal_mm, distance_mm = excluded.distance_mm`,
		room, to.DiagonalMM, to.DistanceMM)
	if err != nil {
		return fmt.Errorf("store: save sight: %w", storeFault(err))
	}
	return nil
}
