package main

import (
	"context"
	"io"
	"log/slog"
	"sync"

	"rootledger/server/command"
	"rootledger/server/practice"
	"rootledger/shared/event"
)

// ourServer is the whole of Rootledger in this process, with its rooms.
type ourServer struct {
	ctx     context.Context
	cancel  context.CancelFunc
	serving *command.Serving
	staying sync.WaitGroup
}

func startServer(dir string) (*ourServer, error) {
	s := new(ourServer)
	s.ctx, s.cancel = context.WithCancel(context.Background())
	var err error
	s.serving, err = command.Serve(s.ctx, dir, "127.0.0.1:0", slog.New(slog.NewTextHandler(io.Discard, nil)))
	if err != nil {
		s.cancel()
		return nil, err
	}
	return s, nil
}

// room opens a session and plans it.
func (s *ourServer) room(name string) (*ourRoom, error) {
	r := &ourRoom{ourServer: s, name: name, api: practice.NewAPI("http://"+s.serving.Addr, s.serving.Office),
		session: practice.RandomID[event.SessionID](), clock: now}
	return r, r.plan()
}

// stay keeps a phone connected until the server ends.
func (s *ourServer) stay(p *practice.Phone) { s.staying.Go(func() { p.Stay(s.ctx) }) }

// end lets everyone go, and ends the server.
func (s *ourServer) end() error {
	s.cancel()
	s.staying.Wait()
	return s.serving.Close()
}
