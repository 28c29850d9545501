package command

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"

	"rootledger/server/export"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
	"rootledger/syncengine"
)

func replayCommand() *cobra.Command {
	var at string
	c := &cobra.Command{
		Use:   "replay FILE.jsonl",
		Short: "Fold a session's JSON Lines without a server and print its figures as JSON",
		Long: "Fold a session's JSON Lines without a server and print its figures as JSON.\n" +
			"With --at, the room as it was at a time: what had happened by then, by all that is known now about when.",
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) (err error) {
			until, err := parseAt(at)
			if err != nil {
				return err
			}
			file, err := os.Open(args[0])
			if err != nil {
				return fault.New(fault.Missing, "file-unreadable").With("file", args[0]).With("cause", err.Error())
			}
			defer func() { err = errors.Join(err, file.Close()) }()
			return Replay(file, c.OutOrStdout(), until)
		},
	}
	c.Flags().StringVar(&at, "at", "", "a time such as 2027-01-15T11:20:00Z")
	return c
}

// parseAt reads a time of RFC 3339 as ms since 1970; 0 for none.
func parseAt(at string) (ms int64, err error) {
	if at == "" {
		return 0, nil
	}
	t, err := time.Parse(time.RFC3339, at)
	if err != nil || t.UnixMilli() <= 0 {
		return 0, fault.New(fault.Invalid, "time-unread").With("got", at)
	}
	return t.UnixMilli(), nil
}

// Replay folds the JSON Lines of one session, in whatever order, and writes the
// View that a screen would draw, with every phone taken as heard, and behind it,
// a line each, how punch set-ups compare and what the watch on cut attempts leads
// to. With an untilMs (ms since 1970, 0 for none) it folds what had happened by then.
func Replay(in io.Reader, out io.Writer, untilMs int64) error {
	events, err := export.ReadJSONLines(in)
	if err != nil {
		return err
	}
	me := syncengine.Identity{}
	for _, e := range events {
		if e.Seq == 1 {
			me.Session = e.Session
		}
	}
	r := syncengine.New(me)
	if _, refused := r.Receive(events, syncengine.Now{}); len(refused) > 0 {
		return refused[0].Fault
	}
	state, now := r.State(), r.State().NewestMs()
	if untilMs > 0 {
		state, now = state.Until(untilMs), untilMs
	}
	write := json.NewEncoder(out)
	view := state.View(event.ReplicaID{}, now, nil)
	if err := write.Encode(view); err != nil {
		return fmt.Errorf("command: replay: %w", err)
	}
	for _, compared := range comparisons(state, view.Trials) {
		if err := write.Encode(compared); err != nil {
			return fmt.Errorf("command: replay: %w", err)
		}
	}
	if len(view.Quality.Watched) > 0 { // what the watch on cut attempts leads to is asked for beside the View, too
		if err := write.Encode(state.ChancesOf(state.Watch())); err != nil {
			return fmt.Errorf("command: replay: %w", err)
		}
	}
	return warnHoles(r.Holes())
}

// comparisons are what screens ask for beside the View: what all punch set-ups
// gave, where anything was tapped with one, then the arms of each trial in full.
func comparisons(state *session.State, trials []session.Trial) (out []session.Comparison) {
	if all := state.Compare(event.Ref{}, true); len(all.Rows) > 0 {
		out = append(out, all)
	}
	for _, t := range trials {
		out = append(out, state.Compare(t.Ref, true))
	}
	return out
}

// warnHoles fails when the file leaves out events that others follow.
func warnHoles(holes []syncengine.Gap) error {
	for _, hole := range holes {
		return fault.New(fault.Missing, "file-holes").With("replica", hole.Replica.String()).
			WithInt("from", int64(hole.From)).WithInt("to", int64(hole.To))
	}
	return nil
}
