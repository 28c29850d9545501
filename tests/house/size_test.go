package house

import (
	"bytes"
	"fmt"
	"go/ast"
	"path"
	"regexp"
	"strings"
)

// The most lines that a person is asked to read at once.
const (
	longestFile     = 400
	longestFunction = 60
)

// exceptions are files that may break the rules of length, each with a reason.
var exceptions = map[string]string{}

// fileLength holds hand-written sources to longestFile.
func fileLength(t *tree) []complaint {
	var found []complaint
	for _, f := range t.files {
		switch path.Ext(f.name) {
		case ".go", ".ts", ".tsx", ".css":
		default:
			continue
		}
		if exceptions[f.name] != "" || f.isGenerated() || within(f.name, "node_modules") {
			continue
		}
		lines := bytes.Count(f.text, []byte("\n"))
		if len(f.text) > 0 && f.text[len(f.text)-1] != '\n' {
			lines++
		}
		if lines > longestFile {
			found = append(found, complaint{f.name, longestFile + 1,
				fmt.Sprintf("a file has at most %d lines and this one has %d", longestFile, lines)})
		}
	}
	return found
}

// functionLength holds every Go function, also one kept in a package variable,
// to longestFunction, from "func" to the closing brace.
func functionLength(t *tree) []complaint {
	var found []complaint
	measure := func(f *file, function ast.Node) {
		if lines := t.lastLine(function) - t.funcLine(function) + 1; lines > longestFunction {
			found = append(found, complaint{f.name, t.funcLine(function),
				fmt.Sprintf("a function has at most %d lines and this one has %d", longestFunction, lines)})
		}
	}
	for _, f := range t.goFiles() {
		if exceptions[f.name] != "" || f.isGenerated() {
			continue
		}
		for _, declared := range f.syntax.Decls {
			ast.Inspect(declared, func(n ast.Node) bool {
				switch n.(type) {
				case *ast.FuncDecl, *ast.FuncLit:
					measure(f, n)
					return false
				}
				return true
			})
		}
	}
	return found
}

// funcLine is the line of a function's "func", below its comment.
func (t *tree) funcLine(function ast.Node) int {
	if declared, is := function.(*ast.FuncDecl); is {
		return t.positions.Position(declared.Type.Func).Line
	}
	return t.line(function)
}

// unfinished are the marks of work left undone, split so that this file has
// none of them.
var unfinished = regexp.MustCompile(`\b(` + strings.Join([]string{"TO" + "DO", "FIX" + "ME", "X" + "XX", "HA" + "CK"}, "|") + `)\b`)

// words refuses marks of unfinished work in any text.
func words(t *tree) []complaint {
	var found []complaint
	for _, f := range t.files {
		if !f.isText() {
			continue
		}
		for _, at := range unfinished.FindAllIndex(f.text, -1) {
			found = append(found, complaint{f.name, f.lineOf(at[0]),
				"the tree is finished work, so no text in it says " + string(f.text[at[0]:at[1]])})
		}
	}
	return found
}
