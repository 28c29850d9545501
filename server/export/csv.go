// Package export writes a session's record in the formats that other programs
// read: CSV for people and spreadsheets, JSON Lines without loss.
package export

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"time"

	"rootledger/pwa/words"
	"rootledger/shared/sheet"
)

var csvHead = []string{"section", "about", "size", "measure", "value", "of", "unit"}

// CSV writes a sheet: UTF-8, commas, one row a figure, times as RFC 3339 in
// UTC. A text that a spreadsheet would take for a formula gets an apostrophe.
func CSV(w io.Writer, s sheet.Sheet, say words.Words) error {
	out := csv.NewWriter(w)
	rows := [][]string{csvHead, {"care", "", "", "note", say.Text("care"), "", ""}}
	if s.Practice {
		rows = append(rows, []string{"care", "", "", "practice", say.Text("practice"), "", ""})
	}
	for _, r := range s.Rows {
		rows = append(rows, csvRow(r, say))
	}
	for _, row := range rows {
		if err := out.Write(row); err != nil {
			return fmt.Errorf("export: csv: %w", err)
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("export: csv: %w", err)
	}
	return nil
}

func csvRow(r sheet.Row, say words.Words) []string {
	size, of, value := "", "", ""
	if r.Size != 0 {
		size = strconv.Itoa(int(r.Size))
	}
	if r.Of != 0 {
		of = strconv.FormatInt(r.Of, 10)
	}
	switch r.Kind {
	case sheet.Number:
		value = strconv.FormatInt(r.Number, 10)
	case sheet.Time:
		value = time.UnixMilli(r.Number).UTC().Format(time.RFC3339)
	case sheet.Code:
		value = safe(say.Sheet(r.Text))
	case sheet.Text:
		value = safe(r.Text)
	}
	return []string{say.Sheet(r.Section), safe(r.About), size, say.Sheet(r.Measure), value, of, say.Sheet(r.Unit)}
}

// safe stops a text from being a formula in a spreadsheet.
func safe(text string) string {
	if text == "" {
		return text
	}
	switch text[0] {
	case '=', '+', '-', '@', '\t', '\r', '\n', 0:
		return "'" + text
	}
	return text
}

// FileName is what a downloaded sheet is called, from its day, room and case.
func FileName(s sheet.Sheet, ext string) string {
	day := time.UnixMilli(s.OpenedMs).UTC().Format(time.DateOnly)
	mark := ""
	if s.Practice {
		mark = "practice_"
	}
	return fmt.Sprintf("%s%s_room-%s_case-%s_sheet.%s", mark, day, s.Room, s.Case, ext)
}
