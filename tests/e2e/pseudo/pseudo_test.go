package pseudo

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"rootledger/pwa/words"
)

func TestLanguages(t *testing.T) {
	tests := []struct {
		name, text string
		change     func(string) string
		want       string
	}{
		{"long", "Move {count} entries", lengthened, "Móovée {count} éeñtríiées"},
		{"long, with tags", "A <b>bold</b> “one”", lengthened, "Áa <b>bóold</b> “óoñée”"},
		{"mirrored", "2 hairs of {n}", overridden, "2 \u200f\u202ehairs\u202c\u200f \u200f\u202eof\u202c\u200f {n}"},
	}
	for _, test := range tests {
		got := around(test.text, test.change)
		if got != test.want {
			t.Errorf("%s: got %q, want %q", test.name, got, test.want)
		}
	}
}

// What a sentence quotes and its plural forms outlive every change.
func TestNothingIsLost(t *testing.T) {
	for _, language := range All() {
		for key, english := range words.English() {
			for form, text := range english {
				got := language.Words[key][form]
				if !slices.Equal(keep.FindAllString(got, -1), keep.FindAllString(text, -1)) {
					t.Errorf("%s, %s: got %q of %q", language.Name, key, got, text)
				}
			}
		}
		if got, want := len(language.Words), len(words.English()); got != want {
			t.Errorf("%s: got %d sentences, want %d", language.Name, got, want)
		}
	}
	mirrored := Mirrored().Words["move.title"]
	for _, form := range []string{"zero", "one", "two", "few", "many", "other"} {
		if mirrored[form] == "" {
			t.Errorf("mirrored: no form for %s in %v", form, mirrored)
		}
	}
}

func TestLongIsLong(t *testing.T) {
	long := Long().Words
	var before, after int
	for key, english := range words.English() {
		got := long[key]["other"]
		if !strings.HasPrefix(key, "language.") && (!strings.HasPrefix(got, "[") || !strings.HasSuffix(got, "]")) {
			t.Errorf("%s: %q has no brackets", key, got)
		}
		before += utf8.RuneCountInString(english["other"])
		after += utf8.RuneCountInString(got)
	}
	if after*100 < before*130 || after*100 > before*150 {
		t.Errorf("got %d characters of %d, want about 40 %% more", after, before)
	}
}
