package practice_test

import (
	"context"
	"io"
	"log/slog"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rootledger/server/command"
	"rootledger/server/practice"
	"rootledger/shared/session"
)

// play plays a short day, nine hours in three seconds, against a server of its own.
func play(t *testing.T, config practice.Config) practice.Report {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 40*time.Second)
	defer cancel()
	s, err := command.Serve(ctx, t.TempDir(), "127.0.0.1:0", slog.New(slog.NewTextHandler(io.Discard, nil)))
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	config.Server, config.Office, config.Speed, config.Grafts = "http://"+s.Addr, s.Office, 10_800, 60
	report, err := practice.Run(ctx, config)
	if err != nil {
		t.Fatalf("seed %d: %v", config.Seed, err)
	}
	return report
}

func TestDaysAgree(t *testing.T) {
	for name, seed := range map[string]uint64{"one day": 1, "another day": 20_260_101} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var told progress
			report := play(t, practice.Config{Seed: seed, Room: "B", Progress: told.take})
			if !report.OK() {
				t.Errorf("got %+v, want it OK", report)
			}
			done := map[string]int64{}
			for _, row := range report.Rows {
				if !row.Agrees() {
					t.Errorf("%s: people did %d, the wall says %d, the sheet %d", row.Figure, row.Done, row.Wall, row.Sheet)
				}
				done[row.Figure] = row.Done
			}
			if len(report.Rows) < 15 || report.Events < 200 {
				t.Errorf("got %d rows of %d events, want a whole day", len(report.Rows), report.Events)
			}
			if done["attempts"] != 69 || done["placed"] < 40 || done["sites"] < 40 {
				t.Errorf("a day of 60 grafts has %d attempts, %d placed, %d sites", done["attempts"], done["placed"], done["sites"])
			}
			if !strings.HasPrefix(report.Case, "P-") {
				t.Errorf("case %q is not marked as practice", report.Case)
			}
			told.grows(t)
		})
	}
}

// progress collects how many events the wall had each time that it was told.
type progress struct {
	mu     sync.Mutex
	events []int64
}

func (p *progress) take(_ int64, v session.View) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.events = append(p.events, v.Session.Events)
}

func (p *progress) grows(t *testing.T) {
	t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.events) == 0 || !slices.IsSorted(p.events) {
		t.Errorf("events on the wall: got %v, want them to grow", p.events)
	}
}

func TestRunAgainstNoServer(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	_, err := practice.Run(ctx, practice.Config{Server: "http://127.0.0.1:1", Speed: 10_800, Grafts: 60})
	if err == nil {
		t.Error("a day was played without a server")
	}
}
