// Package command is the command line: one file a command.
package command

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"rootledger/pwa/words"
	"rootledger/shared/fault"
)

// Run carries out one command line and returns the exit status: 0, or 1 after
// saying on errs what happened.
func Run(args []string, out, errs io.Writer) int {
	root := &cobra.Command{
		Use:           "rootledger",
		Short:         "Counts a hair-restoration session on many phones into one true total",
		Long:          words.English().Text("care"),
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.AddCommand(serveCommand(), practiceCommand(), sheetCommand(), replayCommand(), kioskCommand())
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errs)
	if err := root.Execute(); err != nil {
		fmt.Fprintln(errs, "rootledger:", say(err))
		return 1
	}
	return 0
}

// say is the sentence of a fault, or the error itself for an operator.
func say(err error) string {
	if f := fault.Of(err); f != nil {
		return words.English().Fault(f)
	}
	return err.Error()
}
