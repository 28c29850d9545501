package house

import (
	"path"
	"strconv"
	"strings"
)

// row says where the packages at a place may import from within the module.
// A place or a source is one folder; with "/..." it is that folder and all
// below it; "shared/*" is each folder directly under shared; "noun" is each of
// those that is about one thing in the room; "*" is all of the module. A source
// that begins with "!" takes away again.
type row struct {
	place string
	from  []string
}

// table is read from the top, and the first row that fits a package counts.
var table = []row{
	{"shared/fault", nil},
	{"shared/stats", nil},
	{"shared/event", []string{"shared/fault"}},
	{"shared/session", []string{"noun", "shared/event", "shared/fault", "shared/stats"}},
	{"shared/sheet", []string{"shared/session", "noun", "shared/event", "shared/fault", "shared/stats"}},
	{"noun", []string{"shared/event", "shared/fault", "shared/stats"}},
	{"syncengine", []string{"shared/event", "shared/session", "shared/fault"}},
	{"pwa/bridge/...", []string{"syncengine", "shared/*", "pwa/bridge/..."}},
	{"pwa/words", []string{"shared/fault"}},
	{"pwa/words/gen", []string{"pwa/words"}},
	{"pwa/assets", nil},
	{"pwa/build", []string{"*", "!server/...", "!tests/..."}},
	{"migrations", nil},
	{"server/store", []string{"migrations", "shared/*"}},
	{"server/hub", []string{"server/store", "syncengine", "shared/*"}},
	{"server/auth", []string{"server/store", "shared/*"}},
	{"server/export", []string{"shared/*", "pwa/words"}},
	{"server/lan", []string{"shared/*"}},
	{"server/ops", []string{"server/store", "server/export", "shared/*"}},
	{"server/web", []string{
		"server/hub", "server/store", "server/auth", "server/export", "server/lan",
		"pwa/words", "pwa/assets", "syncengine", "shared/*",
	}},
	{"server/practice", []string{"*", "!tests/..."}},
	{"server/command", []string{"*", "!tests/..."}},
	{"server", []string{"*", "!tests/..."}},
	{"tests/...", []string{"*"}},
}

// notNouns are the folders under shared that are about no single thing.
var notNouns = map[string]bool{
	"session": true, "sheet": true, "event": true, "fault": true, "stats": true,
}

// references are modules that figures are held to, and that no program carries.
var references = []string{"gonum.org/v1/gonum/..."}

// fits says whether folder is what a place or source of the table means.
func fits(pattern, folder string) bool {
	if whole, below := strings.CutSuffix(pattern, "/..."); below {
		return folder == whole || strings.HasPrefix(folder, whole+"/")
	}
	inShared := path.Dir(folder) == "shared"
	switch pattern {
	case "*":
		return true
	case "shared/*":
		return inShared
	case "noun":
		return inShared && !notNouns[path.Base(folder)]
	}
	return pattern == folder
}

// rowFor finds the row of a folder.
func rowFor(folder string) (row, bool) {
	for _, r := range table {
		if fits(r.place, folder) {
			return r, true
		}
	}
	return row{}, false
}

// allows says whether r lets its packages import the one at folder.
func (r row) allows(folder string) bool {
	allowed := false
	for _, source := range r.from {
		if away, minus := strings.CutPrefix(source, "!"); minus {
			if fits(away, folder) {
				return false
			}
		} else if fits(source, folder) {
			allowed = true
		}
	}
	return allowed
}

// imports holds every file that ships to the row of its package.
func imports(t *tree) []complaint {
	var found []complaint
	unknown := map[string]bool{}
	for _, f := range t.shipped() {
		r, known := rowFor(f.folder())
		if !known {
			if !unknown[f.folder()] {
				found = append(found, complaint{f.name, 1, "say in tests/house where " + f.folder() + " may import from"})
			}
			unknown[f.folder()] = true
			continue
		}
		for _, spec := range f.syntax.Imports {
			if says := refusal(r, f.folder(), importPath(spec.Path.Value)); says != "" {
				found = append(found, complaint{f.name, t.line(spec), says})
			}
		}
	}
	return found
}

// refusal says why a package at folder, under r, may not import what; "" when
// it may.
func refusal(r row, folder, what string) string {
	if inModule, ours := ourFolder(what); ours {
		if r.allows(inModule) {
			return ""
		}
		from := strings.Join(r.from, ", ")
		if from == "" {
			from = "nothing of this module"
		}
		return folder + " may import from " + from + ", and " + inModule + " is not among that"
	}
	for _, reference := range references {
		if fits(reference, what) && !fits("tests/...", folder) {
			return what + " is there to check against, so only tests import it"
		}
	}
	if first, _, _ := strings.Cut(what, "/"); folder == "shared/stats" && strings.Contains(first, ".") {
		return folder + " imports only the standard library, and " + what + " is not in it"
	}
	return ""
}

// importPath takes the quotes off an import.
func importPath(quoted string) string {
	plain, err := strconv.Unquote(quoted)
	if err != nil {
		return quoted
	}
	return plain
}

// ourFolder turns an import into a folder of the tree: "." for the module.
func ourFolder(what string) (folder string, ours bool) {
	if what == module {
		return ".", true
	}
	return strings.CutPrefix(what, module+"/")
}
