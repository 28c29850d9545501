// Package crash runs the real server as a process of its own and takes it away
// in the middle of work: killed, its log torn, its disk full or failing. Or it
// asks more of it than a day does: a wall that does not read, hundreds of phones
// that come back at once. Whatever a phone was told is stored must be there
// afterwards, once, in an unbroken chain.
//
// SOAK=1 asks for the long form of every check, CRASH_CYCLES sets how often
// TestKilled kills. A long run needs a long -timeout: 5 s a cycle is plenty.
// Every run ends with a table of its checks.
package crash

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

const (
	seed       = 20_250_311 // of every choice that the tests make
	fewCycles  = 20
	soakCycles = 300
	mostCycles = 10_000
)

// serverPath is the server that every test starts.
var serverPath string

func TestMain(m *testing.M) {
	if addr := os.Getenv(servesAt); addr != "" {
		os.Exit(serveAndTell(addr, os.Getenv(servesFrom)))
	}
	os.Exit(buildAndRun(m))
}

func buildAndRun(m *testing.M) int {
	dir, err := os.MkdirTemp("", "rootledger-crash-")
	if err != nil {
		fmt.Fprintln(os.Stderr, "crash:", err)
		return 1
	}
	defer os.RemoveAll(dir)
	serverPath = filepath.Join(dir, "rootledger")
	build := exec.Command("go", "build", "-trimpath", "-o", serverPath, "rootledger/server")
	if said, err := build.CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "crash: the server does not build: %v\n%s", err, said)
		return 1
	}
	code := m.Run()
	if err := printTable(os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "crash:", err)
		return 1
	}
	return code
}

// cyclesWanted is how often TestKilled kills.
func cyclesWanted(t *testing.T) int {
	t.Helper()
	text := os.Getenv("CRASH_CYCLES")
	switch {
	case text == "" && soaking():
		return soakCycles
	case text == "":
		return fewCycles
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > mostCycles {
		t.Fatalf("CRASH_CYCLES is a whole number from 1 to %d, not %q", mostCycles, text)
	}
	return n
}

// within ends everything that a test waits for: after d, or early enough
// before the deadline of the whole run for servers to be ended in order.
func within(t *testing.T, d time.Duration) context.Context {
	t.Helper()
	until := time.Now().Add(d)
	if deadline, ok := t.Deadline(); ok && deadline.Add(-10*time.Second).Before(until) {
		until = deadline.Add(-10 * time.Second)
	}
	ctx, cancel := context.WithDeadline(t.Context(), until)
	t.Cleanup(cancel)
	return ctx
}

// must ends a test that can not go on.
func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// pause waits for d, or less when ctx ends.
func pause(ctx context.Context, d time.Duration) {
	select {
	case <-time.After(d):
	case <-ctx.Done():
	}
}
