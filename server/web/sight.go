package web

import (
	"encoding/json"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"rootledger/server/auth"
	"rootledger/server/store"
	"rootledger/shared/fault"
)

// saveSight is told how large a room's wall is and from how far it is read, by
// the office or by whoever leads the room's session.
func (s *Server) saveSight(c echo.Context) error {
	room := c.Param("room")
	if err := s.mayLead(c, room); err != nil {
		return s.tries.failed(c.RealIP(), err)
	}
	var in store.Sight
	if err := json.NewDecoder(c.Request().Body).Decode(&in); err != nil {
		return damagedRequest("body")
	}
	if err := in.Validate(); err != nil {
		return err
	}
	if err := s.Store.SaveSight(c.Request().Context(), room, in); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, in)
}

// mayLead lets the office through, and a phone that joined the room's session as
// its lead.
func (s *Server) mayLead(c echo.Context, room string) error {
	token := strings.TrimPrefix(c.Request().Header.Get(echo.HeaderAuthorization), "Bearer ")
	refused := s.Auth.Office(token)
	if refused == nil {
		return nil
	}
	claims, err := s.Auth.Check(token)
	if err != nil || claims.Role != auth.RoleOffice {
		return refused
	}
	row, err := s.Store.Session(c.Request().Context(), claims.Session)
	if err != nil {
		return err
	}
	if row.Room != room {
		return fault.New(fault.Denied, "token-refused")
	}
	return nil
}
