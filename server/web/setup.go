package web

import (
	"encoding/json"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// savedSetup is a punch set-up as the office reads and writes it: the fields of
// the event that puts it into a session, its lists as long as motions.
type savedSetup struct {
	ID           int64    `json:"id"` // 0 for a new one
	Name         string   `json:"name"`
	DiameterUM   uint32   `json:"diameterUm"`
	Edge         string   `json:"edge"`
	WaitMs       uint32   `json:"waitMs"`
	Motions      []string `json:"motions"`
	ArcsDeg      []uint32 `json:"arcsDeg"`
	RPM          []uint32 `json:"rpm"`
	PowerPercent []uint32 `json:"powerPercent"`
	StepsMs      []uint32 `json:"stepsMs"`
	SavedMs      int64    `json:"savedMs"`
	RetiredMs    int64    `json:"retiredMs"` // 0 while it is in use
}

func setupOf(row store.Setup) savedSetup {
	f := row.Fact
	out := savedSetup{ID: row.ID, Name: f.Name, DiameterUM: f.DiameterUM, Edge: f.Edge, WaitMs: f.WaitMs, ArcsDeg: f.ArcsDeg,
		RPM: f.RPM, PowerPercent: f.Power, StepsMs: f.StepsMs, SavedMs: row.SavedMs, RetiredMs: row.RetiredMs}
	for _, m := range f.Motions {
		out.Motions = append(out.Motions, m.String())
	}
	return out
}

// fact is what the event says, or why it can not be said.
func (s savedSetup) fact() (*event.Setup, error) {
	f := &event.Setup{Name: s.Name, DiameterUM: s.DiameterUM, Edge: s.Edge, WaitMs: s.WaitMs,
		ArcsDeg: s.ArcsDeg, RPM: s.RPM, Power: s.PowerPercent, StepsMs: s.StepsMs}
	for _, name := range s.Motions {
		m, _ := event.ParseMotion(name) // none: Validate says so
		f.Motions = append(f.Motions, m)
	}
	return f, f.Validate()
}

func (s *Server) setups(c echo.Context) error {
	rows, err := s.Store.Setups(c.Request().Context())
	if err != nil {
		return err
	}
	out := make([]savedSetup, 0, len(rows))
	for _, row := range rows {
		out = append(out, setupOf(row))
	}
	return c.JSON(http.StatusOK, out)
}

// saveSetup keeps a new set-up, or another state of one: its name, its steps, or
// that it is in use again.
func (s *Server) saveSetup(c echo.Context) error {
	var in savedSetup
	if err := json.NewDecoder(c.Request().Body).Decode(&in); err != nil {
		return damagedRequest("JSON")
	}
	fact, err := in.fact()
	if err != nil {
		return err
	}
	row, err := s.Store.SaveSetup(c.Request().Context(), in.ID, fact, s.Clock().UnixMilli())
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, setupOf(row))
}

func (s *Server) retireSetup(c echo.Context) error {
	id, err := strconv.ParseInt(c.Param("setup"), 10, 64)
	if err != nil {
		return fault.New(fault.Missing, "saved-missing")
	}
	row, err := s.Store.RetireSetup(c.Request().Context(), id, s.Clock().UnixMilli())
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, setupOf(row))
}
