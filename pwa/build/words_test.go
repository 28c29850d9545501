package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// partModules are the modules that bring a part of the words along.
var partModules = map[string][]string{
	"?figures":  {"figure-words"},
	"?lead":     {"lead-words"},
	"?office":   {"office-words"},
	"?wall":     {"wall-words"},
	"?day":      {"day-words"},
	"?rare":     {"rare-words"},
	"?punch":    {"punch-words"},
	"?quality":  {"quality-words"},
	"?dose":     {"dose-words", "doses"},
	"?fault":    {"fault-words"}, // the page fetches it, for whatever screen it shows
	"?help":     {"help-words"},
	"?join":     {"join-words"},
	"?practice": {"practice-words"},
}

var keyInSource = regexp.MustCompile("[\"`]([a-zA-Z]+\\.)[a-zA-Z$]")

// A screen that says words of a part imports what brings them: all others may
// be seen before they are there.
func TestWordsAreThereWhenTheyAreSaid(t *testing.T) {
	var said int
	err := filepath.WalkDir(filepath.Join("..", "ui"), func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasPrefix(filepath.Ext(path), ".ts") {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, found := range keyInSource.FindAllStringSubmatch(string(text), -1) {
			suffix := partOf(found[1])
			if suffix == "" || suffix == "?fault" && filepath.Base(path) == "say.ts" {
				continue
			}
			said++
			if brings(path, string(text), suffix) {
				continue
			}
			t.Errorf("%s says %s… and imports nothing of %q", path, found[1], partModules[suffix])
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if said < 50 {
		t.Errorf("only %d places say words of a part: they are not read well", said)
	}
}

// brings says whether a source has a part's words: it brings them, imports what
// does, or lies in a folder that is loaded with them.
func brings(path, text, suffix string) bool {
	if strings.Contains(text, "en.json"+suffix) {
		return true
	}
	if folder := strings.TrimPrefix(suffix, "?"); strings.Contains(filepath.ToSlash(path), "ui/"+folder+"/") {
		return true // its one way in brings the words, which a test below holds
	}
	return slices.ContainsFunc(partModules[suffix], func(name string) bool { return strings.Contains(text, name+`"`) })
}

// The folders of the lead, the office, the wall, of joining and of practice are entered by one screen
// each, which brings the words first.
func TestFoldersAreEnteredByTheirScreens(t *testing.T) {
	for folder, way := range map[string]string{"lead": "lead-screen", "office": "office-app", "wall": "wall-app", "join": "join-screen", "practice": "practice-app"} {
		screen, err := os.ReadFile(filepath.Join("..", "ui", folder, way+".tsx"))
		if err != nil {
			t.Fatal(err)
		}
		code := string(screen)[strings.Index(string(screen), "import"):]
		if !strings.HasPrefix(code, `import "../parts/`+folder+`-words";`) {
			t.Errorf("%s.tsx does not bring its words first", way)
		}
		into := regexp.MustCompile(`"(?:\.\.?/)+` + folder + `/([a-z-]+)"`)
		err = filepath.WalkDir(filepath.Join("..", "ui"), func(path string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() {
				return err
			}
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			for _, found := range into.FindAllStringSubmatch(string(text), -1) {
				if found[1] != way {
					t.Errorf("%s enters ui/%s by %s", path, folder, found[1])
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// Every word is in one part, and each part has some.
func TestPartsOfTheWords(t *testing.T) {
	tests := []struct{ key, suffix string }{
		{"figure.to take", "?figures"},
		{"term.area", "?figures"},
		{"where.from", "?figures"},
		{"lead.toTake", "?lead"},
		{"standWhy.floor", "?lead"},
		{"office.title", "?office"},
		{"trace.how", "?office"},
		{"wall.to-take", "?wall"},
		{"day.title", "?day"},
		{"dose.log", "?dose"},
		{"doubt.unit", "?dose"},
		{"recount.apart", "?rare"},
		{"punch.wait", "?punch"},
		{"trial.begin", "?punch"},
		{"join.title", "?join"},
		{"practice.begin", "?practice"},
		{"page.where", ""},
		{"fault.internal", ""},
	}
	path := filepath.Join("..", "words", "en.json")
	for _, test := range tests {
		for _, suffix := range []string{"", "?figures", "?lead", "?rare", "?office", "?wall", "?day", "?punch", "?dose", "?join", "?practice"} {
			part, err := readWords(path, suffix)
			if err != nil {
				t.Fatal(err)
			}
			if got, want := strings.Contains(part, `"`+test.key+`"`), suffix == test.suffix; got != want {
				t.Errorf("%s in %q: got %v, want %v", test.key, suffix, got, want)
			}
		}
	}
}

// A language is one file: the page names it, every phone keeps it, and it has a
// budget of its own, beside that of everything else.
func TestALanguageIsOneFile(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "ui", "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	s := assembled(t, map[string]string{"pwa/ui/index.html": string(page), "pwa/words/de-CH.json": "{\n  \"care\": \"Sorgfalt\"\n}\n"}, "wasm")
	at, text := s.named(t, "static/words-de-CH-", ".json")
	if want := `{"care":"Sorgfalt"}`; text != want {
		t.Errorf("words: got %s, want %s", text, want)
	}
	holds(t, "page", string(s.files["index.html"]), `<link rel="alternate" hreflang="de-CH" type="application/json" href="/`+at+`">`)
	holds(t, "keeper", string(s.files["sw.js"]), `"/`+at+`"`)
	files := func(bytes int) map[string]packed {
		return map[string]packed{at: {raw: []byte(text), gz: []byte{}, br: make([]byte, bytes)}}
	}
	table, over := s.budgets(files(wordsBrotli))
	holds(t, "table", table, "the language of de-CH", "      0  everything")
	if over {
		t.Errorf("a language within its budget: got over\n%s", table)
	}
	if table, over := s.budgets(files(wordsBrotli + 1)); !over {
		t.Errorf("a language over its budget: got none\n%s", table)
	}
	if english := assembled(t, map[string]string{"pwa/ui/index.html": string(page)}, "wasm"); strings.Contains(string(english.files["index.html"]), "hreflang") {
		t.Error("English alone is named as another language")
	}
}
