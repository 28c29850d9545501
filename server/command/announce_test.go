package command_test

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"rootledger/server/command"
)

// served runs the serve command until stop is called, which returns its status.
func served(t *testing.T, dir string, args ...string) (out, errs *said, stop func() int) {
	t.Helper()
	out, errs = &said{more: make(chan struct{}, 1)}, &said{more: make(chan struct{}, 1)}
	ended := make(chan int, 1)
	args = append([]string{"serve", "--data", dir, "--addr", "127.0.0.1:0"}, args...)
	go func() { ended <- command.Run(args, out, errs) }()
	out.waitFor(t, "not a medical device") // the last line
	return out, errs, func() int {
		if err := syscall.Kill(os.Getpid(), syscall.SIGTERM); err != nil {
			t.Fatal(err)
		}
		select {
		case status := <-ended:
			return status
		case <-time.After(20 * time.Second):
			t.Fatal("it goes on")
			return -1
		}
	}
}

func TestServeSaysEveryAddress(t *testing.T) {
	dir := t.TempDir()
	out, _, stopped := served(t, dir, "--qr")
	token, err := os.ReadFile(filepath.Join(dir, "office.token"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"/office#" + strings.TrimSpace(string(token)) + "\n", "/wall/1\n", "\n██", "▄"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("output: got %q, want %q in it", out.String(), want)
		}
	}
	for _, not := range []string{"?", "practice", "\x1b"} { // the token is never sent, and no terminal reads this
		if strings.Contains(out.String(), not) {
			t.Errorf("output: got %q, want no %q in it", out.String(), not)
		}
	}
	same(t, "status", stopped(), 0)
}

func TestServeDrawsNoCodeIntoAFile(t *testing.T) {
	out, _, stopped := served(t, t.TempDir())
	if strings.Contains(out.String(), "█") {
		t.Errorf("output: got %q", out.String())
	}
	same(t, "status", stopped(), 0)
}

func TestServePlaysPracticeAtOnce(t *testing.T) {
	out, errs, stopped := served(t, t.TempDir(), "--practice")
	wall := regexp.MustCompile(`http://localhost:\d+/wall/practice`).FindString(out.String())
	if wall == "" {
		t.Fatalf("output: got %q, want the practice wall", out.String())
	}
	address := strings.Replace(wall, "/wall/", "/api/rooms/", 1)
	var room struct{ Code string }
	ctx := bounded(t)
	for room.Code == "" {
		answer, err := http.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		err = json.NewDecoder(answer.Body).Decode(&room)
		answer.Body.Close()
		if ctx.Err() != nil || err != nil {
			t.Fatalf("no session in the practice room: %v", err)
		}
		time.Sleep(20 * time.Millisecond)
	}
	same(t, "status", stopped(), 0)
	if strings.Contains(errs.String(), `"level":"ERROR"`) || strings.Contains(errs.String(), `"level":"WARN"`) {
		t.Errorf("log: got %s", errs.String())
	}
}
