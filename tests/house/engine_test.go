package house

import (
	"go/ast"
	"go/token"
	"path"
	"regexp"
	"strings"
)

// refusedImports would bring a clock, a disk, a network, chance, a host or a
// heavy part of the standard library into what phones and servers share.
var refusedImports = []string{
	"os/...", "net/...", "log/...", "database/sql/...", "math/rand/...", "syscall/js", "time",
	"fmt", "reflect", "encoding/json", "math/big", "encoding/hex", "encoding/binary",
}

// inEngine says whether f ships in what phones and servers share.
func inEngine(f *file) bool {
	return fits("shared/...", f.folder()) || fits("syncengine/...", f.folder())
}

// engineImports refuses direct imports in shared and syncengine.
func engineImports(t *tree) []complaint {
	var found []complaint
	for _, f := range t.shipped() {
		for _, spec := range f.syntax.Imports {
			what := importPath(spec.Path.Value)
			for _, refused := range refusedImports {
				if inEngine(f) && fits(refused, what) {
					found = append(found, complaint{f.name, t.line(spec),
						"shared and syncengine run the same everywhere and stay small, so they never import " + what})
				}
			}
		}
	}
	return found
}

// engineGoroutines refuses "go" statements in shared and syncengine.
func engineGoroutines(t *tree) []complaint {
	var found []complaint
	for _, f := range t.shipped() {
		if !inEngine(f) {
			continue
		}
		ast.Inspect(f.syntax, func(n ast.Node) bool {
			if start, is := n.(*ast.GoStmt); is {
				found = append(found, complaint{f.name, t.line(start),
					"shared and syncengine take one step at a time, so they never start a goroutine"})
			}
			return true
		})
	}
	return found
}

var floatWord = regexp.MustCompile(`(?i)\b(float|complex)(32|64|128)`)

// engineFloats keeps floats inside shared/stats.
func engineFloats(t *tree) []complaint {
	const says = "floats stay inside shared/stats, which rounds them, so here is no "
	var found []complaint
	for _, f := range t.shipped() {
		if !inEngine(f) || f.folder() == "shared/stats" {
			continue
		}
		for _, at := range floatWord.FindAllIndex(f.text, -1) {
			found = append(found, complaint{f.name, f.lineOf(at[0]), says + string(f.text[at[0]:at[1]])})
		}
		ast.Inspect(f.syntax, func(n ast.Node) bool {
			if number, is := n.(*ast.BasicLit); is && (number.Kind == token.FLOAT || number.Kind == token.IMAG) {
				found = append(found, complaint{f.name, t.line(number), says + number.Value})
			}
			return true
		})
	}
	return found
}

// neverLinked are packages that the engine may not reach even through others:
// each would make what a phone loads a tenth larger or more.
var neverLinked = []string{"fmt", "reflect", "encoding/json", "math/big", "os", "crypto/sha256"}

// linked is what "go list -deps" tells: each package and what it imports.
type linked map[string][]string

// readLinked reads lines of a package followed by its imports.
func readLinked(lines string) linked {
	reached := linked{}
	for line := range strings.Lines(lines) {
		if words := strings.Fields(line); len(words) > 0 {
			reached[words[0]] = words[1:]
		}
	}
	return reached
}

// unwanted finds, for each package that may not be linked in, one way by which
// it is, and the file that takes the first step out of the module.
func unwanted(t *tree, reached linked) []complaint {
	var found []complaint
	for _, refused := range neverLinked {
		if _, there := reached[refused]; !there {
			continue
		}
		way := reached.wayTo(refused)
		name, line := t.importOf(way)
		found = append(found, complaint{name, line,
			"the engine stays small, so it never links " + refused + ", yet it does: " + strings.Join(way, " imports ")})
	}
	return found
}

// wayTo is the shortest chain of imports from a package of the module to what.
func (l linked) wayTo(what string) []string {
	ways := [][]string{{what}}
	seen := map[string]bool{what: true}
	for len(ways) > 0 {
		way := ways[0]
		ways = ways[1:]
		if _, ours := ourFolder(way[0]); ours {
			return way
		}
		for importer, imported := range l {
			for _, one := range imported {
				if one == way[0] && !seen[importer] {
					seen[importer] = true
					ways = append(ways, append([]string{importer}, way...))
				}
			}
		}
	}
	return []string{what}
}

// importOf finds the import that takes the first step of way.
func (t *tree) importOf(way []string) (name string, line int) {
	folder, ours := ourFolder(way[0])
	if !ours || len(way) < 2 {
		return "go.mod", 1
	}
	for _, f := range t.shipped() {
		for _, spec := range f.syntax.Imports {
			if f.folder() == path.Clean(folder) && importPath(spec.Path.Value) == way[1] {
				return f.name, t.line(spec)
			}
		}
	}
	return folder, 1
}
