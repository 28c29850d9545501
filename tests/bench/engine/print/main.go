// Command print runs the engine's measurements once and prints them as JSON:
// built for WebAssembly, it tells what a phone's engine takes.
package main

import (
	"encoding/json"
	"fmt"
	"os"

	"rootledger/tests/bench/engine"
)

func main() {
	all, err := engine.All()
	if err == nil {
		err = json.NewEncoder(os.Stdout).Encode(all)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
