package web

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"rootledger/server/lan"
	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// sessionsListed is how many sessions the list goes back: a busy year.
const sessionsListed = 1000

// officeOnly lets a request with the office token through, from the header or
// from a link.
func (s *Server) officeOnly(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		token := strings.TrimPrefix(c.Request().Header.Get(echo.HeaderAuthorization), "Bearer ")
		if token == "" {
			token = c.QueryParam("token")
		}
		if err := s.Auth.Office(token); err != nil {
			return s.tries.failed(c.RealIP(), err)
		}
		return next(c)
	}
}

func (s *Server) sessions(c echo.Context) error {
	list, err := s.Store.Sessions(c.Request().Context(), sessionsListed)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, list)
}

// createSession makes room for a session; its first event, by the office,
// opens it.
func (s *Server) createSession(c echo.Context) error {
	var in struct {
		Session event.SessionID `json:"session"`
		Room    string          `json:"room"`
		Refill  bool            `json:"refill"` // it was lost here: phones bring back what anyone wrote
	}
	if err := c.Bind(&in); err != nil {
		return damagedRequest("JSON")
	}
	if in.Session == (event.SessionID{}) {
		return damagedRequest("session")
	}
	if !event.IsLabel(in.Room) {
		return fault.New(fault.Invalid, "room-name").WithInt("max", event.MaxLabel)
	}
	ctx := c.Request().Context()
	running, err := s.Store.Current(ctx, in.Room)
	switch {
	case err != nil && !fault.Is(err, "session-missing"):
		return err
	case err == nil && running.ID != in.Session && running.OpenedMs > 0 && running.EndedMs == 0 && !running.Practice:
		return fault.New(fault.Conflict, "room-busy").With("room", in.Room).With("case", running.Case)
	}
	if err := s.Store.CreateSession(ctx, in.Session, in.Room, s.Clock().UnixMilli(), in.Refill); err != nil {
		return err
	}
	if in.Refill {
		room, err := s.Hub.Room(ctx, in.Session)
		if err != nil {
			return err
		}
		if err := room.Reread(ctx); err != nil {
			return err
		}
	}
	row, err := s.Store.Session(ctx, in.Session)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, row)
}

// roomAnswer is what a wall needs to begin.
type roomAnswer struct {
	store.Session
	Sight       store.Sight `json:"sight"`
	Code        string      `json:"code"`
	CodeUntilMs int64       `json:"codeUntilMs"`
	Address     string      `json:"address"` // of the server for phones in the room, "http://host:port"; empty when none reaches it
}

func (s *Server) room(c echo.Context) error {
	row, err := s.Store.Current(c.Request().Context(), c.Param("room"))
	if err != nil {
		return err
	}
	out := roomAnswer{Session: row}
	if out.Sight, err = s.Store.Sight(c.Request().Context(), row.Room); err != nil {
		return err
	}
	if s.Addr != "" {
		bases, err := lan.Bases(s.Addr)
		if err != nil {
			return err
		}
		out.Address = strings.Join(bases[:min(1, len(bases))], "")
	}
	if row.EndedMs == 0 {
		code, until := s.Auth.Codes.Current(row.ID)
		out.Code, out.CodeUntilMs = code, until.UnixMilli()
	}
	return c.JSON(http.StatusOK, out)
}

// sessionOf reads the session that a path names.
func (s *Server) sessionOf(c echo.Context, text string) (store.Session, error) {
	var id event.SessionID
	if err := id.UnmarshalText([]byte(text)); err != nil {
		return store.Session{}, damagedRequest("session")
	}
	return s.Store.Session(c.Request().Context(), id)
}
