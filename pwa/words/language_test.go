package words

import (
	"encoding/json"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/language"
)

// needed are the plural forms that a language has for whole numbers. What only
// numbers with decimals have is "other" in every language, and always there.
func needed(w Words) []string {
	forms := map[string]bool{"other": true}
	for n := range 1101 {
		forms[w.formOf(n)] = true
	}
	return slices.Sorted(maps.Keys(forms))
}

// wrongIn lists what is wrong with a language, held to English.
func wrongIn(file string, w Words) (wrong []string) {
	say := func(key, what string) { wrong = append(wrong, key+" "+what) }
	tag, err := language.Parse(w.Text("language.tag"))
	if base, _ := tag.Base(); err != nil || base.String() != strings.Split(file, "-")[0] {
		say("language.tag", "is not of "+file)
	}
	if dir := w.Text("language.dir"); dir != "ltr" && dir != "rtl" {
		say("language.dir", "is "+dir)
	}
	forms := needed(w)
	for key, english := range English() {
		sentence, ok := w[key]
		if !ok {
			say(key, "is missing")
			continue
		}
		wrong = append(wrong, wrongForms(key, forms, sentence, english)...)
		for form, text := range sentence {
			exact := form == "zero" || form == "one" || form == "two" // may say its number in words
			if !sameNames(places(text), namesOf(english), exact) {
				say(key, "does not quote what English does in "+form)
			}
		}
	}
	for key := range w {
		if _, ok := English()[key]; !ok {
			say(key, "is not in English")
		}
	}
	slices.Sort(wrong)
	return wrong
}

// wrongForms says which plural forms a sentence lacks, or has and never says.
func wrongForms(key string, forms []string, sentence, english Sentence) (wrong []string) {
	if len(english) > 1 || len(sentence) > 1 {
		for _, form := range forms {
			if _, ok := sentence[form]; !ok {
				wrong = append(wrong, key+" has no form for "+form)
			}
		}
	}
	for form := range sentence { // some languages have "many" for whole millions
		if !slices.Contains(forms, form) && form != "many" {
			wrong = append(wrong, key+" has a form "+form+" that the language never needs")
		}
	}
	if len(sentence) > 1 && len(english) == 1 && !slices.Contains(namesOf(english), "n") {
		wrong = append(wrong, key+" has forms and no {n} to choose one by")
	}
	return wrong
}

// namesOf are all names that a sentence quotes.
func namesOf(s Sentence) (names []string) {
	for _, text := range s {
		names = append(names, places(text)...)
	}
	return names
}

// sameNames says whether a form quotes what the sentence does; one of an exact
// number may leave {n} out.
func sameNames(got, want []string, exact bool) bool {
	for _, name := range want {
		if !slices.Contains(got, name) && !(exact && name == "n") && !(exact && len(got) < len(want)) {
			return false
		}
	}
	return !slices.ContainsFunc(got, func(name string) bool { return !slices.Contains(want, name) })
}

// Every language says all that English says, quotes the same, and has every
// plural form that it needs.
func TestLanguagesAreWhole(t *testing.T) {
	found, err := filepath.Glob("*.json")
	if err != nil || len(found) == 0 {
		t.Fatalf("no languages: %v", err)
	}
	for _, path := range found {
		file := strings.TrimSuffix(path, ".json")
		w, err := Of(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, what := range wrongIn(file, w) {
			t.Errorf("%s: %s", path, what)
		}
	}
}

// A language that is not whole is found out.
func TestWrongLanguages(t *testing.T) {
	polish := func(change func(Words)) Words {
		w := maps.Clone(English())
		for key, s := range w {
			if len(s) > 1 {
				w[key] = Sentence{"one": s["one"], "few": s["other"], "many": s["other"], "other": s["other"]}
			}
		}
		w["language.tag"] = Sentence{"other": "pl"}
		change(w)
		return w
	}
	tests := []struct {
		name   string
		change func(Words)
		want   string
	}{
		{"whole", func(Words) {}, ""},
		{"a form is missing", func(w Words) { delete(w["move.title"], "few") }, "move.title has no form for few"},
		{"a sentence is missing", func(w Words) { delete(w, "care") }, "care is missing"},
		{"a form that it never needs", func(w Words) { w["move.title"]["two"] = "{n}" }, "move.title has a form two that the language never needs"},
		{"an argument is missing", func(w Words) { w["move.done"]["many"] = "{n} moved" }, "move.done does not quote what English does in many"},
		{"an argument too many", func(w Words) { w["care"] = Sentence{"other": "{x}"} }, "care does not quote what English does in other"},
		{"forms where English has none", func(w Words) {
			w["line.short"] = Sentence{"one": "{n}", "few": "{n}", "many": "{n}", "other": "{n}"}
		}, ""},
		{"forms and no number", func(w Words) {
			w["care"] = Sentence{"one": "x", "few": "x", "many": "x", "other": "x"}
		}, "care has forms and no {n} to choose one by"},
		{"another language's tag", func(w Words) { w["language.tag"] = Sentence{"other": "pt"} }, "language.tag is not of pl"},
		{"no direction", func(w Words) { w["language.dir"] = Sentence{"other": "up"} }, "language.dir is up"},
		{"a key of its own", func(w Words) { w["mine"] = Sentence{"other": "x"} }, "mine is not in English"},
	}
	for _, test := range tests {
		got := strings.Join(wrongIn("pl", polish(test.change)), "; ")
		if test.want == "" && got != "" || !strings.Contains(got, test.want) {
			t.Errorf("%s: got %q, want %q", test.name, got, test.want)
		}
	}
}

// The forms are those that Unicode's CLDR lists for whole numbers (from memory).
func TestPluralForms(t *testing.T) {
	tests := []struct {
		tag  string
		n    int
		want string
	}{
		{"en-GB", 0, "other"}, {"en-GB", 1, "one"}, {"en-GB", -1, "one"}, {"en-GB", 21, "other"},
		{"fr", 0, "one"}, {"fr", 2, "other"},
		{"pl", 1, "one"}, {"pl", 2, "few"}, {"pl", 12, "many"}, {"pl", 22, "few"}, {"pl", 5, "many"},
		{"ar", 0, "zero"}, {"ar", 2, "two"}, {"ar", 3, "few"}, {"ar", 11, "many"}, {"ar", 100, "other"},
		{"ja", 1, "other"},
	}
	for _, test := range tests {
		w := Words{"language.tag": {"other": test.tag}, "x": {test.want: "that: {n}", "other": "other: {n}"}}
		if got := w.formOf(test.n); got != test.want {
			t.Errorf("%s, %d: got %s, want %s", test.tag, test.n, got, test.want)
		}
	}
	w := Words{"language.tag": {"other": "pl"}, "x": {"few": "{n} few, {n}", "other": "{n} other"}}
	for n, want := range map[int]string{3: "3 few, 3", 1: "1 other"} {
		if got := w.Count("x", n); got != want {
			t.Errorf("%d: got %q, want %q", n, got, want)
		}
	}
}

func TestSentences(t *testing.T) {
	for _, text := range []string{`"plain {x}"`, `{"one":"{n} thing","other":"{n} things"}`} {
		var s Sentence
		if err := json.Unmarshal([]byte(text), &s); err != nil {
			t.Fatal(err)
		}
		back, err := json.Marshal(s)
		if err != nil || string(back) != text {
			t.Errorf("got %s, %v, want %s", back, err, text)
		}
	}
	for _, text := range []string{`["x"]`, `{"one":1}`, `7`} {
		var s Sentence
		if err := json.Unmarshal([]byte(text), &s); err == nil {
			t.Errorf("%s was read as %v", text, s)
		}
	}
	if _, err := Of("no-such"); err == nil {
		t.Error("a language without a file was read")
	}
}
