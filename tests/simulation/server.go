package simulation

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"slices"
	"time"

	"rootledger/server/hub"
	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// Server is the server of the room: the real hub.Room on a disk that can fail.
type Server struct {
	w     *World
	disk  *serverDisk
	saved *serverDisk // a backup

	room  *hub.Room // nil while the process is down
	links []*link
	life  int // counts the starts

	crash   crashPoint // where the next commit meets its end
	failing bool       // the disk refuses
}

// serverDisk is what survives the process.
type serverDisk struct {
	row      store.Session
	server   store.Server
	events   []*event.Event
	held     map[event.Hash]bool
	enrolled []store.Enrolment
}

// crashPoint is where the process dies.
type crashPoint uint8

const (
	nowhere crashPoint = iota
	beforeCommit
	afterCommit // stored, not acknowledged
	betweenAcks // some of those who wait are told
)

var errDisk = errors.New("simulation: the disk fails")

var errKilled = errors.New("simulation: the process was killed")

func newServer(w *World) *Server {
	s := &Server{w: w}
	s.disk = s.blank(0)
	return s
}

// blank is the disk of a server that was just set up.
func (s *Server) blank(refilledMs int64) *serverDisk {
	d := &serverDisk{row: store.Session{Row: 1, ID: s.w.session, Room: "A", RefilledMs: refilledMs}, held: make(map[event.Hash]bool)}
	fill(s.w.random, d.server.Epoch[:])
	fill(s.w.random, d.server.Replica[:])
	return d
}

func (d *serverDisk) copy() *serverDisk {
	out := *d
	out.events, out.enrolled = slices.Clone(d.events), slices.Clone(d.enrolled)
	out.held = make(map[event.Hash]bool, len(d.held))
	for h := range d.held {
		out.held[h] = true
	}
	return &out
}

func (s *Server) boot() {
	s.life++
	rooms := hub.New(s, slog.New(slog.DiscardHandler), func() time.Time { return time.UnixMilli(s.w.real()) }, func(error) {})
	room, err := rooms.Open(context.Background(), s.w.session)
	if err != nil {
		s.w.violate("O4", "the server does not start again: %v", err)
		return
	}
	s.room = room
	s.tick(s.life)
}

func (s *Server) tick(life int) {
	if s.life != life || s.room == nil {
		return
	}
	s.room.Tick()
	s.pump()
	s.w.after(5000, func() { s.tick(life) })
}

// die ends the process: nobody is told, and what was not stored is gone.
func (s *Server) die() {
	s.room = nil
	for _, l := range slices.Clone(s.links) {
		l.cut()
	}
	s.links = nil
	s.crash = nowhere
}

// comeBack starts the process again after a while.
func (s *Server) comeBack(ms int64) {
	life := s.life
	s.w.after(ms, func() {
		if s.life == life && s.room == nil {
			s.boot()
		}
	})
}

// pump lets the room do what is queued, and takes what it has to send.
func (s *Server) pump() {
	for s.room != nil {
		worked, err := s.room.Step(context.Background())
		if err != nil {
			s.deliver() // what the room had for its peers may have gone out just before
			s.die()
			s.comeBack(s.w.between(200, 3000))
			return
		}
		if !worked {
			break
		}
	}
	s.deliver()
}

func (s *Server) deliver() {
	for _, l := range slices.Clone(s.links) {
		for l.conn != nil && s.room != nil {
			frame, err := l.conn.TryNext()
			if err == io.EOF {
				l.closeSoon()
				break
			}
			if frame == nil {
				break
			}
			s.look(frame)
			l.down(frame)
			if s.crash == betweenAcks && s.w.random.IntN(4) == 0 {
				s.die()
				s.comeBack(s.w.between(200, 3000))
				return
			}
		}
	}
}

// look holds every acknowledgement to the disk (O4).
func (s *Server) look(frame []byte) {
	m, err := syncengine.DecodeMessage(frame)
	if err != nil {
		s.w.violate("O5", "the server sent what can not be read: %v", err)
		return
	}
	ack, ok := m.(syncengine.Ack)
	if !ok {
		return
	}
	for _, ref := range ack.Stored {
		if !slices.ContainsFunc(s.disk.events, func(e *event.Event) bool { return e.Seq == ref.Seq && e.Ref() == ref }) {
			s.w.violate("O4", "acknowledged %v, which is not on the disk", ref)
		}
	}
}

// Server is who the database is.
func (s *Server) Server() store.Server { return s.disk.server }

// Session is the room's only session.
func (s *Server) Session(context.Context, event.SessionID) (store.Session, error) {
	return s.disk.row, nil
}

// Enrolments lists who was let in.
func (s *Server) Enrolments(context.Context, int64) ([]store.Enrolment, error) {
	return s.disk.enrolled, nil
}

// EventsOf reads the disk.
func (s *Server) EventsOf(_ context.Context, _ int64, each func(*event.Event) error) error {
	for _, e := range s.disk.events {
		if err := each(e); err != nil {
			return err
		}
	}
	return nil
}

// Append writes to the disk, unless the disk or the process fails first.
func (s *Server) Append(_ context.Context, _, first int64, events []*event.Event) error {
	if s.failing {
		return errDisk
	}
	if s.crash == beforeCommit {
		return errKilled
	}
	if int(first) != len(s.disk.events)+1 {
		s.w.violate("O5", "stored at place %d behind %d events", first, len(s.disk.events))
	}
	for _, e := range events {
		if s.disk.held[e.Hash] {
			s.w.violate("O2", "stored twice: %v", e.Ref())
		}
		s.disk.held[e.Hash] = true
		s.disk.events = append(s.disk.events, e)
	}
	if s.crash == afterCommit {
		return errKilled
	}
	return nil
}

// Renew gives the database a new epoch.
func (s *Server) Renew(_ context.Context, nowMs int64) error {
	fill(s.w.random, s.disk.server.Epoch[:])
	fill(s.w.random, s.disk.server.Replica[:])
	if s.disk.row.OlderMs == 0 {
		s.disk.row.OlderMs = nowMs
	}
	return nil
}

// EndRefill ends what Renew began.
func (s *Server) EndRefill(context.Context, event.SessionID) error {
	s.disk.row.RefilledMs = 0
	return nil
}

// admit lets a phone in: one that the server knows at once, another one when
// its holder has scanned the code again.
func (s *Server) admit(p *Phone) (known bool) {
	for _, e := range s.disk.enrolled {
		if e.Phone == p.disk.phone {
			known = true
			if e.Replica == p.replica {
				return true
			}
		}
	}
	if known {
		s.enrol(p)
	}
	return known
}

func (s *Server) enrol(p *Phone) {
	role := "phone"
	if p.office {
		role = "office"
	}
	s.disk.enrolled = append(s.disk.enrolled, store.Enrolment{Replica: p.replica, Phone: p.disk.phone, Role: role})
}
