// Package auth decides who may speak for which replica: join codes on the
// wall, short-lived tokens for sockets, and the office token of this data
// directory. No one logs in at a station, and an expired token loses no count.
package auth

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Role is what a token lets its holder do.
type Role string

// The roles until they are events themselves: a phone counts; the office also
// opens sessions, leads, and downloads.
const (
	RolePhone  Role = "phone"
	RoleOffice Role = "office"
)

// TokenLasts is how long a socket token is good for; the app renews it.
const TokenLasts = 15 * time.Minute

const (
	issuer   = "rootledger"
	audience = "rootledger-sync"
)

// Auth issues and checks tokens. It is safe for use by several goroutines.
type Auth struct {
	store  *store.Store
	key    []byte
	clock  func() time.Time
	office string
	Codes  *Codes
}

// New returns an Auth that signs with the database's own key. office is the
// token of this data directory (OfficeToken).
func New(s *store.Store, office string, clock func() time.Time) *Auth {
	return &Auth{store: s, key: s.Server().JWTKey, clock: clock, office: office, Codes: NewCodes(clock)}
}

// Claims is what a token says: this replica, of this session, in this role.
type Claims struct {
	Replica event.ReplicaID `json:"replica"`
	Session event.SessionID `json:"session"`
	Role    Role            `json:"role"`
	jwt.RegisteredClaims
}

// Issue signs a token for a replica that was let in.
func (a *Auth) Issue(session event.SessionID, replica event.ReplicaID, role Role) (token string, expires time.Time, err error) {
	now := a.clock()
	expires = now.Add(TokenLasts)
	claims := Claims{Replica: replica, Session: session, Role: role, RegisteredClaims: jwt.RegisteredClaims{
		Issuer: issuer, Audience: jwt.ClaimStrings{audience}, Subject: replica.String(),
		IssuedAt: jwt.NewNumericDate(now), ExpiresAt: jwt.NewNumericDate(expires)}}
	token, err = jwt.NewWithClaims(jwt.SigningMethodHS256, claims).SignedString(a.key)
	if err != nil {
		return "", time.Time{}, fmt.Errorf("auth: sign: %w", err)
	}
	return token, expires, nil
}

// Check reads a token back. Method, issuer, audience and expiry are pinned.
func (a *Auth) Check(token string) (Claims, error) {
	var claims Claims
	_, err := jwt.ParseWithClaims(token, &claims, func(*jwt.Token) (any, error) { return a.key, nil },
		jwt.WithValidMethods([]string{jwt.SigningMethodHS256.Alg()}), jwt.WithIssuer(issuer), jwt.WithAudience(audience),
		jwt.WithExpirationRequired(), jwt.WithIssuedAt(), jwt.WithLeeway(time.Minute), jwt.WithTimeFunc(a.clock))
	if err != nil {
		return Claims{}, fmt.Errorf("%w: %w", fault.New(fault.Denied, "token-refused"), err)
	}
	if claims.Subject != claims.Replica.String() {
		return Claims{}, fault.New(fault.Denied, "token-refused")
	}
	return claims, nil
}

// Grant is what a phone gets when it is let in.
type Grant struct {
	Token   string
	Expires time.Time
	Secret  string // with which this phone renews its token; told once
}

// Enrol lets a replica of a phone into a session and gives it a token and a secret.
func (a *Auth) Enrol(ctx context.Context, s store.Session, phone event.PhoneID, replica event.ReplicaID, role Role) (Grant, error) {
	var raw [32]byte
	rand.Read(raw[:])
	secret := hex.EncodeToString(raw[:])
	return a.grant(ctx, s, phone, replica, role, secret)
}

// Renew gives a phone that knows its secret a new token, also for another
// replica id of its own.
func (a *Auth) Renew(ctx context.Context, s store.Session, phone event.PhoneID, replica event.ReplicaID, secret string) (Grant, error) {
	role, found, err := a.store.PhoneRole(ctx, s.Row, phone, sha256.Sum256([]byte(secret)))
	if err != nil {
		return Grant{}, err
	}
	if !found {
		return Grant{}, fault.New(fault.Denied, "secret-refused")
	}
	return a.grant(ctx, s, phone, replica, Role(role), secret)
}

func (a *Auth) grant(ctx context.Context, s store.Session, phone event.PhoneID, replica event.ReplicaID, role Role, secret string) (Grant, error) {
	err := a.store.Enrol(ctx, s.Row, store.Enrolment{Replica: replica, Phone: phone, Role: string(role),
		SecretHash: sha256.Sum256([]byte(secret))}, a.clock().UnixMilli())
	if err != nil {
		return Grant{}, err
	}
	token, expires, err := a.Issue(s.ID, replica, role)
	return Grant{token, expires, secret}, err
}
