package web

import (
	"errors"
	"net/http"

	"github.com/labstack/echo/v4"

	"rootledger/shared/fault"
)

// statusOf is the only place that turns kinds of fault into HTTP.
func statusOf(kind fault.Kind) int {
	switch kind {
	case fault.Invalid, fault.Damaged:
		return http.StatusBadRequest
	case fault.Missing:
		return http.StatusNotFound
	case fault.Conflict:
		return http.StatusConflict
	case fault.Denied:
		return http.StatusForbidden
	case fault.TooMuch:
		return http.StatusTooManyRequests
	case fault.Unavailable:
		return http.StatusServiceUnavailable
	}
	return http.StatusInternalServerError
}

// answer is what a client reads of a fault: a code to act on, and a sentence.
type answer struct {
	Code    fault.Code        `json:"code"`
	Args    map[string]string `json:"args,omitempty"`
	Message string            `json:"message"`
}

func (s *Server) answerFault(err error, c echo.Context) {
	if c.Response().Committed {
		s.Log.Error("an answer broke off", "path", c.Path(), "error", err)
		panic(http.ErrAbortHandler) // so that a download that is not whole does not look whole
	}
	if c.Request().Context().Err() != nil {
		s.Log.Info("a caller did not wait for its answer", "path", c.Path(), "error", err)
		return // nobody reads it, and nothing failed here
	}
	f := fault.Of(err)
	status := 0
	var http4 *echo.HTTPError
	switch {
	case f != nil:
		status = statusOf(f.Kind)
	case errors.As(err, &http4) && http4.Code == http.StatusNotFound:
		f, status = fault.New(fault.Missing, "not-found"), http.StatusNotFound
	case errors.As(err, &http4) && http4.Code < 500:
		f, status = fault.New(fault.Invalid, "request-damaged").With("what", http.StatusText(http4.Code)), http4.Code
	default:
		s.Log.Error("a request failed", "path", c.Path(), "error", err)
		f, status = fault.New(fault.Unavailable, "internal"), http.StatusInternalServerError
	}
	if status >= 500 && f.Code != "internal" {
		s.Log.Error("a request failed", "path", c.Path(), "error", err)
	}
	out := answer{Code: f.Code, Args: make(map[string]string), Message: s.Words.Fault(f)}
	for _, a := range f.Args {
		out.Args[a.Name] = a.Value
	}
	if err := c.JSON(status, out); err != nil {
		s.Log.Warn("an answer was not read", "path", c.Path(), "error", err)
	}
}

func damagedRequest(what string) error {
	return fault.New(fault.Invalid, "request-damaged").With("what", what)
}
