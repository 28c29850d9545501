package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// wordParts are the words that load with the screens that show them: by the
// ending of the import, and how their keys begin. All others are everybody's.
var wordParts = map[string][]string{
	"?figures":  {"figure.", "figureIs.", "figureBy.", "figureFrom.", "figureCheck.", "term.", "where.", "figures."},
	"?rare":     {"desk.", "dish.", "byHand.", "entries.", "hand.", "held.", "keys.", "languages.", "learn.", "many.", "move.", "opening.", "reading.", "recount.", "set.", "stands.", "take.", "version."},
	"?lead":     {"lead.", "sight.", "difference.", "differenceDo.", "differenceWhy.", "recountDo.", "settle.", "pace.", "mix.", "donor.", "close.", "out.", "stand.", "standWhy.", "standFigure."},
	"?office":   {"office.", "area.", "wanted.", "trace."},
	"?punch":    {"punch.", "trial."},
	"?wall":     {"wall."},
	"?day":      {"day."},
	"?quality":  {"quality."},
	"?dose":     {"dose.", "doubt."},
	"?fault":    {"fault."},
	"?help":     {"help."},
	"?join":     {"join."},
	"?practice": {"practice."},
}

// firstFaults are what may go wrong before a page has the words of other faults.
var firstFaults = []string{"fault.internal", "fault.not-booted", "fault.stopped", "fault.stopped-memory", "fault.history-split", "fault.unreachable"}

// wordsFile is how the file of a language is called, before its name.
const wordsFile = "words-"

// wordsPlugin gives each import of the words its part of them.
func (s *site) wordsPlugin() api.Plugin {
	return api.Plugin{Name: "words", Setup: func(b api.PluginBuild) {
		b.OnLoad(api.OnLoadOptions{Filter: `[/\\]words[/\\]\w+\.json$`}, func(args api.OnLoadArgs) (api.OnLoadResult, error) {
			part, err := readWords(args.Path, args.Suffix)
			return api.OnLoadResult{Contents: &part, Loader: api.LoaderJSON}, err
		})
	}}
}

// spoken is a language beside English, whose words are one file.
type spoken struct{ Name, At string }

// addLanguages adds the words of every language but English, each a file that
// the page names and every phone keeps.
func (s *site) addLanguages() error {
	paths, err := filepath.Glob(s.pwa("words", "*.json"))
	if err != nil {
		return fmt.Errorf("build: %w", err)
	}
	s.languages = nil
	for _, path := range paths {
		name := strings.TrimSuffix(filepath.Base(path), ".json")
		if name == "en" {
			continue
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return fmt.Errorf("build: %w", err)
		}
		var small bytes.Buffer
		if err := json.Compact(&small, text); err != nil {
			return fmt.Errorf("build: %s: %w", path, err)
		}
		s.languages = append(s.languages, spoken{name, s.add(wordsFile+name, ".json", small.Bytes())})
	}
	return nil
}

// readWords is the part of a language's words that an ending stands for.
func readWords(path, suffix string) (string, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("build: %w", err)
	}
	all, part := map[string]json.RawMessage{}, map[string]json.RawMessage{}
	if err := json.Unmarshal(text, &all); err != nil {
		return "", fmt.Errorf("build: %s: %w", path, err)
	}
	for key, sentence := range all {
		if partOf(key) == suffix {
			part[key] = sentence
		}
	}
	out, err := json.Marshal(part)
	if err != nil {
		return "", fmt.Errorf("build: %w", err)
	}
	return string(out), nil
}

// partOf is the ending of the part that a key belongs to, "" for everybody's.
func partOf(key string) string {
	if slices.Contains(firstFaults, key) {
		return ""
	}
	for suffix, beginnings := range wordParts {
		for _, beginning := range beginnings {
			if strings.HasPrefix(key, beginning) {
				return suffix
			}
		}
	}
	return ""
}
