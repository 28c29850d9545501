package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Enrolment is one replica that was let in.
type Enrolment struct {
	Replica    event.ReplicaID
	Phone      event.PhoneID
	Role       string
	SecretHash [32]byte
}

// MaxIDs is how many ids one phone may count under in a session: it takes a new
// one only when it finds out that it was copied, or joins again.
const MaxIDs = 64

// Enrol lets a replica of a phone in. One that is in already is refused, unless
// it comes from the same phone with the same secret.
func (s *Store) Enrol(ctx context.Context, session int64, e Enrolment, nowMs int64) error {
	var others int
	err := s.read.QueryRowContext(ctx, `SELECT COUNT(*) FROM replica WHERE session = ? AND phone = ? AND replica <> ?`,
		session, e.Phone[:], e.Replica[:]).Scan(&others)
	if err != nil {
		return fmt.Errorf("store: enrol: %w", storeFault(err))
	}
	if others >= MaxIDs {
		return fault.New(fault.TooMuch, "ids-many").WithInt("max", MaxIDs)
	}
	result, err := s.write.ExecContext(ctx, `INSERT INTO replica (session, replica, phone, role, secret_hash, enrolled_ms)
		VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (session, replica) DO UPDATE SET role = excluded.role
		WHERE phone = excluded.phone AND secret_hash = excluded.secret_hash`,
		session, e.Replica[:], e.Phone[:], e.Role, e.SecretHash[:], nowMs)
	if err != nil {
		return fmt.Errorf("store: enrol: %w", storeFault(err))
	}
	if changed, err := result.RowsAffected(); err != nil || changed == 0 {
		return errors.Join(fault.New(fault.Conflict, "replica-taken"), err)
	}
	return nil
}

// Enrolments lists every replica that was let into a session.
func (s *Store) Enrolments(ctx context.Context, session int64) ([]Enrolment, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT replica, phone, role, secret_hash FROM replica WHERE session = ?`, session)
	if err != nil {
		return nil, fmt.Errorf("store: enrolments: %w", storeFault(err))
	}
	defer rows.Close()
	var out []Enrolment
	for rows.Next() {
		var replica, phone, hash []byte
		var e Enrolment
		if err := rows.Scan(&replica, &phone, &e.Role, &hash); err != nil {
			return nil, fmt.Errorf("store: enrolments: %w", err)
		}
		e.Replica, e.Phone, e.SecretHash = event.ReplicaID(replica), event.PhoneID(phone), [32]byte(hash)
		out = append(out, e)
	}
	return out, rows.Err()
}

// PhoneRole finds a phone by its secret; found is false when no replica of that
// phone was let in with it.
func (s *Store) PhoneRole(ctx context.Context, session int64, phone event.PhoneID, secretHash [32]byte) (role string, found bool, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT role FROM replica WHERE session = ? AND phone = ? AND secret_hash = ? LIMIT 1`,
		session, phone[:], secretHash[:]).Scan(&role)
	if errors.Is(err, sql.ErrNoRows) {
		return "", false, nil
	}
	if err != nil {
		return "", false, fmt.Errorf("store: phone: %w", storeFault(err))
	}
	return role, true, nil
}
