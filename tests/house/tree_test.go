// Package house holds the rules of the tree as tests: what may lie where, who
// may import whom, how long a file may grow. Every rule is a function from a
// tree to complaints, so that a made-up tree can show that it bites.
package house

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"testing"
)

// module is the path that imports within the tree begin with.
const module = "rootledger"

// file is one kept file. Its name is the slash path from the top of the tree.
type file struct {
	name   string
	text   []byte
	syntax *ast.File // nil unless it is Go that parses
}

// folder is where f lies: "." at the top.
func (f *file) folder() string { return path.Dir(f.name) }

// isTest says whether only "go test" compiles f.
func (f *file) isTest() bool { return strings.HasSuffix(f.name, "_test.go") }

// isText says whether f is for reading: no NUL near its beginning.
func (f *file) isText() bool {
	return !strings.Contains(string(f.text[:min(len(f.text), 8000)]), "\x00")
}

// isGenerated says whether a program wrote f.
func (f *file) isGenerated() bool {
	return strings.Contains(path.Base(f.name), ".gen.")
}

// lineOf is the line that the byte at offset lies on.
func (f *file) lineOf(offset int) int {
	return 1 + strings.Count(string(f.text[:offset]), "\n")
}

// tree is what is kept, sorted by name.
type tree struct {
	positions *token.FileSet
	files     []*file
	broken    []complaint // Go files that do not parse
}

// complaint is one breach of one rule.
type complaint struct {
	name string
	line int
	says string
}

// rule finds what a tree does wrong.
type rule func(*tree) []complaint

// line is where a node begins.
func (t *tree) line(n ast.Node) int { return t.positions.Position(n.Pos()).Line }

// lastLine is where a node ends.
func (t *tree) lastLine(n ast.Node) int { return t.positions.Position(n.End()).Line }

// goFiles are the files that parsed as Go.
func (t *tree) goFiles() []*file {
	var files []*file
	for _, f := range t.files {
		if f.syntax != nil {
			files = append(files, f)
		}
	}
	return files
}

// shipped are the Go files that end up in a program.
func (t *tree) shipped() []*file {
	var files []*file
	for _, f := range t.goFiles() {
		if !f.isTest() {
			files = append(files, f)
		}
	}
	return files
}

// treeOf makes a tree from file names and their texts.
func treeOf(texts map[string]string) *tree {
	t := &tree{positions: token.NewFileSet()}
	for name, text := range texts {
		t.files = append(t.files, &file{name: name, text: []byte(text)})
	}
	sort.Slice(t.files, func(i, j int) bool { return t.files[i].name < t.files[j].name })
	for _, f := range t.files {
		if path.Ext(f.name) != ".go" || within(f.name, "testdata") {
			continue
		}
		syntax, err := parser.ParseFile(t.positions, f.name, f.text, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.broken = append(t.broken, complaint{f.name, 1, "every Go file parses: " + err.Error()})
			continue
		}
		f.syntax = syntax
	}
	return t
}

// within says whether one of the folders on the way to name is called folder.
func within(name, folder string) bool {
	return strings.Contains("/"+path.Dir(name)+"/", "/"+folder+"/")
}

// top is the folder that the module lies in.
func top(t *testing.T) string {
	t.Helper()
	folder, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(folder, "go.mod")); err != nil {
		t.Fatal(err)
	}
	return folder
}

// keptNames lists the files under root that git keeps or would keep, or, where
// there is no checkout, all that are not plainly left behind by a build.
func keptNames(root string) ([]string, error) {
	if _, err := os.Stat(filepath.Join(root, ".git")); err == nil {
		list := exec.Command("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
		list.Dir = root
		if out, err := list.Output(); err == nil {
			return strings.FieldsFunc(string(out), func(r rune) bool { return r == 0 }), nil
		}
	}
	var names []string
	err := filepath.WalkDir(root, func(where string, entry os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(root, where)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		if leftBehind(name) {
			if entry.IsDir() {
				return filepath.SkipDir
			}
			return nil
		}
		if !entry.IsDir() {
			names = append(names, name)
		}
		return nil
	})
	return names, err
}

// leftBehind says whether name is what a build, a run or git leaves.
func leftBehind(name string) bool {
	switch name {
	case ".git", "bin", "data", "bench.json":
		return true
	}
	return path.Base(name) == "node_modules" || strings.HasSuffix(name, ".test") || strings.HasSuffix(name, ".tsbuildinfo") ||
		name == "pwa/assets/app" || strings.HasPrefix(name, "pwa/assets/.app-")
}

// readTree reads the tree under root. It also lists every folder it meets, so
// that a remembered test result is dropped when a file joins one.
func readTree(root string) (*tree, error) {
	names, err := keptNames(root)
	if err != nil {
		return nil, err
	}
	texts := map[string]string{}
	listed := map[string]bool{}
	for _, name := range names {
		where := filepath.Join(root, filepath.FromSlash(name))
		if info, err := os.Stat(where); err != nil || !info.Mode().IsRegular() {
			continue // deleted but not yet forgotten, or a link to a folder
		}
		if folder := filepath.Dir(where); !listed[folder] {
			listed[folder] = true
			if _, err := os.ReadDir(folder); err != nil {
				return nil, err
			}
		}
		text, err := os.ReadFile(where)
		if err != nil {
			return nil, err
		}
		texts[name] = string(text)
	}
	return treeOf(texts), nil
}

var (
	readOnce sync.Once
	theTree  *tree
	readErr  error
)

// here is the tree that this test lies in, read once.
func here(t *testing.T) *tree {
	t.Helper()
	root := top(t)
	readOnce.Do(func() { theTree, readErr = readTree(root) })
	if readErr != nil {
		t.Fatal(readErr)
	}
	return theTree
}

// complain fails t once for each complaint.
func complain(t *testing.T, complaints []complaint) {
	t.Helper()
	for _, c := range complaints {
		t.Errorf("\n%s:%d: %s", c.name, c.line, c.says)
	}
}

// TestTree holds this tree to every rule that needs no more than its files.
func TestTree(t *testing.T) {
	for _, r := range rules {
		t.Run(r.name, func(t *testing.T) { complain(t, r.finds(here(t))) })
	}
}

// rules are all rules over files; each has examples in examples_test.go.
var rules = []struct {
	name  string
	finds rule
}{
	{"parses", func(t *tree) []complaint { return t.broken }},
	{"top_level", topLevel},
	{"readme", readme},
	{"shared_is_folders", sharedIsFolders},
	{"imports", imports},
	{"engine_imports", engineImports},
	{"engine_goroutines", engineGoroutines},
	{"engine_floats", engineFloats},
	{"file_length", fileLength},
	{"function_length", functionLength},
	{"words", words},
	{"tests_named", testsNamed},
	{"package_comments", packageComments},
	{"exported_comments", exportedComments},
}
