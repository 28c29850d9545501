package export

import (
	"bytes"
	"encoding/base64"
	"encoding/csv"
	"errors"
	"strings"
	"testing"

	"rootledger/pwa/words"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/sheet"
)

func same[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

// written is what CSV makes of one row.
func written(t *testing.T, s sheet.Sheet) [][]string {
	t.Helper()
	var out bytes.Buffer
	if err := CSV(&out, s, words.English()); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func TestRows(t *testing.T) {
	tests := []struct {
		name string
		row  sheet.Row
		want string // joined by |
	}{
		{"a number", sheet.Row{Section: "grafts", Measure: "out", Number: 12, Unit: "grafts"}, "grafts|||out|12||grafts"},
		{"a number below zero", sheet.Row{Section: "grafts", Measure: "on the bench", Number: -3, Unit: "grafts"}, "grafts|||on the bench|-3||grafts"},
		{"a share", sheet.Row{Section: "plan", Measure: "placed of need", Number: 1, Of: 4, Unit: "grafts"}, "plan|||placed of need|1|4|grafts"},
		{"a size", sheet.Row{Section: "plan", About: "Front", Size: 4, Measure: "need", Number: 9, Unit: "grafts"}, "plan|Front|4|need|9||grafts"},
		{"a time", sheet.Row{Section: "session", Measure: "opened", Kind: sheet.Time, Number: 1_800_000_000_999}, "session|||opened|2027-01-15T08:00:00Z||"},
		{"a key with words", sheet.Row{Section: "budget", Measure: "carried by", Kind: sheet.Code, Text: "bench"}, "budget|||carried by|out and not judged||"},
		{"a key without words", sheet.Row{Section: "budget", Measure: "carried by", Kind: sheet.Code, Text: "placed"}, "budget|||carried by|placed||"},
		{"a text", sheet.Row{Section: "note", About: "Ash", Measure: "note", Kind: sheet.Text, Text: "a, \"b\"\nc"}, "note|Ash||note|a, \"b\"\nc||"},
		{"an empty text", sheet.Row{Section: "note", Measure: "note", Kind: sheet.Text}, "note|||note|||"},
		{"a unit with words", sheet.Row{Section: "plan", Measure: "area", Number: 5, Unit: "mm2"}, "plan|||area|5||mm²"},
	}
	for _, test := range tests {
		rows := written(t, sheet.Sheet{Rows: []sheet.Row{test.row}})
		same(t, test.name+": rows", len(rows), 3) // the head, the care, the row
		same(t, test.name, strings.Join(rows[2], "|"), test.want)
	}
}

func TestFormulas(t *testing.T) {
	for _, text := range []string{"=1+1", "+1", "-1", "@x", "\t=1", "\r=1", "\n=1", "\x00=1", "=HYPERLINK(\"a\")"} {
		row := sheet.Row{Section: "note", About: text, Measure: "note", Kind: sheet.Text, Text: text}
		var out bytes.Buffer
		if err := CSV(&out, sheet.Sheet{Rows: []sheet.Row{row}}, words.English()); err != nil {
			t.Fatal(err)
		}
		same(t, "escaped "+text, strings.Count(out.String(), "'"+text[:1]), 2)
	}
	for _, text := range []string{"1=1", "a@x", "'=1", "ä", " "} {
		rows := written(t, sheet.Sheet{Rows: []sheet.Row{{Section: "note", About: text, Measure: "note", Kind: sheet.Text, Text: text}}})
		same(t, "left alone", rows[2][4], text)
	}
}

func TestEverySheetSaysWhatItIs(t *testing.T) {
	for _, practice := range []bool{false, true} {
		rows := written(t, sheet.Sheet{Practice: practice})
		same(t, "care", rows[1][4], words.English().Text("care"))
		same(t, "practice is marked", len(rows) == 3 && strings.Contains(rows[2][4], "PRACTICE"), practice)
	}
}

func TestFileNames(t *testing.T) {
	s := sheet.Sheet{Case: "C-1", Room: "A", OpenedMs: 1_800_000_000_000}
	same(t, "real", FileName(s, "csv"), "2027-01-15_room-A_case-C-1_sheet.csv")
	s.Practice = true
	same(t, "practice", FileName(s, "jsonl"), "practice_2027-01-15_room-A_case-C-1_sheet.jsonl")
}

// full takes nothing.
type full struct{}

var errFull = errors.New("full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWritersThatFail(t *testing.T) {
	if err := CSV(full{}, sheet.Sheet{}, words.English()); !errors.Is(err, errFull) {
		t.Errorf("CSV: got %v, want %v", err, errFull)
	}
	if err := NewJSONLines(full{}).Write(events(t)[0]); !errors.Is(err, errFull) {
		t.Errorf("JSON Lines: got %v, want %v", err, errFull)
	}
}

// events are one author's, of every form that a line can have.
func events(t *testing.T) (out []*event.Event) {
	t.Helper()
	facts := []event.Fact{&event.Opened{Case: "C-1", Room: "A", Stations: []event.Station{event.Placing}},
		&event.Note{Text: "<a & b>\n\"c\" é 😀"}, &event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{1, 2}, N: 2}}
	head := &event.Event{}
	for i, fact := range facts {
		e := &event.Event{Replica: event.ReplicaID{1}, Seq: uint64(i + 1), Prev: head.Hash, Stamp: event.StampAt(1_800_000_000_000), Fact: fact}
		if i == 0 {
			e.Session, e.Phone = event.SessionID{1}, event.PhoneID{1}
		}
		if err := e.Seal(); err != nil {
			t.Fatal(err)
		}
		out, head = append(out, e), e
	}
	return out
}

func lines(t *testing.T, all []*event.Event) string {
	t.Helper()
	var out bytes.Buffer
	to := NewJSONLines(&out)
	for _, e := range all {
		if err := to.Write(e); err != nil {
			t.Fatal(err)
		}
	}
	return out.String()
}

func TestJSONLinesAreReadBack(t *testing.T) {
	all := events(t)
	text := lines(t, all)
	same(t, "lines", strings.Count(text, "\n"), len(all))
	got, err := ReadJSONLines(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	same(t, "events", len(got), len(all))
	for i := range all {
		same(t, "hash", got[i].Hash, all[i].Hash)
	}
	for _, want := range []string{`"kind":"opened"`, `"at":"2027-01-15T08:00:00.000Z"`, `<a & b>`} {
		if !strings.Contains(text, want) {
			t.Errorf("lines: got %s, want %s in them", text, want)
		}
	}
}

// The pieces of a split are numbers to read, as every other size is.
func TestPiecesAreReadable(t *testing.T) {
	if text := lines(t, events(t)); !strings.Contains(text, `"pieces":[1,2]`) {
		t.Errorf("lines: got %s, want \"pieces\":[1,2] in them", text)
	}
}

// An event of a later version stands in its line as far as it is understood.
func TestJSONLinesOfALaterVersion(t *testing.T) {
	e := events(t)[0]
	e.Fact = &event.Unread{Of: 200}
	text := lines(t, []*event.Event{e})
	if !strings.Contains(text, `"kind":"kind 200"`) || !strings.Contains(text, base64.StdEncoding.EncodeToString(e.Body)) {
		t.Errorf("line: got %s, want its kind and its body", text)
	}
}

func TestBrokenLines(t *testing.T) {
	good := strings.SplitAfter(lines(t, events(t)), "\n")[:3]
	tests := []struct{ name, text, line string }{
		{"the first", "{\n" + good[0], "1"},
		{"behind good ones", good[0] + good[1] + "{}\n", "3"},
		{"behind an empty one", good[0] + "\n{}\n" + good[1], "3"},
		{"cut off at the end", good[0] + good[1][:40], "2"},
		{"too long", good[0] + strings.Repeat("x", maxLine+1), "2"},
	}
	for _, test := range tests {
		got, err := ReadJSONLines(strings.NewReader(test.text))
		f := fault.Of(err)
		if f == nil || f.Code != "line-damaged" || f.Args[0] != (fault.Arg{Name: "line", Value: test.line}) {
			t.Errorf("%s: got %v, want line-damaged of line %s", test.name, err, test.line)
		}
		same(t, test.name+": events", len(got), 0)
	}
}
