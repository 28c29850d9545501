package command

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"path/filepath"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"rootledger/pwa/assets"
	"rootledger/pwa/words"
	"rootledger/server/auth"
	"rootledger/server/hub"
	"rootledger/server/store"
	"rootledger/server/web"
	"rootledger/shared/fault"
)

// Serving is one server that runs.
type Serving struct {
	Addr   string // host:port that it listens on
	Office string // the office token

	store *store.Store
	hub   *hub.Hub
	web   *web.Server
	http  *http.Server
	ended chan error // holds one error when storing or serving failed

	watchedMs atomic.Int64 // when the practice room was last asked for
}

// Serve starts a server on addr with its data in dir. Close ends it.
func Serve(ctx context.Context, dir, addr string, log *slog.Logger) (*Serving, error) {
	s := &Serving{ended: make(chan error, 2)}
	var err error
	if s.store, err = store.Open(ctx, dir); err != nil {
		return nil, err
	}
	if s.Office, err = auth.OfficeToken(dir); err != nil {
		return nil, errors.Join(err, s.store.Close())
	}
	listener, err := net.Listen("tcp", addr)
	if err != nil {
		return nil, errors.Join(listenFault(addr, err), s.store.Close())
	}
	s.Addr = listener.Addr().String()
	s.hub = hub.New(s.store, log, time.Now, func(err error) { s.ended <- err })
	before, err := web.KeepBuilds(filepath.Join(dir, "builds"), assets.Files, web.FreeBytes, time.Now())
	if err != nil {
		log.Warn("not all builds of the app are kept", "error", err.Error()) // pages that are open may have to be opened again
	}
	s.web = &web.Server{Addr: s.Addr, Before: before, Store: s.store, Auth: auth.New(s.store, s.Office, time.Now), Hub: s.hub, Log: log, Clock: time.Now, Words: words.English()}
	s.http = &http.Server{Handler: s.noteWatchers(s.web.Handler()), ReadHeaderTimeout: 10 * time.Second, IdleTimeout: 2 * time.Minute,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	go func() {
		if err := s.http.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			s.ended <- err
		}
	}()
	return s, nil
}

func listenFault(addr string, err error) error {
	if errors.Is(err, syscall.EADDRINUSE) {
		return fault.New(fault.Conflict, "port-taken").With("addr", addr)
	}
	return fault.New(fault.Invalid, "addr-unusable").With("addr", addr).With("cause", err.Error())
}

// Wait returns when ctx ends (nil), or with the error that ended the server.
func (s *Serving) Wait(ctx context.Context) error {
	select {
	case <-ctx.Done():
		return nil
	case err := <-s.ended:
		return err
	}
}

// Close stops the server: no new requests, rooms store what they have taken,
// sockets are told, and the database is closed.
func (s *Serving) Close() error {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	s.hub.Close()
	err := s.http.Shutdown(ctx)
	s.web.Wait()
	return errors.Join(err, s.store.Close())
}

func serveCommand() *cobra.Command {
	var dir, addr string
	var withQR, withPractice bool
	c := &cobra.Command{
		Use:   "serve",
		Short: "Run the server of this clinic",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			log := slog.New(slog.NewJSONHandler(c.ErrOrStderr(), nil))
			s, err := Serve(ctx, dir, addr, log)
			if err != nil {
				return err
			}
			out := c.OutOrStdout()
			if err := announce(out, s, withQR || isTerminal(out), withPractice); err != nil {
				return errors.Join(err, s.Close())
			}
			stopPractice := func() {}
			if withPractice {
				stopPractice = playOn(ctx, s, log)
			}
			err = s.Wait(ctx)
			stopPractice()
			return errors.Join(err, s.Close())
		},
	}
	c.Flags().StringVar(&dir, "data", "data", "directory of this clinic's data")
	c.Flags().StringVar(&addr, "addr", ":8490", "address to listen on")
	c.Flags().BoolVar(&withQR, "qr", false, "print the wall's QR code also when the output is no terminal")
	c.Flags().BoolVar(&withPractice, "practice", false, "play made-up days in the room practice, the next one when somebody watches")
	return c
}
