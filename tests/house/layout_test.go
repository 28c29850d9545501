package house

import (
	"path"
	"strings"
)

// entries are the only names at the top level. Those under needed must exist.
var entries = struct{ needed, allowed []string }{
	needed: []string{
		"server", "syncengine", "pwa", "shared", "migrations", "tests",
		"go.mod", "go.sum", "README.md", "DEVELOPERS.md",
	},
	allowed: []string{"Makefile", "LICENSE", ".ci", ".gitignore"},
}

// topLevel holds the top of the tree to its few entries.
func topLevel(t *tree) []complaint {
	known := map[string]bool{}
	for _, name := range append(append([]string{}, entries.needed...), entries.allowed...) {
		known[name] = true
	}
	seen := map[string]bool{}
	var found []complaint
	for _, f := range t.files {
		entry, _, _ := strings.Cut(f.name, "/")
		if !known[entry] && !seen[entry] {
			found = append(found, complaint{f.name, 1,
				"the top level holds only " + strings.Join(append(entries.needed, entries.allowed...), ", ") +
					", so " + entry + " belongs inside one of these"})
		}
		seen[entry] = true
	}
	for _, name := range entries.needed {
		if !seen[name] {
			found = append(found, complaint{name, 1, "the top level must have " + name})
		}
	}
	return found
}

// readme wants README.md to say in one paragraph what this is, before all else.
func readme(t *tree) []complaint {
	for _, f := range t.files {
		if f.name != "README.md" {
			continue
		}
		line, kind := opening(string(f.text))
		if kind == "paragraph" {
			return nil
		}
		return []complaint{{f.name, line,
			"README.md opens with at most one heading and then one plain paragraph, but here is " + kind}}
	}
	return nil
}

// opening tells what the first block after an optional heading is.
func opening(text string) (line int, kind string) {
	headings := 0
	lines := strings.Split(text, "\n")
	for i, s := range lines {
		switch s = strings.TrimRight(s, " \t\r"); {
		case s == "":
			continue
		case strings.HasPrefix(s, "#"):
			if headings++; headings > 1 {
				return i + 1, "a second heading"
			}
			continue
		case startsBlock(s):
			return i + 1, "something other than a paragraph"
		}
		return i + 1, "paragraph"
	}
	return len(lines), "nothing"
}

// startsBlock says whether a Markdown line begins a list, quotation, table,
// code, picture, rule or markup instead of a paragraph.
func startsBlock(line string) bool {
	for _, mark := range []string{"- ", "* ", "+ ", ">", "|", "```", "~~~", "<", "![", "[![", "---", "***", "===", "    ", "\t"} {
		if strings.HasPrefix(line, mark) {
			return true
		}
	}
	number := strings.TrimLeft(line, "0123456789")
	return number != line && (strings.HasPrefix(number, ". ") || strings.HasPrefix(number, ") "))
}

// sharedIsFolders keeps shared/ a folder of packages, never a package.
func sharedIsFolders(t *tree) []complaint {
	var found []complaint
	for _, f := range t.files {
		if f.folder() == "shared" && path.Ext(f.name) == ".go" {
			found = append(found, complaint{f.name, 1,
				"shared holds only folders, one for each noun, so a Go file goes into one of them"})
		}
	}
	return found
}
