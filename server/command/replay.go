package command

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"rootledger/server/export"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

func replayCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "replay FILE.jsonl",
		Short: "Fold a session's JSON Lines without a server and print its figures as JSON",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) (err error) {
			file, err := os.Open(args[0])
			if err != nil {
				return fault.New(fault.Missing, "file-unreadable").With("file", args[0]).With("cause", err.Error())
			}
			defer func() { err = errors.Join(err, file.Close()) }()
			return Replay(file, c.OutOrStdout())
		},
	}
}

// Replay folds the JSON Lines of one session, in whatever order, and writes the
// View that a screen would draw, with every phone taken as heard.
func Replay(in io.Reader, out io.Writer) error {
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
	write := json.NewEncoder(out)
	if err := write.Encode(r.View(r.State().NewestMs(), nil)); err != nil {
		return fmt.Errorf("command: replay: %w", err)
	}
	return warnHoles(r.Holes())
}

// warnHoles fails when the file leaves out events that others follow.
func warnHoles(holes []syncengine.Gap) error {
	for _, hole := range holes {
		return fault.New(fault.Missing, "file-holes").With("replica", hole.Replica.String()).
			WithInt("from", int64(hole.From)).WithInt("to", int64(hole.To))
	}
	return nil
}
