package web

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"rootledger/server/hub"
	"rootledger/shared/event"
)

// gapsAnswer is what is missing of a session that phones refill.
type gapsAnswer struct {
	RefilledMs int64 `json:"refilledMs"` // since when, ms since 1970; 0 when it is not refilled
	OlderMs    int64 `json:"olderMs"`    // since when it is known to have less than it told; 0 when it is not
	Gaps       []gap `json:"gaps"`       // empty: all that any phone which came back has seen is here
}

// gap is the entries From..To that were written under one replica id.
type gap struct {
	Replica event.ReplicaID `json:"replica"`
	Person  string          `json:"person"`  // "" when nothing that is here says
	Station string          `json:"station"` // "" likewise
	From    uint64          `json:"from"`
	To      uint64          `json:"to"`
	Events  uint64          `json:"events"`
}

// gaps lists what was stored once, as phones say, and is missing here.
func (s *Server) gaps(c echo.Context) error {
	room, err := s.roomOf(c)
	if err != nil {
		return err
	}
	missing, err := room.Gaps(c.Request().Context())
	if err != nil {
		return err
	}
	return s.answerGaps(c, missing)
}

// refilled ends the refilling of a session: from then on only those who were let
// in may bring something.
func (s *Server) refilled(c echo.Context) error {
	room, err := s.roomOf(c)
	if err != nil {
		return err
	}
	if err := room.EndRefill(c.Request().Context()); err != nil {
		return err
	}
	return s.gaps(c)
}

func (s *Server) answerGaps(c echo.Context, missing []hub.Gap) error {
	row, err := s.sessionOf(c, c.Param("session"))
	if err != nil {
		return err
	}
	out := gapsAnswer{row.RefilledMs, row.OlderMs, []gap{}}
	for _, g := range missing {
		one := gap{g.Replica, g.Person, "", g.From, g.To, g.To - g.From + 1}
		if g.Station != 0 {
			one.Station = g.Station.String()
		}
		out.Gaps = append(out.Gaps, one)
	}
	return c.JSON(http.StatusOK, out)
}

// roomOf is the room of the session that a path names.
func (s *Server) roomOf(c echo.Context) (*hub.Room, error) {
	row, err := s.sessionOf(c, c.Param("session"))
	if err != nil {
		return nil, err
	}
	return s.Hub.Room(c.Request().Context(), row.ID)
}
