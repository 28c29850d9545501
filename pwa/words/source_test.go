package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// use is one place in the source that makes a fault.
type use struct {
	at   string   // file:line
	code string   // "" when the place hands on a code that it was given
	args []string // that it gives to the sentence
}

// root is the folder of the module.
var root = filepath.Join("..", "..")

// sources calls each with every file of the module that ends in one of ext and
// is neither a test nor made by a program.
func sources(t *testing.T, ext []string, each func(path string)) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := entry.Name()
		if entry.IsDir() {
			if path != root && (slices.Contains([]string{"node_modules", "bin", "data", "testdata"}, name) || strings.HasPrefix(name, ".")) {
				return filepath.SkipDir
			}
			return nil
		}
		made := strings.Contains(name, ".gen.") || strings.HasSuffix(name, "_test.go") || strings.Contains(name, ".test.")
		if slices.Contains(ext, filepath.Ext(name)) && !made {
			each(path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// faults lists every place in the module's Go source that makes a fault.
func faults(t *testing.T) []use {
	t.Helper()
	var uses []use
	sources(t, []string{".go"}, func(path string) {
		positions := token.NewFileSet()
		file, err := parser.ParseFile(positions, path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, declared := range file.Decls {
			if function, ok := declared.(*ast.FuncDecl); ok && function.Body != nil {
				for _, u := range faultsIn(file, function) {
					u.at = positions.Position(u.pos).String()
					uses = append(uses, u.use)
				}
			}
		}
	})
	if len(uses) < 50 {
		t.Fatalf("only %d places make a fault: they are not read well", len(uses))
	}
	return uses
}

// placed is a use whose place is still a position.
type placed struct {
	use
	pos token.Pos
}

// faultsIn reads one function.
func faultsIn(file *ast.File, function *ast.FuncDecl) (out []placed) {
	within := map[*ast.CallExpr]bool{} // read as part of a longer chain
	ast.Inspect(function.Body, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok || within[call] {
			return true
		}
		made, args := chain(call, within)
		code, ok := codeOf(made)
		if !ok {
			return true
		}
		codes := literals(file, function, code)
		if len(codes) == 0 {
			codes = []string{""}
		}
		for _, one := range codes {
			out = append(out, placed{use{code: one, args: args}, call.Pos()})
		}
		return true
	})
	return out
}

// chain goes down x.With("a", …).WithInt("b", …) to x, and lists the names.
func chain(call *ast.CallExpr, within map[*ast.CallExpr]bool) (made *ast.CallExpr, args []string) {
	for {
		with, ok := call.Fun.(*ast.SelectorExpr)
		if !ok || with.Sel.Name != "With" && with.Sel.Name != "WithInt" || len(call.Args) != 2 {
			return call, args
		}
		inner, ok := with.X.(*ast.CallExpr)
		if !ok {
			return call, args
		}
		if name, ok := text(call.Args[0]); ok {
			args = append(args, name)
		}
		within[inner] = true
		call = inner
	}
}

// codeOf is what a call makes a fault of: fault.New(kind, code) or invalid(code).
func codeOf(call *ast.CallExpr) (code ast.Expr, ok bool) {
	switch f := call.Fun.(type) {
	case *ast.SelectorExpr:
		if of, ok := f.X.(*ast.Ident); ok && of.Name == "fault" && f.Sel.Name == "New" && len(call.Args) == 2 {
			return call.Args[1], true
		}
	case *ast.Ident:
		if f.Name == "invalid" && len(call.Args) == 1 {
			return call.Args[0], true
		}
	}
	return nil, false
}

// literals are the codes that an expression can be: itself, what a function of
// the same file returns, or what the function assigns to it.
func literals(file *ast.File, function *ast.FuncDecl, code ast.Expr) (out []string) {
	add := func(e ast.Expr) {
		if call, ok := e.(*ast.CallExpr); ok && len(call.Args) == 1 {
			e = call.Args[0] // fault.Code("…")
		}
		if s, ok := text(e); ok {
			out = append(out, s)
		}
	}
	switch c := code.(type) {
	case *ast.BasicLit:
		add(c)
	case *ast.Ident:
		ast.Inspect(function, func(n ast.Node) bool {
			if set, ok := n.(*ast.AssignStmt); ok && len(set.Lhs) == 1 {
				if to, ok := set.Lhs[0].(*ast.Ident); ok && to.Name == c.Name {
					add(set.Rhs[0])
				}
			}
			return true
		})
	case *ast.CallExpr:
		of, ok := c.Fun.(*ast.Ident)
		for _, declared := range file.Decls {
			if other, is := declared.(*ast.FuncDecl); ok && is && other.Name.Name == of.Name {
				ast.Inspect(other, func(n ast.Node) bool {
					if back, ok := n.(*ast.ReturnStmt); ok && len(back.Results) == 1 {
						add(back.Results[0])
					}
					return true
				})
			}
		}
	}
	return out
}

func text(e ast.Expr) (string, bool) {
	literal, ok := e.(*ast.BasicLit)
	if !ok || literal.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(literal.Value)
	return s, err == nil
}

var quoted = regexp.MustCompile("[\"'`]([a-z][a-z0-9-]*)[\"'`]")

// inPages are the words in quotes in what browsers run: some are codes.
func inPages(t *testing.T) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	sources(t, []string{".ts", ".tsx"}, func(path string) {
		source, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range quoted.FindAllStringSubmatch(string(source), -1) {
			out[found[1]] = true
		}
	})
	return out
}

var anyKey = regexp.MustCompile(`\bas Key\b|\bsayCount\b`)

// A key that is put together says how it begins, so that what its sentences
// quote is checked with the types.
func TestKeysAreOfTheirOwn(t *testing.T) {
	sources(t, []string{".ts", ".tsx"}, func(path string) {
		source, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if found := anyKey.Find(source); found != nil {
			t.Errorf("%s has %q: say how the key begins, as Under<\"station.\">, and put the number into {n}", path, found)
		}
	})
}
