package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"rootledger/pwa/words"
)

func TestGeneratedIsUpToDate(t *testing.T) {
	got, err := os.ReadFile("../quotes.gen.ts")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, Quotes(words.English())) {
		t.Error("quotes.gen.ts is older than en.json: run go generate ./pwa/words")
	}
}

func TestQuotes(t *testing.T) {
	got := string(Quotes(words.Words{
		"b.plain":  {"other": "Nothing"},
		"c.names":  {"other": "{to} from {from}, {to}"},
		"a.count":  {"one": "{n} thing", "other": "{n} things"},
		"d.counts": {"one": "1 of {of}", "other": "{n} of {of}"},
	}))
	want := `export interface Quotes {
  "a.count": Count;
  "c.names": With<"from" | "to">;
  "d.counts": Count & With<"of">;
}
`
	if !strings.HasSuffix(got, want) {
		t.Errorf("got %s, want %s at its end", got, want)
	}
}
