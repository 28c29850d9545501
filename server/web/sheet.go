package web

import (
	"mime"
	"net/http"

	"github.com/labstack/echo/v4"

	"rootledger/server/export"
	"rootledger/server/store"
	"rootledger/shared/session"
	"rootledger/shared/sheet"
)

func (s *Server) sheetCSV(c echo.Context) error {
	_, record, err := s.sheet(c)
	if err != nil {
		return err
	}
	download(c, record, "csv", "text/csv; charset=utf-8")
	return export.CSV(c.Response(), record, s.Words)
}

func (s *Server) sheetJSONLines(c echo.Context) error {
	row, record, err := s.sheet(c)
	if err != nil {
		return err
	}
	download(c, record, "jsonl", "application/jsonl; charset=utf-8")
	return s.Store.EventsOf(c.Request().Context(), row.Row, export.NewJSONLines(c.Response()).Write)
}

// sheet folds the stored events of the session that the path names.
func (s *Server) sheet(c echo.Context) (store.Session, sheet.Sheet, error) {
	row, err := s.sessionOf(c, c.Param("session"))
	if err != nil {
		return row, sheet.Sheet{}, err
	}
	var state session.State
	if err := s.Store.EventsOf(c.Request().Context(), row.Row, state.Apply); err != nil {
		return row, sheet.Sheet{}, err
	}
	return row, sheet.Build(&state, state.NewestMs()), nil
}

func download(c echo.Context, record sheet.Sheet, ext, contentType string) {
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, contentType)
	h.Set(echo.HeaderContentDisposition, mime.FormatMediaType("attachment", map[string]string{"filename": export.FileName(record, ext)}))
	h.Set(echo.HeaderCacheControl, "no-store")
	c.Response().WriteHeader(http.StatusOK)
}
