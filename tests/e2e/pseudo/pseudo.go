// Package pseudo makes languages that nobody speaks from English, to see
// screens with them: a longer one, and one that runs from right to left. They
// are in no build.
package pseudo

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"unicode"

	"rootledger/pwa/words"
)

// Language is one of them, with its words.
type Language struct {
	Name  string // its BCP 47 tag, of the regions for private use
	Words words.Words
}

// All are the pseudo-languages.
func All() []Language { return []Language{Long(), Mirrored()} }

// keep is what no language changes: {names} and <tags>.
var keep = regexp.MustCompile(`\{\w+\}|</?\w+>`)

// Long is about 40 % longer than English, accented, and has brackets at both
// ends of every sentence: a screen without one of them has cut it.
func Long() Language {
	return Language{"en-XA", changed("en-XA", "ltr", func(text string) string { return "[" + around(text, lengthened) + "]" })}
}

// Mirrored runs from right to left: the letters of every word stand the other
// way round, in a language with all plural forms.
func Mirrored() Language {
	w := changed("ar-XB-u-nu-latn", "rtl", func(text string) string { return around(text, overridden) })
	for key, s := range w {
		if len(s) > 1 {
			w[key] = words.Sentence{"zero": s["other"], "one": s["one"], "two": s["other"], "few": s["other"], "many": s["other"], "other": s["other"]}
		}
	}
	return Language{"ar-XB", w}
}

// changed is English with every sentence changed.
func changed(tag, dir string, change func(string) string) words.Words {
	w := make(words.Words)
	for key, forms := range words.English() {
		w[key] = make(words.Sentence)
		for form, text := range forms {
			w[key][form] = change(text)
		}
	}
	w["language.tag"], w["language.dir"] = words.Sentence{"other": tag}, words.Sentence{"other": dir}
	return w
}

// around changes a text between what is kept of it.
func around(text string, change func(string) string) string {
	var out strings.Builder
	at := 0
	for _, kept := range keep.FindAllStringIndex(text, -1) {
		out.WriteString(change(text[at:kept[0]]))
		out.WriteString(text[kept[0]:kept[1]])
		at = kept[1]
	}
	out.WriteString(change(text[at:]))
	return out.String()
}

// accents are letters of the face that the screens have.
var accents = map[rune]rune{'a': 'á', 'e': 'é', 'i': 'í', 'o': 'ó', 'u': 'ú', 'A': 'Á', 'E': 'É', 'I': 'Í', 'O': 'Ó', 'U': 'Ú', 'n': 'ñ', 'c': 'ç', 'y': 'ý'}

// lengthened has accents, and every vowel twice.
func lengthened(text string) string {
	var out strings.Builder
	for _, r := range text {
		if accent, ok := accents[r]; ok {
			out.WriteRune(accent)
			r = unicode.ToLower(r)
		}
		if !strings.ContainsRune("ncy", r) {
			out.WriteRune(r)
		}
	}
	return out.String()
}

var word = regexp.MustCompile(`\p{L}[\p{L}'’-]*`)

// overridden has the letters of its words from right to left, each word between
// marks that end what they begin; numbers stay as they are.
func overridden(text string) string { return word.ReplaceAllString(text, "\u200f\u202e$0\u202c\u200f") }

// Server serves the languages to pages of any address.
func Server() *httptest.Server {
	mux := http.NewServeMux()
	for _, one := range All() {
		mux.HandleFunc("/"+one.Name+".json", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Access-Control-Allow-Origin", "*")
			_ = json.NewEncoder(w).Encode(one.Words) // who hung up hears nothing
		})
	}
	return httptest.NewServer(mux)
}

// Speak is a script by which the page speaks a language that a server has, as
// if the browser's own had changed; English where the server has none.
func Speak(server, name string) string {
	return fmt.Sprintf(`(async (server, name) => {
		if (name !== "en" && !document.querySelector('link[hreflang="' + name + '"]'))
			document.head.append(Object.assign(document.createElement("link"), { rel: "alternate", hreflang: name, href: server + "/" + name + ".json" }));
		Object.defineProperty(navigator, "languages", { get: () => [name], configurable: true });
		dispatchEvent(new Event("languagechange"));
		while (document.documentElement.lang !== name) await new Promise((done) => setTimeout(done, 5));
		return true;
	})(%q, %q)`, server, name)
}
