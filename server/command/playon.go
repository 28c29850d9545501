package command

import (
	"context"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"rootledger/server/practice"
)

// practiceRoom is where playOn plays.
const practiceRoom = "practice"

const (
	// betweenDays is how long the figures of a day stay on the wall, and when a
	// day that could not be played is tried again.
	betweenDays = 15 * time.Second
	// stillWatched is how long after it last asked a wall counts as watching.
	// Walls ask every few seconds.
	stillWatched = 10 * time.Second
)

// noteWatchers remembers when the practice room was last asked for.
func (s *Serving) noteWatchers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/api/rooms/"+practiceRoom {
			s.watchedMs.Store(time.Now().UnixMilli())
		}
		next.ServeHTTP(w, r)
	})
}

// watched says whether somebody looks at the practice room.
func (s *Serving) watched() bool {
	return time.Since(time.UnixMilli(s.watchedMs.Load())) < stillWatched
}

// playOn plays a practice day against a server that runs, and more, each with
// the next seed, as long as somebody watches: a day stays in the record and in
// memory. It plays until the function that it returns is called or ctx ends.
func playOn(ctx context.Context, s *Serving, log *slog.Logger) (stop func()) {
	ctx, cancel := context.WithCancel(ctx)
	var playing sync.WaitGroup
	playing.Go(func() {
		base, _, err := s.here()
		for seed := uint64(1); err == nil && ctx.Err() == nil; seed++ {
			playDay(ctx, practice.Config{Server: base, Office: s.Office, Room: practiceRoom, Seed: seed, Speed: 600}, log)
			pause(ctx, betweenDays)
			for ctx.Err() == nil && !s.watched() {
				pause(ctx, time.Second)
			}
		}
	})
	return func() {
		cancel()
		playing.Wait()
	}
}

func pause(ctx context.Context, d time.Duration) {
	select {
	case <-time.After(d):
	case <-ctx.Done():
	}
}

func playDay(ctx context.Context, config practice.Config, log *slog.Logger) {
	report, err := practice.Run(ctx, config)
	switch {
	case ctx.Err() != nil:
	case err != nil:
		log.Warn("a practice day broke off", "seed", config.Seed, "error", err)
	case !report.OK():
		log.Error("the figures of a practice day differ", "seed", config.Seed, "differed", report.Differed, "refused", report.Refused, "replays", report.Replay)
	default:
		log.Info("a practice day ended and its figures agree", "seed", config.Seed, "events", report.Events)
	}
}
