package house

import (
	"maps"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// sound is a small tree that keeps every rule.
var sound = map[string]string{
	"go.mod":        "module rootledger\n",
	"go.sum":        "\n",
	"README.md":     "# Rootledger\n\nIt counts.\n\n## More\n",
	"DEVELOPERS.md": "# Work\n",
	".ci/run":       "exec make test\n",
	"migrations/migrations.go": "// Package migrations has the tables.\npackage migrations\n\n" +
		"// Each table, in order.\nconst (\n\tFirst = 1\n\tSecond = 2\n)\n",
	"pwa/words/words.go":        "// Package words says it.\npackage words\n\nimport _ \"rootledger/shared/fault\"\n",
	"server/main.go":            "// Command rootledger serves.\npackage main\n\nimport _ \"rootledger/server/store\"\n\nfunc main() { go main() }\n",
	"server/store/store.go":     "// Package store keeps.\npackage store\n\nimport (\n\t_ \"rootledger/migrations\"\n\t_ \"rootledger/shared/event\"\n\t_ \"time\"\n)\n",
	"shared/event/event.go":     "// Package event has events.\npackage event\n\nimport _ \"rootledger/shared/fault\"\n",
	"shared/event/all_test.go":  "package event_test\n\nimport _ \"rootledger/tests/house\"\n\nvar Half float64 = 0.5\n",
	"shared/fault/fault.go":     "// Package fault has faults.\npackage fault\n\n// Fault is one.\ntype Fault struct{}\n",
	"shared/stats/stats.go":     "// Package stats has floats.\npackage stats\n\n// Half is a half.\nconst Half = float64(0.5)\n",
	"shared/stock/stock.go":     "// Package stock counts.\npackage stock\n\nimport _ \"rootledger/shared/stats\"\n",
	"syncengine/engine.go":      "// Package syncengine keeps one replica.\npackage syncengine\n\nimport _ \"rootledger/shared/event\"\n",
	"tests/house/tree_test.go":  "// Package house has the rules.\npackage house\n",
	"pwa/bridge/deep/deep.go":   "// Package deep is below.\npackage deep\n\nimport _ \"rootledger/pwa/bridge\"\n",
	"pwa/bridge/bridge.go":      "// Package bridge joins.\npackage bridge\n\nimport _ \"rootledger/syncengine\"\n",
	"pwa/app/words.gen.ts":      strings.Repeat("x\n", longestFile+1),
	"shared/event/testdata/a.x": "\x00" + "TO" + "DO",
}

// example is a change to the sound tree that breaks one rule in one place.
type example struct {
	rule  string
	add   map[string]string
	place string // of the only complaint
	says  string // a part of it
}

// pkg is a documented package of the given name with more below.
func pkg(name, more string) string {
	return "// Package " + name + " is an example.\npackage " + name + "\n\n" + more
}

// importing is pkg with one import, on line 4.
func importing(name, what string) string { return pkg(name, "import _ \""+what+"\"\n") }

// one is a tree of one file.
func one(name, text string) map[string]string { return map[string]string{name: text} }

var layoutExamples = []example{
	{"parses", one("server/store/bad.go", "package"), "server/store/bad.go:1", "parses"},
	{"tests_named", one("DEVELOPERS.md", "# Work\n\nSee `TestNothing`.\n"), "DEVELOPERS.md:3", "no test TestNothing"},
	{"top_level", one("notes/a.md", "a"), "notes/a.md:1", "notes belongs inside"},
	{"top_level", one("main.go", "package main\n"), "main.go:1", "main.go belongs inside"},
	{"top_level", one("go.sum", "gone"), "go.sum:1", "must have go.sum"},
	{"readme", one("README.md", "# A\n\n- b\n"), "README.md:3", "other than a paragraph"},
	{"readme", one("README.md", "# A\n## B\n\nC\n"), "README.md:2", "second heading"},
	{"readme", one("README.md", "1. b\n"), "README.md:1", "other than a paragraph"},
	{"readme", one("README.md", "# A\n"), "README.md:2", "nothing"},
	{"shared_is_folders", one("shared/all.go", pkg("shared", "")), "shared/all.go:1", "only folders"},
}

var importExamples = []example{
	{"imports", one("server/novel/a.go", pkg("novel", "")), "server/novel/a.go:1", "say in tests/house where server/novel may import from"},
	{"imports", one("shared/stock/deep/a.go", pkg("deep", "")), "shared/stock/deep/a.go:1", "say in tests/house"},
	{"imports", one("shared/stock/a.go", importing("stock", "rootledger/shared/donor")), "shared/stock/a.go:4", "shared/donor is not among"},
	{"imports", one("shared/stock/a.go", importing("stock", "rootledger/shared/session")), "shared/stock/a.go:4", "shared/session is not"},
	{"imports", one("shared/session/a.go", importing("session", "rootledger/shared/sheet")), "shared/session/a.go:4", "shared/sheet is not"},
	{"imports", one("shared/sheet/a.go", importing("sheet", "rootledger/syncengine")), "shared/sheet/a.go:4", "syncengine is not"},
	{"imports", one("shared/fault/a.go", importing("fault", "rootledger/shared/stats")), "shared/fault/a.go:4", "nothing of this module"},
	{"imports", one("shared/stats/a.go", importing("stats", "example.org/sums")), "shared/stats/a.go:4", "standard library"},
	{"imports", one("server/web/a.go", importing("web", "gonum.org/v1/gonum/mathext")), "server/web/a.go:4", "only tests import it"},
	{"imports", one("shared/event/a.go", importing("event", "rootledger/shared/stats")), "shared/event/a.go:4", "shared/stats is not"},
	{"imports", one("syncengine/a.go", importing("syncengine", "rootledger/shared/stock")), "syncengine/a.go:4", "shared/stock is not"},
	{"imports", one("pwa/bridge/a.go", importing("bridge", "rootledger/server/store")), "pwa/bridge/a.go:4", "server/store is not"},
	{"imports", one("pwa/words/a.go", importing("words", "rootledger/shared/event")), "pwa/words/a.go:4", "shared/event is not"},
	{"imports", one("pwa/words/gen/a.go", importing("gen", "rootledger/shared/event")), "pwa/words/gen/a.go:4", "shared/event is not"},
	{"imports", one("pwa/assets/a.go", importing("assets", "rootledger/pwa/words")), "pwa/assets/a.go:4", "pwa/words is not"},
	{"imports", one("pwa/build/a.go", importing("build", "rootledger/server/web")), "pwa/build/a.go:4", "server/web is not"},
	{"imports", one("migrations/a.go", importing("migrations", "rootledger/shared/fault")), "migrations/a.go:4", "shared/fault is not"},
	{"imports", one("server/store/a.go", importing("store", "rootledger/syncengine")), "server/store/a.go:4", "syncengine is not"},
	{"imports", one("server/hub/a.go", importing("hub", "rootledger/server/auth")), "server/hub/a.go:4", "server/auth is not"},
	{"imports", one("server/auth/a.go", importing("auth", "rootledger/server/hub")), "server/auth/a.go:4", "server/hub is not"},
	{"imports", one("server/export/a.go", importing("export", "rootledger/server/store")), "server/export/a.go:4", "server/store is not"},
	{"imports", one("server/lan/a.go", importing("lan", "rootledger/server/store")), "server/lan/a.go:4", "server/store is not"},
	{"imports", one("server/ops/a.go", importing("ops", "rootledger/server/hub")), "server/ops/a.go:4", "server/hub is not"},
	{"imports", one("server/web/a.go", importing("web", "rootledger/migrations")), "server/web/a.go:4", "migrations is not"},
	{"imports", one("server/command/a.go", importing("command", "rootledger/tests/bench")), "server/command/a.go:4", "tests/bench is not"},
	{"imports", one("server/practice/a.go", importing("practice", "rootledger/tests/bench")), "server/practice/a.go:4", "tests/bench is not"},
	{"imports", one("server/a.go", importing("main", "rootledger/tests/bench")), "server/a.go:4", "tests/bench is not"},
}

var codeExamples = []example{
	{"engine_imports", one("shared/stock/a.go", importing("stock", "fmt")), "shared/stock/a.go:4", "never import fmt"},
	{"engine_imports", one("syncengine/a.go", importing("syncengine", "net/http")), "syncengine/a.go:4", "net/http"},
	{"engine_imports", one("shared/stats/a.go", importing("stats", "math/rand/v2")), "shared/stats/a.go:4", "math/rand/v2"},
	{"engine_imports", one("shared/event/a.go", importing("event", "time")), "shared/event/a.go:4", "time"},
	{"engine_goroutines", one("syncengine/a.go", pkg("syncengine", "func f() {\n\tgo f()\n}\n")), "syncengine/a.go:5", "goroutine"},
	{"engine_floats", one("shared/stock/a.go", pkg("stock", "var f = 1.5\n")), "shared/stock/a.go:4", "no 1.5"},
	{"engine_floats", one("shared/stock/a.go", pkg("stock", "var f = float64(1)\n")), "shared/stock/a.go:4", "no float64"},
	{"engine_floats", one("syncengine/a.go", pkg("syncengine", "type a struct {\n\tb float32\n}\n")), "syncengine/a.go:5", "no float32"},
	{"file_length", one("pwa/app/a.ts", strings.Repeat("a\n", 400)+"b"), "pwa/app/a.ts:401", "this one has 401"},
	{"file_length", one("pwa/app/a.css", strings.Repeat("a\n", 401)), "pwa/app/a.css:401", "this one has 401"},
	{"function_length", one("server/store/a_test.go", "package store\n\n// f\nfunc f() {"+strings.Repeat("\n", 60)+"}\n"), "server/store/a_test.go:4", "has 61"},
	{"function_length", one("server/store/a.go", pkg("store", "var f = func() {"+strings.Repeat("\n", 60)+"}\n")), "server/store/a.go:4", "has 61"},
	{"words", one("pwa/app/a.html", "<p>\n"+"TO"+"DO: all\n"), "pwa/app/a.html:2", "finished"},
	{"words", one("Makefile", "# "+"X"+"XX\n"), "Makefile:1", "finished"},
	{"package_comments", one("server/hub/a.go", "package hub\n"), "server/hub/a.go:1", "none in server/hub"},
	{"package_comments", one("tests/crash/a_test.go", "package crash\n"), "tests/crash/a_test.go:1", "none in tests/crash"},
	{"exported_comments", one("server/store/a.go", pkg("store", "func F() {}\n")), "server/store/a.go:4", "F has none"},
	{"exported_comments", one("server/store/a.go", pkg("store", "type T int\n")), "server/store/a.go:4", "T has none"},
	{"exported_comments", one("server/store/a.go", pkg("store", "// T is.\ntype T[A any] int\n\nfunc (T[A]) M() {}\n")), "server/store/a.go:7", "M has none"},
	{"exported_comments", one("server/store/a.go", pkg("store", "const (\n\tA = 1 // one\n\tB = 2\n)\n")), "server/store/a.go:6", "B has none"},
	{"exported_comments", one("server/store/a.go", pkg("store", "var a, B int\n")), "server/store/a.go:4", "B has none"},
}

// withChange is the sound tree with an example's files; "gone" takes one away.
func withChange(add map[string]string) *tree {
	texts := maps.Clone(sound)
	maps.Copy(texts, add)
	maps.DeleteFunc(texts, func(_, text string) bool { return text == "gone" })
	return treeOf(texts)
}

// TestSoundTree feeds every rule a tree that it must like.
func TestSoundTree(t *testing.T) {
	for _, r := range rules {
		complain(t, r.finds(withChange(nil)))
	}
}

// TestEachRuleBites feeds each rule trees that it must dislike in one place.
func TestEachRuleBites(t *testing.T) {
	fed := map[string]bool{}
	finds := map[string]rule{}
	for _, r := range rules {
		finds[r.name] = r.finds
	}
	for _, examples := range [][]example{layoutExamples, importExamples, codeExamples} {
		for _, e := range examples {
			fed[e.rule] = true
			found := finds[e.rule](withChange(e.add))
			if len(found) != 1 || place(found[0]) != e.place || !strings.Contains(found[0].says, e.says) {
				t.Errorf("%s: want one complaint at %s with %q, got %v", e.rule, e.place, e.says, found)
			}
		}
	}
	for _, r := range rules {
		if !fed[r.name] {
			t.Errorf("no example shows that the rule %s bites", r.name)
		}
	}
}

// TestEachRowBites wants an example against every row that refuses anything.
func TestEachRowBites(t *testing.T) {
	refused := map[string]bool{}
	for _, e := range importExamples {
		for name := range e.add {
			if r, known := rowFor(filepath.ToSlash(filepath.Dir(name))); known {
				refused[r.place] = true
			}
		}
	}
	for _, r := range table {
		if r.place != "tests/..." && !refused[r.place] {
			t.Errorf("no example shows that the row %s bites", r.place)
		}
	}
}

// TestReadTree reads a tree that is no checkout, with things left behind in it.
func TestReadTree(t *testing.T) {
	root := t.TempDir()
	for _, name := range []string{"go.mod", "bin/rootledger", "pwa/node_modules/a/a.go", "pwa/assets/app/static/engine.wasm", "pwa/assets/.app-new/sw.js", "server/main.go"} {
		where := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(where), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(where, []byte("package main\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	read, err := readTree(root)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range read.files {
		names = append(names, f.name)
	}
	if got := strings.Join(names, " "); got != "go.mod server/main.go" {
		t.Errorf("read %s", got)
	}
}

// place writes where a complaint points.
func place(c complaint) string { return c.name + ":" + strconv.Itoa(c.line) }
