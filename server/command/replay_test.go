package command_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rootledger/server/command"
)

// record is the JSON Lines of a session, and what its wall last said.
func record(t *testing.T) (lines []string, live string) {
	t.Helper()
	s := serve(t, t.TempDir())
	t.Cleanup(func() { stop(t, s) })
	d := afternoon(t, s, "C-1")
	text, err := d.api.Sheet(bounded(t), d.id, "jsonl")
	if err != nil {
		t.Fatal(err)
	}
	view, err := json.Marshal(d.wall().Settled())
	if err != nil {
		t.Fatal(err)
	}
	lines = strings.SplitAfter(string(text), "\n")
	return lines[:len(lines)-1], string(view)
}

func fileOf(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "session.jsonl")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestReplayIsTheWall(t *testing.T) {
	lines, live := record(t)
	shuffled := slices.Clone(lines)
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	for name, text := range map[string]string{
		"as exported": strings.Join(lines, ""), "in another order": strings.Join(shuffled, ""),
		"every line twice": strings.Join(append(slices.Clone(lines), lines...), ""),
		"with empty lines": "\n" + strings.Join(lines, "\n\n"), "without the last line end": strings.TrimSuffix(strings.Join(lines, ""), "\n"),
		"with the line ends of another system": strings.ReplaceAll(strings.Join(lines, ""), "\n", "\r\n"),
	} {
		t.Run(name, func(t *testing.T) {
			status, out, errs := run("replay", fileOf(t, text))
			same(t, "status", status, 0)
			same(t, "errors", errs, "")
			same(t, "figures", out, live+"\n")
		})
	}
}

func TestReplayOfWhatIsNoRecord(t *testing.T) {
	missing := filepath.Join(t.TempDir(), "missing.jsonl")
	refused(t, "The file "+missing+" can not be read", "replay", missing)
	refused(t, "Line 1 of the file", "replay", t.TempDir())
}

func TestReplayNamesTheLine(t *testing.T) {
	lines, _ := record(t)
	tests := []struct{ name, line string }{
		{"not JSON", "hello\n"},
		{"cut off", lines[4][:len(lines[4])/2] + "\n"},
		{"another JSON", "{\"a\":1}\n"},
		{"a list", "[]\n"},
		{"a body that is no base64", `{"body":"***"}` + "\n"},
		{"a body that is no event", `{"body":"aGVsbG8="}` + "\n"},
		{"an empty body", `{"body":""}` + "\n"},
		{"a body of another type", `{"body":5}` + "\n"},
		{"far too long", `{"body":"` + strings.Repeat("A", 200_000) + `"}` + "\n"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for _, at := range []int{0, 4, len(lines)} {
				spoilt := slices.Insert(slices.Clone(lines), at, test.line)
				refused(t, "Line "+strconv.Itoa(at+1)+" of the file is not an event", "replay", fileOf(t, strings.Join(spoilt, "")))
			}
		})
	}
}

// A file that leaves events out still tells its figures, and that they are not whole.
func TestReplayOfAFileWithHoles(t *testing.T) {
	lines, live := record(t)
	for name, gone := range map[string]int{"the first of a phone": 0, "one in the middle": slices.IndexFunc(lines, func(l string) bool {
		return strings.Contains(l, `"seq":7,`)
	})} {
		t.Run(name, func(t *testing.T) {
			var line struct {
				Replica string
				Seq     int
			}
			if err := json.Unmarshal([]byte(lines[gone]), &line); err != nil {
				t.Fatal(err)
			}
			status, out, errs := run("replay", fileOf(t, strings.Join(slices.Delete(slices.Clone(lines), gone, gone+1), "")))
			same(t, "status", status, 1)
			seq := strconv.Itoa(line.Seq)
			wantWords(t, errs, "leaves out counts "+seq+" to "+seq+" of phone "+line.Replica)
			if !json.Valid([]byte(out)) || out == live+"\n" {
				t.Errorf("figures: got %q, want other figures than the wall's", out)
			}
		})
	}
}

func TestReplayOfNothing(t *testing.T) {
	var out bytes.Buffer
	if err := command.Replay(strings.NewReader(""), &out, 0); err != nil {
		t.Errorf("replay: %v", err)
	}
	if !strings.Contains(out.String(), `"events":0`) {
		t.Errorf("figures: got %q, want none", out.String())
	}
}

// With --at the room is as it was then: the figures of a time before the last
// counts are those of the file without them.
func TestReplayAt(t *testing.T) {
	lines, live := record(t)
	var last struct {
		Session struct{ OpenedMs int64 }
		Ledger  struct{ PlacedTotal int64 }
	}
	if err := json.Unmarshal([]byte(live), &last); err != nil {
		t.Fatal(err)
	}
	path := fileOf(t, strings.Join(lines, ""))
	at := func(ms int64) (opened, placed int64) {
		t.Helper()
		status, out, errs := run("replay", "--at", time.UnixMilli(ms).UTC().Format(time.RFC3339Nano), path)
		same(t, "status", status, 0)
		same(t, "errors", errs, "")
		got := last
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatal(err)
		}
		return got.Session.OpenedMs, got.Ledger.PlacedTotal
	}
	opened, placed := at(last.Session.OpenedMs - 1)
	same(t, "opened, before it was", opened, 0)
	opened, placed = at(last.Session.OpenedMs)
	same(t, "opened, when it was", opened, last.Session.OpenedMs)
	same(t, "placed when it was opened", placed, 0)
	_, placed = at(last.Session.OpenedMs + 24*3_600_000)
	same(t, "placed a day later", placed, last.Ledger.PlacedTotal)

	status, _, errs := run("replay", "--at", "11:20", path)
	same(t, "status of a time without a day", status, 1)
	if !strings.Contains(errs, "11:20") || !strings.Contains(errs, "2027-01-15T11:20:00Z") {
		t.Errorf("a time that can not be read: got %q", errs)
	}
}
