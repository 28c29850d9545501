package command_test

import (
	"bytes"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"rootledger/server/command"
)

func TestServeOnAPortThatIsTaken(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	dir := filepath.Join(t.TempDir(), "data")
	addr := taken.Addr().String()
	refused(t, "Something else already listens on "+addr, "serve", "--data", dir, "--addr", addr)
	stop(t, serve(t, dir)) // the directory is free again
}

func TestServeOnABadAddress(t *testing.T) {
	dir := t.TempDir()
	for name, addr := range map[string]string{
		"no port": "127.0.0.1", "no number": "127.0.0.1:room", "no such port": "127.0.0.1:70000",
		"not of this machine": "192.0.2.1:0", "not an address": "a b:0",
	} {
		t.Run(name, func(t *testing.T) {
			refused(t, "The address "+addr+" can not be listened on", "serve", "--data", dir, "--addr", addr)
		})
	}
}

func TestServeInADirectoryThatIsTaken(t *testing.T) {
	dir := t.TempDir()
	s := serve(t, dir)
	defer stop(t, s)
	refused(t, "Another Rootledger server is already using "+dir, "serve", "--data", dir, "--addr", "127.0.0.1:0")
	file := filepath.Join(dir, "rootledger.db")
	refused(t, "The data directory "+file+" can not be used", "serve", "--data", file, "--addr", "127.0.0.1:0")
}

func TestCommandLines(t *testing.T) {
	tests := []struct {
		name string
		args []string
	}{
		{"no such command", []string{"dance"}},
		{"no such flag", []string{"serve", "--speed", "5"}},
		{"too much", []string{"serve", "now"}},
		{"a sheet of no case", []string{"sheet"}},
		{"a sheet of two cases", []string{"sheet", "C-1", "C-2"}},
		{"both forms at once", []string{"sheet", "C-1", "--csv", "--jsonl"}},
		{"nothing to replay", []string{"replay"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { refused(t, "", test.args...) })
	}
	status, out, errs := run("--help")
	same(t, "status of help", status, 0)
	same(t, "errors of help", errs, "")
	for _, want := range []string{"serve", "practice", "sheet", "replay", "not a medical device"} {
		if !strings.Contains(out, want) {
			t.Errorf("help: got %q, want %q in it", out, want)
		}
	}
}

// said is what a command that runs has printed so far.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
	more chan struct{}
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	select {
	case s.more <- struct{}{}:
	default:
	}
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// waitFor waits until a text was printed.
func (s *said) waitFor(t *testing.T, text string) {
	t.Helper()
	for !strings.Contains(s.String(), text) {
		select {
		case <-s.more:
		case <-bounded(t).Done():
			t.Fatalf("output: got %q, want %q", s.String(), text)
		}
	}
}

func TestServeSaysWhatToOpenAndStopsWhenTold(t *testing.T) {
	dir := t.TempDir()
	out, errs := &said{more: make(chan struct{}, 1)}, &said{more: make(chan struct{}, 1)}
	ended := make(chan int, 1)
	go func() { ended <- command.Run([]string{"serve", "--data", dir, "--addr", "127.0.0.1:0"}, out, errs) }()
	out.waitFor(t, "not a medical device") // the last line
	text, err := os.ReadFile(filepath.Join(dir, "office.token"))
	if err != nil {
		t.Fatal(err)
	}
	token := strings.TrimSpace(string(text))
	if !strings.Contains(out.String(), "http://localhost:") || !strings.Contains(out.String(), token) {
		t.Errorf("output: got %q, want the office link", out.String())
	}
	if err := syscall.Kill(os.Getpid(), syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	select {
	case status := <-ended:
		same(t, "status", status, 0)
	case <-time.After(20 * time.Second):
		t.Fatal("it goes on")
	}
	if strings.Contains(errs.String(), token) {
		t.Error("the office token is in the log")
	}
	stop(t, serve(t, dir))
}
