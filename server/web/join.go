package web

import (
	"net/http"
	"sync"

	"github.com/labstack/echo/v4"
	"golang.org/x/time/rate"

	"rootledger/server/auth"
	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// joining is what a phone sends to be let in: a code from the wall, or the
// office token and the session that it is for.
type joining struct {
	Code    string          `json:"code"`
	Office  string          `json:"office"`
	Session event.SessionID `json:"session"`
	Phone   event.PhoneID   `json:"phone"`
	Replica event.ReplicaID `json:"replica"`
	Secret  string          `json:"secret"` // for renewal
}

// joined is what it gets.
type joined struct {
	Session   event.SessionID `json:"session"`
	Room      string          `json:"room"`
	Token     string          `json:"token"`
	ExpiresMs int64           `json:"expiresMs"`
	Secret    string          `json:"secret"`
}

func (s *Server) join(c echo.Context) error {
	in, err := readJoining(c)
	if err != nil {
		return err
	}
	role := auth.RolePhone
	if in.Office != "" {
		role = auth.RoleOffice
		err = s.Auth.Office(in.Office)
	} else {
		in.Session, err = s.Auth.Codes.Use(in.Code, in.Phone)
	}
	if fault.Is(err, "code-full") {
		return err
	}
	if err != nil {
		return s.tries.failed(c.RealIP(), err)
	}
	row, err := s.Store.Session(c.Request().Context(), in.Session)
	if err != nil {
		return err
	}
	grant, err := s.Auth.Enrol(c.Request().Context(), row, in.Phone, in.Replica, role)
	return s.answerGrant(c, row, grant, err)
}

func (s *Server) renew(c echo.Context) error {
	in, err := readJoining(c)
	if err != nil {
		return err
	}
	row, err := s.Store.Session(c.Request().Context(), in.Session)
	if err != nil {
		return err
	}
	grant, err := s.Auth.Renew(c.Request().Context(), row, in.Phone, in.Replica, in.Secret)
	if err != nil {
		err = s.tries.failed(c.RealIP(), err)
	}
	return s.answerGrant(c, row, grant, err)
}

func (s *Server) answerGrant(c echo.Context, row store.Session, g auth.Grant, err error) error {
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, joined{row.ID, row.Room, g.Token, g.Expires.UnixMilli(), g.Secret})
}

func readJoining(c echo.Context) (joining, error) {
	var in joining
	if err := c.Bind(&in); err != nil {
		return in, damagedRequest("JSON")
	}
	if in.Phone == (event.PhoneID{}) || in.Replica == (event.ReplicaID{}) {
		return in, damagedRequest("phone and replica")
	}
	return in, nil
}

// Wrong codes and secrets from one address: 60 at once, then one every two
// seconds. Right ones are never slowed down.
const (
	triesAtOnce    = 60
	triesPerSecond = 0.5
	triesAddresses = 4096 // addresses remembered; beyond that all start again
)

// tries counts failures by address. The zero value is ready.
type tries struct {
	mu   sync.Mutex
	seen map[string]*rate.Limiter
}

// limiter is the address's own.
func (t *tries) limiter(ip string) *rate.Limiter {
	if t.seen == nil || len(t.seen) >= triesAddresses {
		t.seen = make(map[string]*rate.Limiter)
	}
	l := t.seen[ip]
	if l == nil {
		l = rate.NewLimiter(triesPerSecond, triesAtOnce)
		t.seen[ip] = l
	}
	return l
}

// failed notes a failure and returns what to answer: why, or "too fast".
func (t *tries) failed(ip string, why error) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	if !t.limiter(ip).Allow() {
		return fault.New(fault.TooMuch, "too-fast")
	}
	return why
}
