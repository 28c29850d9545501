// Package web is the server's face to browsers: one file a resource. It is the
// only place that knows HTTP and WebSocket.
package web

import (
	"log/slog"
	"net/http"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"rootledger/pwa/assets"
	"rootledger/pwa/words"
	"rootledger/server/auth"
	"rootledger/server/hub"
	"rootledger/server/store"
)

// Server is what every handler needs.
type Server struct {
	Store *store.Store
	Auth  *auth.Auth
	Hub   *hub.Hub
	Log   *slog.Logger
	Clock func() time.Time
	Words words.Words

	tries   tries
	sockets sync.WaitGroup
}

// Handler returns every route and who may call it.
func (s *Server) Handler() http.Handler {
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.IPExtractor = echo.ExtractIPDirect()
	e.HTTPErrorHandler = s.answerFault
	e.Use(middleware.BodyLimit("64K"), middleware.SecureWithConfig(middleware.SecureConfig{
		ContentTypeNosniff: "nosniff", XFrameOptions: "DENY", ReferrerPolicy: "no-referrer"}))

	anyone := e.Group("")
	anyone.GET("/health", s.health)
	anyone.GET("/api/rooms/:room", s.room) // the wall: what runs here, and the join code
	anyone.GET("/api/sync", s.sync)        // a wall, or a phone with its token
	anyone.POST("/api/join", s.join)       // with a join code, or the office token
	anyone.POST("/api/token", s.renew)     // with the phone's secret
	anyone.StaticFS("/", assets.Files)

	office := e.Group("/api/sessions", s.officeOnly)
	office.GET("", s.sessions)
	office.POST("", s.createSession)
	office.GET("/:session/sheet.csv", s.sheetCSV)
	office.GET("/:session/sheet.jsonl", s.sheetJSONLines)
	return e
}

// Wait returns when every socket has ended; call it after the hub was closed.
func (s *Server) Wait() { s.sockets.Wait() }

func (s *Server) health(c echo.Context) error {
	return c.JSON(http.StatusOK, map[string]string{"status": "ok"})
}
