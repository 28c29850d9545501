// Package words has every sentence that a person reads, one file a language,
// for the server's answers, the paper and the screens alike.
package words

import (
	"embed"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"rootledger/shared/fault"
)

//go:generate go run ./gen

//go:embed *.json
var files embed.FS

// Sentence is a sentence in the plural forms that its language has, by their
// CLDR names; "other" alone where its number changes nothing. Which form is
// said is up to the argument {n}.
type Sentence map[string]string

// UnmarshalJSON reads a sentence without forms, or an object of them.
func (s *Sentence) UnmarshalJSON(text []byte) error {
	if len(text) > 0 && text[0] == '"' {
		var one string
		err := json.Unmarshal(text, &one)
		*s = Sentence{"other": one}
		return err
	}
	return json.Unmarshal(text, (*map[string]string)(s))
}

// MarshalJSON writes a sentence as it is read.
func (s Sentence) MarshalJSON() ([]byte, error) {
	if len(s) == 1 {
		return json.Marshal(s["other"])
	}
	return json.Marshal(map[string]string(s))
}

// Words is one language: sentences by key. A sentence quotes arguments as {name}.
type Words map[string]Sentence

// English is the language that every key has.
func English() Words { return parsed }

var parsed = func() Words {
	w, err := Of("en")
	if err != nil {
		panic(err) // embedded: a test has read it
	}
	return w
}()

// Of is a language by the name of its file.
func Of(name string) (Words, error) {
	text, err := files.ReadFile(name + ".json")
	if err != nil {
		return nil, fmt.Errorf("words: %w", err)
	}
	var w Words
	if err := json.Unmarshal(text, &w); err != nil {
		return nil, fmt.Errorf("words: %s.json: %w", name, err)
	}
	return w, nil
}

// Text is the sentence of a key; a key without one is shown as it is.
func (w Words) Text(key string) string {
	if s, ok := w[key]; ok {
		return s["other"]
	}
	return key
}

// Count is the sentence of a key in the plural form of a whole number, which is
// filled in as {n}.
func (w Words) Count(key string, n int) string {
	return strings.ReplaceAll(w.form(key, n), "{n}", strconv.Itoa(n))
}

// form is the sentence of a key for a whole number.
func (w Words) form(key string, n int) string {
	if s, ok := w[key][w.formOf(n)]; ok {
		return s
	}
	return w.Text(key)
}

// formNames are the plural forms as files name them.
var formNames = map[plural.Form]string{plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many", plural.Other: "other"}

// formOf is the plural form that the language has for a whole number.
func (w Words) formOf(n int) string {
	return formNames[plural.Cardinal.MatchPlural(language.Make(w.Text("language.tag")), max(n, -n), 0, 0, 0, 0)]
}

// Sheet is the word for a key of the sheet: its entry, or the key itself, which
// is plain English.
func (w Words) Sheet(key string) string {
	if s, ok := w["sheet."+key]; ok {
		return s["other"]
	}
	return key
}

// Fault is what a person reads of a fault: what happened, whether counts are
// safe, and what to do.
func (w Words) Fault(f *fault.Fault) string {
	key := "fault." + string(f.Code)
	s := w.Text(key)
	for _, a := range f.Args {
		if n, err := strconv.Atoi(a.Value); err == nil && a.Name == "n" {
			s = w.form(key, n)
		}
	}
	for _, a := range f.Args {
		s = strings.ReplaceAll(s, "{"+a.Name+"}", a.Value)
	}
	return s
}
