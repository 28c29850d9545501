package crash

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"syscall"
	"testing"

	"rootledger/server/command"
)

// With these in its environment this program is a server that can be asked what
// it holds, as no server of a clinic can.
const (
	servesAt   = "CRASH_SERVES_AT"
	servesFrom = "CRASH_SERVES_FROM"
)

// held is what a server holds after everything that it needs no more was freed.
type held struct {
	Heap       int // bytes
	Goroutines int
}

// openServer is the server in a process that answers what it holds.
type openServer struct {
	*process
	ask    io.Writer
	answer *json.Decoder
}

// startOpen starts such a server, and is back when it answers.
func startOpen(ctx context.Context, t *testing.T, dir, addr string) *openServer {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), servesAt+"="+addr, servesFrom+"="+dir)
	ask, err := cmd.StdinPipe()
	must(t, err)
	answer, err := cmd.StdoutPipe()
	must(t, err)
	s := &openServer{startCommand(t, addr, cmd), ask, json.NewDecoder(answer)}
	s.ready(ctx, t)
	return s
}

func (s *openServer) held(t *testing.T) (h held) {
	t.Helper()
	_, err := fmt.Fprintln(s.ask)
	must(t, err)
	must(t, s.answer.Decode(&h))
	return h
}

// serveAndTell is that process: a line in, what it holds out, until it is asked to end.
func serveAndTell(addr, dir string) (code int) {
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGTERM)
	defer stop()
	s, err := command.Serve(ctx, dir, addr, slog.New(slog.NewJSONHandler(os.Stderr, nil)))
	if err != nil {
		fmt.Fprintln(os.Stderr, "crash:", err)
		return 1
	}
	go func() {
		defer stop() // whoever asks is gone
		for lines := bufio.NewScanner(os.Stdin); lines.Scan(); {
			if tell() != nil {
				return
			}
		}
	}()
	if err := errors.Join(s.Wait(ctx), s.Close()); err != nil {
		fmt.Fprintln(os.Stderr, "crash:", err)
		return 1
	}
	return 0
}

func tell() error {
	runtime.GC()
	runtime.GC() // pools are given up by the second one
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return json.NewEncoder(os.Stdout).Encode(held{int(m.HeapAlloc), runtime.NumGoroutine()})
}
