package web

import (
	"net/http"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// thenAnswer is a session at one moment of its day, twice: as the room knew it
// then, by what had arrived, and as it is known now about then, by when things
// were written. Every phone is taken as heard.
type thenAnswer struct {
	AtMs  int64        `json:"atMs"`  // ms since 1970 by the session's clock
	Known bool         `json:"known"` // whether it is known what had arrived by then; else Knew is empty
	Knew  session.View `json:"knew"`
	Now   session.View `json:"now"`
	Late  []lateComing `json:"late"` // what makes the difference, by who wrote it
}

// lateComing is entries that were written by then and came after.
type lateComing struct {
	Person  string        `json:"person"`
	Station event.Station `json:"station"`
	Entries int64         `json:"entries"`
	CameMs  int64         `json:"cameMs"` // when the last of them came, ms since 1970 by the session's clock
}

// then answers what a room was like at a time of its day.
func (s *Server) then(c echo.Context) error {
	row, err := s.sessionOf(c, c.Param("session"))
	if err != nil {
		return err
	}
	if err := s.mayLead(c, row.Room); err != nil {
		return s.tries.failed(c.RealIP(), err)
	}
	ms, err := strconv.ParseInt(c.QueryParam("at"), 10, 64)
	if err != nil || ms <= 0 || ms > event.MaxMs {
		return damagedRequest("at")
	}
	ctx := c.Request().Context()
	marks, err := s.Store.Arrivals(ctx, row.Row)
	if err != nil {
		return err
	}
	var events []*event.Event
	if err := s.Store.EventsOf(ctx, row.Row, func(e *event.Event) error { events = append(events, e); return nil }); err != nil {
		return err
	}
	out, err := backThen(events, marks, ms, max(row.RefilledMs, row.OlderMs))
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

// backThen folds the events of a session, in the order of arrival, as they were
// known at ms and as they are known now about then. What was brought back after
// sinceMs came when it was brought back.
func backThen(events []*event.Event, marks store.Arrivals, ms, sinceMs int64) (*thenAnswer, error) {
	var all session.State
	for _, e := range events {
		if err := all.Apply(e); err != nil {
			return nil, err
		}
	}
	out := &thenAnswer{AtMs: ms, Late: []lateComing{}}
	out.Now = all.Until(ms).View(event.ReplicaID{}, ms, nil)
	real := realMs(&all, ms)
	by, known := marks.By(real)
	if out.Known = known && real >= sinceMs; !out.Known {
		return out, nil
	}
	var then session.State
	for i, e := range events {
		if int64(i) < by {
			if err := then.Apply(e); err != nil {
				return nil, err
			}
			continue
		}
		if at, _ := all.At(e); at <= ms && !e.Fact.Kind().ByServer() {
			out.Late = joinLate(out.Late, &all, e, sessionMs(&all, marks.At(int64(i+1))))
		}
	}
	out.Knew = then.View(event.ReplicaID{}, ms, nil)
	return out, nil
}

func joinLate(late []lateComing, s *session.State, e *event.Event, cameMs int64) []lateComing {
	person, station := s.Person(e.Replica, e.Stamp), s.Station(e.Replica)
	i := slices.IndexFunc(late, func(l lateComing) bool { return l.Person == person && l.Station == station })
	if i < 0 {
		late, i = append(late, lateComing{Person: person, Station: station}), len(late)
	}
	late[i].Entries++
	late[i].CameMs = max(late[i].CameMs, cameMs)
	return late
}

// realMs is the server's clock when a session's said ms; a practice clock runs faster.
func realMs(s *session.State, ms int64) int64 {
	if p, ok := s.Practice(); ok {
		return int64(p.RealMs) + (ms-int64(p.StartMs))/int64(p.Speed)
	}
	return ms
}

func sessionMs(s *session.State, real int64) int64 {
	if p, ok := s.Practice(); ok {
		return p.Now(real)
	}
	return real
}
