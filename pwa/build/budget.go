package main

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
	"text/tabwriter"
)

// sizesFile, beside the result, is the table of its bytes.
const sizesFile = "sizes"

// The budgets, in bytes.
const (
	engineBrotli = 750_000
	engineGzip   = 900_000
	firstGzip    = 40_000
	shellBrotli  = 900_000

	apartBrotli   = 80_000
	fetchedBrotli = 16_000
	wordsBrotli   = 60_000 // of each language beside English, which comes on top
)

// sum adds up forms of files.
type sum struct{ raw, gz, br int }

func (s *sum) add(p packed) {
	s.raw += len(p.raw)
	if p.gz == nil { // goes over the wire as it is
		s.gz += len(p.raw)
		s.br += len(p.raw)
		return
	}
	s.gz += len(p.gz)
	s.br += len(p.br)
}

// budgets returns the table of bytes, and whether a budget is broken.
func (s *site) budgets(files map[string]packed) (string, bool) {
	var text strings.Builder
	table := tabwriter.NewWriter(&text, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(table, "bytes\tgzip\tbrotli\t\t")
	over := false
	budget := func(what string, got, most int) string {
		if got <= most {
			return fmt.Sprintf(", %s at most %d", what, most)
		}
		over = true
		return fmt.Sprintf(", OVER: %s at most %d", what, most)
	}
	line := func(one sum, says string) {
		fmt.Fprintf(table, "%d\t%d\t%d\t\t%s\n", one.raw, one.gz, one.br, says)
	}
	var shell, first, engine, fetched, apart sum
	for _, name := range slices.Sorted(maps.Keys(files)) {
		var one sum
		one.add(files[name])
		line(one, name)
		if of, ok := strings.CutPrefix(name, staticDir+"/"+wordsFile); ok {
			line(one, "the language of "+of+budget("brotli", one.br, wordsBrotli))
		} else if slices.Contains(s.fetched, name) {
			fetched.add(files[name])
		} else if slices.Contains(s.apart, name) {
			apart.add(files[name])
		} else if name != "sw.js" {
			shell.add(files[name])
		}
		if slices.Contains(s.firstJS, name) {
			first.add(files[name])
		}
		if path.Ext(name) == ".wasm" {
			engine.add(files[name])
		}
	}
	line(engine, "the engine"+budget("brotli", engine.br, engineBrotli)+budget("gzip", engine.gz, engineGzip))
	line(first, "scripts of a phone's first screen"+budget("gzip", first.gz, firstGzip))
	line(fetched, "fetched from the room when needed, not kept"+budget("brotli", fetched.br, fetchedBrotli))
	line(apart, "office and wall, kept where one of them is opened"+budget("brotli", apart.br, apartBrotli))
	line(shell, "everything a phone keeps"+budget("brotli", shell.br, shellBrotli))
	table.Flush()
	return text.String(), over
}
