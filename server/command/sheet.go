package command

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"rootledger/pwa/words"
	"rootledger/server/export"
	"rootledger/server/store"
	"rootledger/shared/session"
	"rootledger/shared/sheet"
)

func sheetCommand() *cobra.Command {
	var dir string
	var jsonl bool
	c := &cobra.Command{
		Use:   "sheet CASE",
		Short: "Print the record of a case, as CSV or without loss as JSON Lines",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) (err error) {
			s, err := store.OpenReadOnly(c.Context(), dir)
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, s.Close()) }()
			return printSheet(c.Context(), c.OutOrStdout(), s, args[0], jsonl)
		},
	}
	c.Flags().StringVar(&dir, "data", "data", "directory of this clinic's data")
	c.Flags().BoolVar(&jsonl, "jsonl", false, "JSON Lines: every event, for replay")
	c.Flags().Bool("csv", true, "CSV: one row a figure (what is printed unless --jsonl is given)")
	c.MarkFlagsMutuallyExclusive("csv", "jsonl")
	return c
}

func printSheet(ctx context.Context, out io.Writer, s *store.Store, code string, jsonl bool) error {
	row, err := s.SessionByCase(ctx, code)
	if err != nil {
		return err
	}
	if jsonl {
		return s.EventsOf(ctx, row.Row, export.NewJSONLines(out).Write)
	}
	var state session.State
	if err := s.EventsOf(ctx, row.Row, state.Apply); err != nil {
		return fmt.Errorf("command: sheet: %w", err)
	}
	return export.CSV(out, sheet.Build(&state, state.NewestMs()), words.English())
}
