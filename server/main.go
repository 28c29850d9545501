// Command rootledger is the sync server of one clinic, and the tools around it.
package main

import (
	"os"

	"rootledger/server/command"
)

func main() { os.Exit(command.Run(os.Args[1:], os.Stdout, os.Stderr)) }
