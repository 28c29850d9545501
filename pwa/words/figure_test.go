package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rootledger/shared/session"
)

// figureNames are the names of all figures.
func figureNames() (names []string) {
	for f := session.Figure(1); int(f) <= session.Figures; f++ {
		names = append(names, f.String())
	}
	return names
}

// termNames reads the names of all terms from where package session adds them.
func termNames(t *testing.T) (names []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root, "shared", "session", "term*.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				names = append(names, termName(call)...)
			}
			return true
		})
	}
	if len(names) < 50 {
		t.Fatalf("only %d terms are added: they are not read well", len(names))
	}
	return names
}

// termName is the name of the term that a call adds, or several where it says so.
func termName(call *ast.CallExpr) (names []string) {
	f, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || len(call.Args) < 2 || !slices.Contains([]string{"add", "addOf", "share", "interval", "hours", "mg"}, f.Sel.Name) {
		return nil
	}
	if name, ok := text(call.Args[0]); ok {
		names = append(names, name)
	}
	if f.Sel.Name == "interval" {
		names = append(names, "from", "to")
	}
	return names
}

// Every figure has its title, definition, formula and source, every term its
// name, and none of these words is of something that is not there.
func TestFiguresHaveTheirWords(t *testing.T) {
	figures := figureNames()
	tests := []struct {
		beginning string
		names     []string
		all       bool // every name has one
	}{
		{"figure.", figures, true},
		{"figureIs.", figures, true},
		{"figureBy.", figures, true},
		{"figureFrom.", figures, true},
		{"figureCheck.", figures, false},
		{"term.", termNames(t), true},
	}
	for _, test := range tests {
		for _, name := range test.names {
			if _, ok := English()[test.beginning+name]; test.all && !ok {
				t.Errorf("en.json has no %s%s", test.beginning, name)
			}
		}
		for key := range English() {
			if name, ok := strings.CutPrefix(key, test.beginning); ok && !slices.Contains(test.names, name) {
				t.Errorf("nothing is called %s", key)
			}
		}
	}
}

// A definition is one to three sentences; a source says how it was seen, or
// that there is none.
func TestFiguresSayTheirSource(t *testing.T) {
	for _, name := range figureNames() {
		definition, source := English().Text("figureIs."+name), English().Text("figureFrom."+name)
		if n := strings.Count(definition+" ", ". "); n < 1 || n > 3 || !strings.HasSuffix(definition, ".") {
			t.Errorf("the definition of %q has %d sentences, want 1 to 3: %q", name, n, definition)
		}
		published := strings.ContainsAny(source, "0123456789") && strings.Contains(source, ":") || strings.Contains(source, " by ")
		seen := strings.Contains(source, "(read") || strings.Contains(source, "(seen") || strings.Contains(source, "from memory")
		plain := strings.Contains(source, "Arithmetic") || strings.Contains(source, "no source")
		if published && !seen || !published && !plain {
			t.Errorf("the source of %q does not say how it was seen: %q", name, source)
		}
	}
}
