package command_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rootledger/server/practice"
)

func TestPracticeThatIsOutOfBounds(t *testing.T) {
	tests := []struct {
		name, says string
		args       []string
	}{
		{"no speed", "A practice clock runs 1 to 10800 times as fast", []string{"--speed", "0"}},
		{"too fast", "A practice clock runs 1 to 10800 times as fast", []string{"--speed", "10801"}},
		{"backwards", "", []string{"--speed", "-1"}},
		{"one graft", "The grafts must be from 10 to 20000, and this was 1.", []string{"--grafts", "1"}},
		{"too many grafts", "The grafts must be from 10 to 20000, and this was 20001.", []string{"--grafts", "20001"}},
		{"fewer than no grafts", "and this was -5.", []string{"--grafts", "-5"}},
		{"more arguments", "", []string{"now"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { refused(t, test.says, append([]string{"practice"}, test.args...)...) })
	}
}

func TestPracticeOnAServer(t *testing.T) {
	dir := t.TempDir()
	s := serve(t, dir)
	defer stop(t, s)
	base := "http://" + s.Addr
	play := func(more ...string) []string {
		return append([]string{"practice", "--speed", "10800", "--grafts", "10", "--server", base}, more...)
	}
	t.Run("without its data", func(t *testing.T) {
		missing := filepath.Join(dir, "missing")
		refused(t, "The file "+missing+" can not be read", play("--data", missing)...)
	})
	t.Run("with the token of another", func(t *testing.T) {
		other := t.TempDir()
		stop(t, serve(t, other))
		refused(t, "That needs the office link.", play("--data", other)...)
	})
	t.Run("in a room with a bad name", func(t *testing.T) {
		refused(t, "A room's name has 1 to 16 letters", play("--data", dir, "--room", "an operating room")...)
	})
	t.Run("a whole day", func(t *testing.T) {
		status, out, errs := run(play("--data", dir, "--room", "B", "--seed", "3")...)
		if status != 0 || !strings.Contains(out, "no count was lost, none was counted twice") {
			t.Errorf("status %d: %s %s", status, out, errs)
		}
		if _, sheet, _ := run("sheet", "P-3", "--data", dir); !strings.Contains(sheet, "PRACTICE") {
			t.Errorf("sheet: got %q, want PRACTICE on it", sheet)
		}
	})
}

// Practice without a server brings its own, and keeps its data for looking at.
func TestPracticeOfItsOwn(t *testing.T) {
	temporary := t.TempDir()
	t.Setenv("TMPDIR", temporary)
	status, out, errs := run("practice", "--speed", "10800", "--grafts", "20", "--seed", "2", "--json")
	if status != 0 {
		t.Fatalf("status %d: %s", status, errs)
	}
	var report practice.Report
	if err := json.Unmarshal([]byte(out), &report); err != nil {
		t.Fatalf("report %q: %v", out, err)
	}
	same(t, "OK", report.OK(), true)
	same(t, "case", report.Case, "P-2")
	if !strings.Contains(errs, "PRACTICE") || !strings.Contains(errs, "its data in "+temporary) {
		t.Errorf("errors: got %q, want that it is practice and where its data are", errs)
	}
	left, err := os.ReadDir(temporary)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "directories kept", len(left), 1)
}
