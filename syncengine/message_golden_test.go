package syncengine

import (
	"bytes"
	"encoding/hex"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// goldenMessages is what the files in testdata/messages hold, each a message of
// version 1: later versions must read them as this one does.
func goldenMessages(t testing.TB) map[string]Message {
	t.Helper()
	out := messages()
	out["events"] = Events{pack(t, mixed(t))[0]}
	return out
}

func messagePath(name string) string {
	return filepath.Join("testdata", "messages", name+".v1.hex")
}

func readMessage(t testing.TB, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	frame, err := hex.DecodeString(strings.Join(strings.Fields(string(text)), ""))
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return frame
}

func writeMessage(t *testing.T, path string, frame []byte) {
	t.Helper()
	var lines strings.Builder
	for rest := hex.EncodeToString(frame); rest != ""; {
		n := min(64, len(rest))
		lines.WriteString(rest[:n] + "\n")
		rest = rest[n:]
	}
	if err := os.WriteFile(path, []byte(lines.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestGoldenMessages(t *testing.T) {
	for name, m := range goldenMessages(t) {
		t.Run(name, func(t *testing.T) {
			if *update {
				writeMessage(t, messagePath(name), EncodeMessage(m))
			}
			frame := readMessage(t, messagePath(name))
			if got := EncodeMessage(m); !bytes.Equal(got, frame) {
				t.Errorf("written:\n got %x\nwant %x", got, frame)
			}
			if got := decoded(t, frame); !reflect.DeepEqual(got, m) {
				t.Errorf("read: got %+v, want %+v", got, m)
			}
		})
	}
}

// Every file of every version is read as a message of its name's type.
func TestEveryVersionOfAMessageIsRead(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "messages", "*.hex"))
	if err != nil || len(files) < len(messages()) {
		t.Fatalf("got %d files, %v", len(files), err)
	}
	for _, file := range files {
		name, _, _ := strings.Cut(filepath.Base(file), ".")
		got := decoded(t, readMessage(t, file))
		if want := messages()[name]; reflect.TypeOf(got) != reflect.TypeOf(want) {
			t.Errorf("%s: got %T, want %T", file, got, want)
		}
	}
}

func TestTheGoldenEventsAreUnpacked(t *testing.T) {
	got, err := decoded(t, readMessage(t, messagePath("events"))).(Events).Unpack()
	if err != nil {
		t.Fatal(err)
	}
	sameEvents(t, got, mixed(t))
}

// A golden with an empty field would not notice that the field is lost.
func TestGoldenMessagesAreFull(t *testing.T) {
	for name, m := range goldenMessages(t) {
		v := reflect.ValueOf(m)
		for i := range v.NumField() {
			if v.Field(i).IsZero() {
				t.Errorf("%s: %s is empty", name, v.Type().Field(i).Name)
			}
		}
	}
}

// What was packed is taken as a whole or not at all.
func TestDamagedEventsAreNoEvents(t *testing.T) {
	packed := pack(t, mixed(t))[0]
	for name, rows := range map[string][]byte{"cut": packed[:len(packed)-1], "more": append(bytes.Clone(packed), rowOther)} {
		got, err := decoded(t, EncodeMessage(Events{rows})).(Events).Unpack()
		wantCode(t, name, err, "frame-damaged")
		if got != nil {
			t.Errorf("%s: got %d events beside the fault", name, len(got))
		}
	}
}
