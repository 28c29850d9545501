package web_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"mime"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
)

// rows is a downloaded sheet, read as CSV.
func (r *rig) rows() [][]string {
	r.t.Helper()
	text, err := r.api.Sheet(bounded(r.t), r.session, "csv")
	if err != nil {
		r.t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		r.t.Fatalf("sheet: %v", err)
	}
	return rows
}

// sheetCell is one value of the sheet.
func (r *rig) sheetCell(section, about, measure string) string {
	r.t.Helper()
	for _, row := range r.rows() {
		if row[0] == section && row[1] == about && row[3] == measure {
			return row[4]
		}
	}
	r.t.Errorf("sheet: no row %s, %s, %s", section, about, measure)
	return ""
}

func (r *rig) download(ext string) (*http.Response, string) {
	r.t.Helper()
	return r.call(http.DefaultClient, request{method: "GET", token: r.api.Office,
		path: "/api/sessions/" + r.session.String() + "/sheet." + ext})
}

func TestDownloads(t *testing.T) {
	r := newRig(t)
	day := time.Now().UTC().Format(time.DateOnly)
	for ext, contentType := range map[string]string{"csv": "text/csv; charset=utf-8", "jsonl": "application/jsonl; charset=utf-8"} {
		t.Run(ext, func(t *testing.T) {
			answer, text := r.download(ext)
			same(t, "status", answer.StatusCode, http.StatusOK)
			same(t, "content type", answer.Header.Get("Content-Type"), contentType)
			same(t, "cached", answer.Header.Get("Cache-Control"), "no-store")
			disposition, parameters, err := mime.ParseMediaType(answer.Header.Get("Content-Disposition"))
			if err != nil {
				t.Fatal(err)
			}
			same(t, "disposition", disposition, "attachment")
			if got := parameters["filename"]; !strings.HasSuffix(got, "_room-A_case-C-1_sheet."+ext) || strings.Contains(got, "practice") {
				t.Errorf("file name: got %q, want %s_room-A_case-C-1_sheet.%s", got, day, ext)
			} else if _, err := time.Parse(time.DateOnly, got[:len(time.DateOnly)]); err != nil {
				t.Errorf("file name: got %q, want a day first", got)
			}
			if len(text) == 0 {
				t.Error("nothing was downloaded")
			}
		})
	}
}

// Practice is marked in the file's name and in the sheet.
func TestPracticeIsMarked(t *testing.T) {
	r := newRig(t)
	r.session = practice.RandomID[event.SessionID]()
	if err := r.api.CreateSession(bounded(t), r.session, "P"); err != nil {
		t.Fatal(err)
	}
	pass, me := r.officePass()
	p := practice.NewPhone("Ash", r.phoneAPI(), pass, me, now)
	tap(t, p, &event.Opened{Case: "P-1", Room: "P", Stations: []event.Station{event.Placing},
		Practice: event.Practice{StartMs: 1_893_484_800_000, RealMs: uint64(now().WallMs), Speed: 1}})
	stay(t, p)
	inRoom(t, p)
	answer, _ := r.download("csv")
	if got := answer.Header.Get("Content-Disposition"); !strings.Contains(got, "practice_") {
		t.Errorf("file name: got %q, want practice in it", got)
	}
	if got := r.sheetCell("care", "", "practice"); !strings.Contains(got, "PRACTICE") {
		t.Errorf("sheet: got %q, want PRACTICE", got)
	}
}

// Nothing that a person typed begins like a formula in a spreadsheet.
func TestFormulasAreOnlyText(t *testing.T) {
	r := newRig(t)
	pass, me := r.officePass()
	p := practice.NewPhone("Ash", r.phoneAPI(), pass, me, now)
	tap(t, p, &event.Joined{Person: "@x", Station: event.Sorting})
	notes := []string{"=1+1", "+1", "-1", "@x", "a\"b,\n=1+1", `=HYPERLINK("http://x/","y")`, "plain"}
	for _, note := range notes {
		tap(t, p, &event.Note{Text: note})
	}
	tap(t, p, &event.Zone{Name: "=Crown", AreaMM2: 1, Density10: 1, Mix: [event.Sizes]uint16{1000}})
	tap(t, p, &event.Sorted{Size: 1, N: 1})
	tap(t, p, &event.HandedOver{Person: "=y"})
	tap(t, p, &event.Sorted{Size: 1, N: 2})
	stay(t, p)
	inRoom(t, p)
	var told []string
	for _, row := range r.rows() {
		for _, cell := range row {
			if _, number := parseNumber(cell); cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r") && !number {
				t.Errorf("row %q: a cell begins like a formula: %q", row, cell)
			}
		}
		if row[0] == "note" {
			same(t, "who noted it", row[1], "'@x")
			told = append(told, strings.TrimPrefix(row[4], "'"))
		}
	}
	if !slices.Equal(told, notes) {
		t.Errorf("notes: got %q, want %q", told, notes)
	}
	same(t, "sorted by", r.sheetCell("team", "'=y (sorting)", "sorted"), "2")
	if answer, _ := r.download("jsonl"); answer.StatusCode != http.StatusOK {
		t.Errorf("JSON Lines: status %d", answer.StatusCode)
	}
}

func parseNumber(cell string) (n json.Number, ok bool) {
	return n, json.Unmarshal([]byte(cell), &n) == nil
}

// Every line says in words what happened, and holds the body beside it.
func TestJSONLinesCanBeRead(t *testing.T) {
	r := newRig(t)
	p := r.phone("Ash & Elm <1>")
	tap(t, p, &event.Note{Text: "a\nb"})
	inRoom(t, p)
	_, text := r.download("jsonl")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	same(t, "lines", len(lines), len(r.stored()))
	var kinds []string
	for i, text := range lines {
		var line struct {
			At, Kind string
			Seq      uint64
			Replica  event.ReplicaID
			Body     []byte
			Fact     json.RawMessage
		}
		if err := json.Unmarshal([]byte(text), &line); err != nil {
			t.Fatalf("line %d: %v", i+1, err)
		}
		if _, err := time.Parse(time.RFC3339Nano, line.At); err != nil {
			t.Errorf("line %d: %v", i+1, err)
		}
		if !bytes.Equal(line.Body, r.stored()[i]) {
			t.Errorf("line %d: another body than the stored one", i+1)
		}
		kinds = append(kinds, line.Kind)
	}
	if want := []string{"opened", "joined", "zone", "joined", "note"}; !slices.Equal(kinds, want) {
		t.Errorf("kinds: got %q, want %q", kinds, want)
	}
	if !strings.Contains(text, "Ash & Elm <1>") {
		t.Errorf("names are not written as they are: %s", text)
	}
}

// A session that nobody opened yet has a sheet too.
func TestSheetOfAnEmptySession(t *testing.T) {
	r := newRig(t)
	r.session = practice.RandomID[event.SessionID]()
	if err := r.api.CreateSession(bounded(t), r.session, "B"); err != nil {
		t.Fatal(err)
	}
	same(t, "events", r.sheetCell("session", "", "events"), "0")
	answer, text := r.download("jsonl")
	same(t, "status", answer.StatusCode, http.StatusOK)
	same(t, "lines", text, "")
}
