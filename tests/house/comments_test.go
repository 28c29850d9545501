package house

import (
	"go/ast"
	"go/token"
	"strings"
)

// packageComments wants one file of every package to say what it is for. A
// package of tests alone may say so in a test.
func packageComments(t *tree) []complaint {
	first := map[string]*file{}
	ships, said := map[string]bool{}, map[string]bool{}
	for _, f := range t.shipped() {
		ships[f.folder()] = true
	}
	for _, f := range t.goFiles() {
		if f.isTest() && ships[f.folder()] {
			continue
		}
		if first[f.folder()] == nil {
			first[f.folder()] = f
		}
		if f.syntax.Doc != nil && strings.TrimSpace(f.syntax.Doc.Text()) != "" {
			said[f.folder()] = true
		}
	}
	var found []complaint
	for _, f := range t.goFiles() {
		if first[f.folder()] == f && !said[f.folder()] {
			found = append(found, complaint{f.name, t.line(f.syntax.Name),
				"one file of every package says above its package line what the package is for, and none in " + f.folder() + " does"})
		}
	}
	return found
}

// exportedComments wants a comment on whatever other packages can see.
func exportedComments(t *tree) []complaint {
	var found []complaint
	for _, f := range t.shipped() {
		if fits("tests/...", f.folder()) || f.isGenerated() {
			continue
		}
		for _, declared := range f.syntax.Decls {
			for _, name := range uncommented(declared) {
				found = append(found, complaint{f.name, t.line(name),
					"what a package exports has a comment that says what it is, and " + name.Name + " has none"})
			}
		}
	}
	return found
}

// uncommented are the exported names of a declaration that nothing explains.
func uncommented(declared ast.Decl) []*ast.Ident {
	switch d := declared.(type) {
	case *ast.FuncDecl:
		if d.Doc == nil && d.Name.IsExported() && exportedReceiver(d) {
			return []*ast.Ident{d.Name}
		}
	case *ast.GenDecl:
		if d.Doc == nil && d.Tok != token.IMPORT {
			return uncommentedSpecs(d.Specs)
		}
	}
	return nil
}

// uncommentedSpecs is uncommented for the members of a group without comment.
func uncommentedSpecs(specs []ast.Spec) []*ast.Ident {
	var names []*ast.Ident
	for _, spec := range specs {
		switch s := spec.(type) {
		case *ast.TypeSpec:
			if s.Doc == nil && s.Comment == nil && s.Name.IsExported() {
				names = append(names, s.Name)
			}
		case *ast.ValueSpec:
			for _, name := range s.Names {
				if s.Doc == nil && s.Comment == nil && name.IsExported() {
					names = append(names, name)
				}
			}
		}
	}
	return names
}

// exportedReceiver says whether d is no method, or one of an exported type.
func exportedReceiver(d *ast.FuncDecl) bool {
	if d.Recv == nil || len(d.Recv.List) == 0 {
		return true
	}
	receiver := d.Recv.List[0].Type
	for {
		switch r := receiver.(type) {
		case *ast.StarExpr:
			receiver = r.X
		case *ast.IndexExpr:
			receiver = r.X
		case *ast.IndexListExpr:
			receiver = r.X
		case *ast.ParenExpr:
			receiver = r.X
		case *ast.Ident:
			return r.IsExported()
		default:
			return true
		}
	}
}
