package house

import (
	"regexp"
	"strings"
)

var (
	namedTest    = regexp.MustCompile("`((?:Test|Fuzz)[A-Za-z]+)`")
	declaredTest = regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)[A-Za-z]+)\(`)
)

// testsNamed: every test that DEVELOPERS.md names, as what shows something, is
// in the tree.
func testsNamed(t *tree) (out []complaint) {
	known := make(map[string]bool)
	for _, f := range t.goFiles() {
		if f.isTest() {
			for _, one := range declaredTest.FindAllStringSubmatch(string(f.text), -1) {
				known[one[1]] = true
			}
		}
	}
	for _, f := range t.files {
		if f.name != "DEVELOPERS.md" {
			continue
		}
		for i, line := range strings.Split(string(f.text), "\n") {
			for _, one := range namedTest.FindAllStringSubmatch(line, -1) {
				if !known[one[1]] {
					out = append(out, complaint{f.name, i + 1, "there is no test " + one[1]})
				}
			}
		}
	}
	return out
}
