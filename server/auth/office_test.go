package auth

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rootledger/server/store"
)

func tokenOf(t *testing.T, dir string) string {
	t.Helper()
	token, err := OfficeToken(dir)
	if err != nil {
		t.Fatalf("office token: %v", err)
	}
	return token
}

func TestOfficeTokenStays(t *testing.T) {
	dir := t.TempDir()
	if _, err := ReadOfficeToken(dir); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("before the first start: got %v, want no token", err)
	}
	token := tokenOf(t, dir)
	same(t, "length", len(token), 40)
	info, err := os.Stat(filepath.Join(dir, "office.token"))
	if err != nil {
		t.Fatal(err)
	}
	same(t, "who may read it", info.Mode().Perm(), 0o600)
	for range 2 {
		same(t, "after a restart", tokenOf(t, dir), token)
	}
	read, err := ReadOfficeToken(dir)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "read by another command", read, token)
	if tokenOf(t, t.TempDir()) == token {
		t.Error("two directories have one token")
	}
}

func TestOfficeTokenThatCanNotBeWritten(t *testing.T) {
	if token, err := OfficeToken(filepath.Join(t.TempDir(), "missing")); err == nil {
		t.Errorf("got %q, want a failure", token)
	}
}

func TestOffice(t *testing.T) {
	a, _, _ := opened(t)
	if err := a.Office("the office token"); err != nil {
		t.Errorf("the token: got %v, want it let in", err)
	}
	for name, token := range map[string]string{
		"none": "", "another": "another", "a part": "the office", "more": "the office token ", "in capitals": "THE OFFICE TOKEN",
	} {
		wantCode(t, name, a.Office(token), "office-token")
	}
}

// A file that was cut off at the first start, by a full disk or a power cut,
// must not let everybody in who has no token.
func TestEmptyOfficeTokenLetsNobodyIn(t *testing.T) {
	for name, text := range map[string]string{"no bytes": "", "an empty line": "\n"} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			s, err := store.Open(bounded(t), dir)
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			if err := os.WriteFile(filepath.Join(dir, "office.token"), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			token, err := OfficeToken(dir)
			if err != nil {
				return // refusing to start is as good
			}
			if New(s, token, time.Now).Office("") == nil {
				t.Errorf("the token is %q, and a request without one is let in", token)
			}
		})
	}
}
