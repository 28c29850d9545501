// Package practice is a room of phones written in Go: real sockets, real
// engine, made-up people. It plays a whole day against a server and compares
// what people did with what the wall and the sheet say. Tests and benchmarks
// use the same phones.
package practice

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// API speaks to one server over HTTP.
type API struct {
	Base   string // http://host:port
	Office string // the office token, "" for a phone's own API
	http   http.Client
}

// NewAPI returns an API for the server at base.
func NewAPI(base, office string) *API {
	return &API{Base: strings.TrimSuffix(base, "/"), Office: office, http: http.Client{Timeout: 30 * time.Second}}
}

// Pass is what a phone was given when it joined.
type Pass struct {
	Session   event.SessionID `json:"session"`
	Room      string          `json:"room"`
	Token     string          `json:"token"`
	ExpiresMs int64           `json:"expiresMs"`
	Secret    string          `json:"secret"`
}

// Room is what a wall is told of a room.
type Room struct {
	Session event.SessionID `json:"session"`
	Case    string          `json:"case"`
	Code    string          `json:"code"`
}

// Join lets a phone in with the code on the wall.
func (a *API) Join(ctx context.Context, code string, phone event.PhoneID, replica event.ReplicaID) (Pass, error) {
	return call[Pass](ctx, a, "/api/join", map[string]any{"code": code, "phone": phone, "replica": replica})
}

// JoinOffice lets the office or a lead in with the office token.
func (a *API) JoinOffice(ctx context.Context, session event.SessionID, phone event.PhoneID, replica event.ReplicaID) (Pass, error) {
	return call[Pass](ctx, a, "/api/join", map[string]any{"office": a.Office, "session": session, "phone": phone, "replica": replica})
}

// Renew gets a new token for a phone that knows its secret.
func (a *API) Renew(ctx context.Context, p Pass, phone event.PhoneID, replica event.ReplicaID) (Pass, error) {
	return call[Pass](ctx, a, "/api/token", map[string]any{"session": p.Session, "secret": p.Secret, "phone": phone, "replica": replica})
}

// CreateSession makes room for a session.
func (a *API) CreateSession(ctx context.Context, session event.SessionID, room string) error {
	_, err := call[json.RawMessage](ctx, a, "/api/sessions", map[string]any{"session": session, "room": room})
	return err
}

// BringBack makes a session anew that the server lost; phones refill it.
func (a *API) BringBack(ctx context.Context, session event.SessionID, room string) error {
	_, err := call[json.RawMessage](ctx, a, "/api/sessions", map[string]any{"session": session, "room": room, "refill": true})
	return err
}

// Gaps is what is missing of a session that is refilled.
type Gaps struct {
	RefilledMs int64 `json:"refilledMs"`
	OlderMs    int64 `json:"olderMs"`
	Gaps       []Gap `json:"gaps"`
}

// Gap is the entries From..To under one replica id.
type Gap struct {
	Replica  event.ReplicaID `json:"replica"`
	Person   string          `json:"person"`
	Station  string          `json:"station"`
	From, To uint64
	Events   uint64 `json:"events"`
}

// Gaps asks what is missing of a session.
func (a *API) Gaps(ctx context.Context, session event.SessionID) (Gaps, error) {
	return call[Gaps](ctx, a, "/api/sessions/"+session.String()+"/gaps", nil)
}

// EndRefill ends the refilling of a session.
func (a *API) EndRefill(ctx context.Context, session event.SessionID) (Gaps, error) {
	return call[Gaps](ctx, a, "/api/sessions/"+session.String()+"/refilled", map[string]any{})
}

// Room asks what runs in a room, and its join code.
func (a *API) Room(ctx context.Context, room string) (Room, error) {
	return call[Room](ctx, a, "/api/rooms/"+room, nil)
}

// Sheet downloads a session's record: ext is "csv" or "jsonl".
func (a *API) Sheet(ctx context.Context, session event.SessionID, ext string) ([]byte, error) {
	return a.do(ctx, "/api/sessions/"+session.String()+"/sheet."+ext, nil)
}

func call[T any](ctx context.Context, a *API, path string, in any) (out T, err error) {
	text, err := a.do(ctx, path, in)
	if err != nil {
		return out, err
	}
	if err := json.Unmarshal(text, &out); err != nil {
		return out, fmt.Errorf("practice: %s: %w", path, err)
	}
	return out, nil
}

// do sends a GET, or a POST when there is something to send. An answer that is
// a fault comes back as one.
func (a *API) do(ctx context.Context, path string, in any) ([]byte, error) {
	method, body := http.MethodGet, io.Reader(nil)
	if in != nil {
		text, err := json.Marshal(in)
		if err != nil {
			return nil, fmt.Errorf("practice: %s: %w", path, err)
		}
		method, body = http.MethodPost, bytes.NewReader(text)
	}
	request, err := http.NewRequestWithContext(ctx, method, a.Base+path, body)
	if err != nil {
		return nil, fmt.Errorf("practice: %s: %w", path, err)
	}
	request.Header.Set("Content-Type", "application/json")
	if a.Office != "" {
		request.Header.Set("Authorization", "Bearer "+a.Office)
	}
	response, err := a.http.Do(request)
	if err != nil {
		return nil, fmt.Errorf("practice: %s: %w", path, err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		return nil, fmt.Errorf("practice: %s: %w", path, err)
	}
	if response.StatusCode >= 300 {
		return nil, readFault(path, response.StatusCode, text)
	}
	return text, nil
}

func readFault(path string, status int, text []byte) error {
	var answer struct {
		Code    fault.Code        `json:"code"`
		Args    map[string]string `json:"args"`
		Message string            `json:"message"`
	}
	if err := json.Unmarshal(text, &answer); err != nil || answer.Code == "" {
		return fmt.Errorf("practice: %s: status %d: %.200s", path, status, text)
	}
	f := fault.New(fault.Unavailable, answer.Code)
	for name, value := range answer.Args {
		f = f.With(name, value)
	}
	return fmt.Errorf("%w: practice: %s: status %d: %s", f, path, status, answer.Message)
}
