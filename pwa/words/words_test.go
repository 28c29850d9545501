package words

import (
	"bytes"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rootledger/shared/fault"
)

const ofFault = "fault."

var place = regexp.MustCompile(`\{([a-zA-Z]+)\}`)

// places are the arguments that a sentence quotes.
func places(sentence string) (names []string) {
	for _, found := range place.FindAllStringSubmatch(sentence, -1) {
		names = append(names, found[1])
	}
	return names
}

func TestEveryFaultHasASentence(t *testing.T) {
	for _, u := range faults(t) {
		if _, ok := English()[ofFault+u.code]; !ok && u.code != "" {
			t.Errorf("%s: en.json has no %s%s", u.at, ofFault, u.code)
		}
	}
}

func TestEverySentenceOfAFaultIsUsed(t *testing.T) {
	used := inPages(t)
	for _, u := range faults(t) {
		used[u.code] = true
	}
	for key := range English() {
		if code, ok := strings.CutPrefix(key, ofFault); ok && !used[code] {
			t.Errorf("nothing makes the fault of %s", key)
		}
	}
}

// Wherever a fault is made, it gives every argument that its sentence quotes.
func TestFaultsFillTheirSentences(t *testing.T) {
	for _, u := range faults(t) {
		for _, form := range English()[ofFault+u.code] {
			for _, name := range places(form) {
				if !slices.Contains(u.args, name) {
					t.Errorf("%s: the sentence of %s quotes {%s}, and the fault gives only %q", u.at, u.code, name, u.args)
				}
			}
		}
	}
}

var assures = regexp.MustCompile(`(?i)\b(safe|kept|stored|nothing (was|is)|still (has|have)|both still)\b`)

// A fault says what happened, and whether counts are kept or anything changed.
func TestFaultsAssure(t *testing.T) {
	for key := range English() {
		if !strings.HasPrefix(key, ofFault) {
			continue
		}
		sentence := English().Text(key)
		if strings.Count(sentence, ". ") < 1 || !strings.HasSuffix(sentence, ".") {
			t.Errorf("%s is not two sentences: %q", key, sentence)
		}
		if !assures.MatchString(sentence) {
			t.Errorf("%s does not say what became of counts: %q", key, sentence)
		}
	}
}

func TestSentencesAreWellFormed(t *testing.T) {
	for key, forms := range English() {
		for _, sentence := range forms {
			if rest := place.ReplaceAllString(sentence, ""); strings.ContainsAny(rest, "{}") {
				t.Errorf("%s has a brace that is no argument: %q", key, sentence)
			}
			if sentence != strings.TrimSpace(sentence) && strings.HasPrefix(key, ofFault) || sentence == "" {
				t.Errorf("%s begins or ends with a space, or is empty: %q", key, sentence)
			}
		}
	}
}

// A key that stands twice would silently lose one of its sentences.
func TestNoKeyTwice(t *testing.T) {
	text, err := files.ReadFile("en.json")
	if err != nil {
		t.Fatal(err)
	}
	in := json.NewDecoder(bytes.NewReader(text))
	seen := map[string]bool{}
	for at := 0; in.More() || at == 0; at++ {
		token, err := in.Token()
		if err != nil {
			t.Fatal(err)
		}
		key, ok := token.(string)
		if !ok {
			continue // the brace
		}
		if seen[key] {
			t.Errorf("%s stands twice", key)
		}
		seen[key] = true
		var sentence Sentence
		if err := in.Decode(&sentence); err != nil {
			t.Fatalf("%s: %v", key, err)
		}
	}
	if got := len(English()); got != len(seen) {
		t.Errorf("keys: got %d, want %d", got, len(seen))
	}
}

func TestWordsOfAFault(t *testing.T) {
	say := Words{
		"language.tag": {"other": "en"},
		"fault.full":   {"other": "Only {max} of {what}, {max}. Nothing was kept."},
		"fault.plain":  {"other": "No. Nothing was kept."},
		"fault.left":   {"one": "{n} is left of {what}. It is kept.", "other": "{n} are left of {what}. All are kept."},
	}
	tests := []struct {
		name  string
		fault *fault.Fault
		want  string
	}{
		{"every place filled", fault.New(fault.TooMuch, "full").WithInt("max", -3).With("what", "a {b} %s"), "Only -3 of a {b} %s, -3. Nothing was kept."},
		{"more than it quotes", fault.New(fault.TooMuch, "plain").With("what", "x"), "No. Nothing was kept."},
		{"one of it", fault.New(fault.TooMuch, "left").WithInt("n", 1).With("what", "n"), "1 is left of n. It is kept."},
		{"several of it", fault.New(fault.TooMuch, "left").With("what", "n").WithInt("n", 11), "11 are left of n. All are kept."},
		{"no sentence", fault.New(fault.TooMuch, "unheard"), "fault.unheard"},
	}
	for _, test := range tests {
		if got := say.Fault(test.fault); got != test.want {
			t.Errorf("%s: got %q, want %q", test.name, got, test.want)
		}
	}
}

func TestWordsOfTheSheet(t *testing.T) {
	for key, want := range map[string]string{"mm2": "mm²", "placed": "placed", "": ""} {
		if got := English().Sheet(key); got != want {
			t.Errorf("%q: got %q, want %q", key, got, want)
		}
	}
	if got := English().Text("no such key"); got != "no such key" {
		t.Errorf("a key without a sentence: got %q, want the key", got)
	}
}

func TestCautions(t *testing.T) {
	for key, want := range map[string]string{"care": "not a medical device", "practice": "PRACTICE"} {
		if got := English().Text(key); !strings.Contains(got, want) {
			t.Errorf("%s: got %q, want %q in it", key, got, want)
		}
	}
}
