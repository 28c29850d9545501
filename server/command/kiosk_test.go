package command

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"rootledger/shared/fault"
)

// browserThat is a browser for tests: a shell script, and the file in which it
// notes what it was asked to show.
func browserThat(t *testing.T, does string) (command []string, noted string) {
	t.Helper()
	dir := t.TempDir()
	script, noted := filepath.Join(dir, "browser"), filepath.Join(dir, "noted")
	if err := os.WriteFile(script, []byte("#!/bin/sh\necho \"$1\" >> "+noted+"\n"+does+"\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	return []string{script}, noted
}

func lines(t *testing.T, path string) []string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	return strings.Fields(string(text))
}

// A wall waits for its server, comes back when its browser ends, and leaves the
// screen when the command does.
func TestKiosk(t *testing.T) {
	var up atomic.Bool
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		if !up.Load() {
			w.WriteHeader(http.StatusServiceUnavailable)
		}
	}))
	t.Cleanup(server.Close)
	command, noted := browserThat(t, `[ "$(wc -l < "$0.noted" 2>/dev/null || echo 0)" -gt 0 ] && exec sleep 60; echo once > "$0.noted"; exit 1`)
	var out bytes.Buffer
	k := Kiosk{Server: server.URL, Address: server.URL + "/wall/1", Again: 10 * time.Millisecond, Out: &out}
	k.Browser = append(command, k.Address)
	ctx, stop := context.WithTimeout(context.Background(), 20*time.Second)
	defer stop()
	done := make(chan error, 1)
	go func() { done <- k.Run(ctx) }()
	time.Sleep(100 * time.Millisecond)
	if shown := lines(t, noted); len(shown) > 0 {
		t.Errorf("shown before the server was there: %q", shown)
	}
	up.Store(true)
	for len(lines(t, noted)) < 2 && ctx.Err() == nil {
		time.Sleep(10 * time.Millisecond)
	}
	stop()
	if err := <-done; err != nil {
		t.Errorf("ended by hand: got %v", err)
	}
	if shown := lines(t, noted); len(shown) != 2 || shown[0] != k.Address || shown[1] != k.Address {
		t.Errorf("shown %q, want the wall, and again after the browser ended", shown)
	}
	for _, want := range []string{"Waiting for the server", "Showing " + k.Address} {
		if strings.Count(out.String(), want) != 1 {
			t.Errorf("said %q, want %q once", out.String(), want)
		}
	}
}

// A browser that ends again and again, or is not there, is said.
func TestKioskWithoutABrowser(t *testing.T) {
	server := httptest.NewServer(http.NotFoundHandler())
	server.Config.Handler = http.HandlerFunc(func(http.ResponseWriter, *http.Request) {})
	t.Cleanup(server.Close)
	broken, _ := browserThat(t, "exit 3")
	for name, browser := range map[string][]string{"ends": broken, "missing": {"/nowhere/browser"}} {
		k := Kiosk{Server: server.URL, Address: server.URL, Browser: browser, Again: time.Millisecond, Out: new(bytes.Buffer)}
		ctx, stop := context.WithTimeout(context.Background(), 20*time.Second)
		if err := k.Run(ctx); !fault.Is(err, "browser-fails") {
			t.Errorf("%s: got %v, want browser-fails", name, err)
		}
		stop()
	}
}

func TestWallAddress(t *testing.T) {
	for _, test := range []struct {
		room, theme    string
		inches, metres float64
		want           string
	}{
		{"1", "", 0, 0, "http://x/wall/1"},
		{"Room 2", "dark", 0, 5, "http://x/wall/Room%202?theme=dark"},
		{"1", "light", 42.5, 6, "http://x/wall/1?inches=42.5&metres=6&theme=light"},
	} {
		if got := wallAddress("http://x", test.room, test.theme, test.inches, test.metres); got != test.want {
			t.Errorf("got %s, want %s", got, test.want)
		}
	}
}
