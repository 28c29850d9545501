package command

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"rootledger/pwa/words"
	"rootledger/server/auth"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
)

// errDiffers is a day whose figures do not agree; the report has said which.
var errDiffers = errors.New("practice: the figures differ")

func practiceCommand() *cobra.Command {
	var config practice.Config
	var dir string
	var asJSON bool
	c := &cobra.Command{
		Use:   "practice",
		Short: "Play a made-up day over real sockets and compare what was done with what is told",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if config.Speed < 1 || config.Speed > event.MaxSpeed {
				return fault.New(fault.Invalid, "practice-speed").WithInt("max", event.MaxSpeed)
			}
			if config.Grafts < 10 || config.Grafts > event.MaxBudget {
				return fault.New(fault.Invalid, "number-range").With("field", "grafts").WithInt("got", int64(config.Grafts)).
					WithInt("min", 10).WithInt("max", event.MaxBudget)
			}
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			config.Progress = progress(c.ErrOrStderr())
			return playPractice(ctx, c.OutOrStdout(), c.ErrOrStderr(), config, dir, asJSON)
		},
	}
	c.Flags().Uint64Var(&config.Seed, "seed", 1, "which made-up day")
	c.Flags().Uint32Var(&config.Speed, "speed", 600, "times as fast as a clock")
	c.Flags().IntVar(&config.Grafts, "grafts", 1200, "the budget, in grafts")
	c.Flags().StringVar(&config.Server, "server", "", "play against this running server (http://host:port); without it, one is started")
	c.Flags().StringVar(&config.Room, "room", "practice", "the room to play in")
	c.Flags().StringVar(&dir, "data", "data", "the running server's data directory, for its office token")
	c.Flags().BoolVar(&asJSON, "json", false, "print the comparison as JSON")
	return c
}

func playPractice(ctx context.Context, out, errs io.Writer, config practice.Config, dir string, asJSON bool) (err error) {
	if config.Server == "" {
		var own *Serving
		if own, err = ownServer(ctx, errs); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, own.Close()) }()
		config.Server, config.Office = "http://"+own.Addr, own.Office
	} else if config.Office, err = auth.ReadOfficeToken(dir); err != nil {
		return fault.New(fault.Missing, "file-unreadable").With("file", dir).With("cause", err.Error())
	}
	fmt.Fprintln(errs, words.English().Text("practice"))
	report, err := practice.Run(ctx, config)
	if err != nil {
		return err
	}
	if asJSON {
		err = json.NewEncoder(out).Encode(report)
	} else {
		err = report.Table(out)
	}
	if err == nil && !report.OK() {
		err = errDiffers
	}
	return err
}

// ownServer starts a server for one practice day, with its data in a directory
// of its own that is kept for looking at.
func ownServer(ctx context.Context, errs io.Writer) (*Serving, error) {
	dir, err := os.MkdirTemp("", "rootledger-practice-")
	if err != nil {
		return nil, fmt.Errorf("command: practice: %w", err)
	}
	s, err := Serve(ctx, dir, "127.0.0.1:0", slog.New(slog.NewJSONHandler(errs, &slog.HandlerOptions{Level: slog.LevelWarn})))
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(errs, "a server of its own on http://%s, its data in %s\n", s.Addr, dir)
	return s, nil
}

// progress writes one line about the room, over and over.
func progress(errs io.Writer) func(int64, session.View) {
	return func(nowMs int64, v session.View) {
		h, l := v.Headline, v.Ledger
		fmt.Fprintf(errs, "%s  %5d attempts %5d out %5d sorted %5d placed  %5d to take, %s stops first  %d away\n",
			time.UnixMilli(nowMs).UTC().Format("15:04"), l.Attempts.Punched, l.Out, l.Sorted.Total(), l.PlacedTotal, h.ToTake, h.Stops, h.Away)
	}
}
