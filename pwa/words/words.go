// Package words has every sentence that a person reads, one file a language,
// for the server's answers, the paper and the screens alike.
package words

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"

	"rootledger/shared/fault"
)

//go:embed en.json
var english []byte

// Words is one language: sentences by key. A sentence quotes arguments as {name}.
type Words map[string]string

// English is the language that every key has.
func English() Words { return parsed }

var parsed = func() Words {
	var w Words
	if err := json.Unmarshal(english, &w); err != nil {
		panic(fmt.Sprintf("words: en.json: %v", err)) // embedded: a test has read it
	}
	return w
}()

// Text is the sentence of a key; a key without one is shown as it is.
func (w Words) Text(key string) string {
	if s, ok := w[key]; ok {
		return s
	}
	return key
}

// Sheet is the word for a key of the sheet: its entry, or the key itself, which
// is plain English.
func (w Words) Sheet(key string) string {
	if s, ok := w["sheet."+key]; ok {
		return s
	}
	return key
}

// Fault is what a person reads of a fault: what happened, whether counts are
// safe, and what to do.
func (w Words) Fault(f *fault.Fault) string {
	s := w.Text("fault." + string(f.Code))
	for _, a := range f.Args {
		s = strings.ReplaceAll(s, "{"+a.Name+"}", a.Value)
	}
	return s
}
