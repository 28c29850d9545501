// Package web is the server's face to browsers: one file a resource. It is the
// only place that knows HTTP and WebSocket.
package web

import (
	"log/slog"
	"net/http"
	"sync"
	"time"

	"github.com/gorilla/websocket"
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
	Addr  string // host:port that it listens on; empty when a test serves it

	Before Before // parts of the app that pages opened before an update may still ask for

	tries   tries
	sockets sync.WaitGroup
	open    sync.Map // *websocket.Conn
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
	anyone.GET("/api/rooms/:room", s.room)             // the wall: what runs here, and the join code
	anyone.POST("/api/rooms/:room/sight", s.saveSight) // with the office token, or the lead's own
	anyone.GET("/api/sync", s.sync)                    // a wall, or a phone with its token
	anyone.POST("/api/join", s.join)                   // with a join code, or the office token
	anyone.POST("/api/token", s.renew)                 // with the phone's secret
	anyone.GET("/api/sessions/:session/then", s.then)  // with the office token, or the lead's own
	anyone.GET("/qr.svg", s.qrCode)
	anyone.Match([]string{http.MethodGet, http.MethodHead}, "/*", s.app())

	office := e.Group("/api/sessions", s.officeOnly)
	office.GET("", s.sessions)
	office.POST("", s.createSession)
	office.GET("/:session/gaps", s.gaps)
	office.POST("/:session/refilled", s.refilled)
	office.GET("/:session/sheet.csv", s.sheetCSV)
	office.GET("/:session/sheet.jsonl", s.sheetJSONLines)

	saved := e.Group("/api/setups", s.officeOnly) // the clinic's own punch set-ups
	saved.GET("", s.setups)
	saved.POST("", s.saveSetup)
	saved.POST("/:setup/retired", s.retireSetup)
	return e
}

func (s *Server) app() echo.HandlerFunc {
	serve, err := Static(assets.Files, s.Before)
	if err != nil {
		panic(err) // embedded: a test has read it
	}
	return serve
}

// partingWithin is how long sockets have to hear that the server stops.
const partingWithin = 2 * time.Second

// Wait returns when every socket has ended; call it after the hub was closed.
// A peer that does not listen is cut off.
func (s *Server) Wait() {
	cut := time.AfterFunc(partingWithin, func() {
		s.open.Range(func(ws, _ any) bool {
			_ = ws.(*websocket.Conn).Close() // it ends its handler, which says so
			return true
		})
	})
	defer cut.Stop()
	s.sockets.Wait()
}

func (s *Server) health(c echo.Context) error {
	return c.JSON(http.StatusOK, map[string]string{"status": "ok"})
}
