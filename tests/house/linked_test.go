package house

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// listLinked asks the go command, as for a phone, what patterns reach.
func listLinked(root string, patterns ...string) (linked, error) {
	list := exec.Command("go", append([]string{
		"list", "-deps", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`,
	}, patterns...)...)
	list.Dir = root
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "PWD="+root)
	out, err := list.Output()
	return readLinked(string(out)), err
}

// TestLinked looks through everything that the engine reaches.
func TestLinked(t *testing.T) {
	reached, err := listLinked(top(t), "./pwa/bridge/wasm", "./syncengine", "./shared/...")
	if err != nil {
		t.Fatalf("go list -deps: %v %s", err, stderrOf(err))
	}
	for _, folder := range []string{"syncengine", "pwa/bridge/wasm"} {
		if _, there := reached[module+"/"+folder]; !there {
			t.Fatalf("go list -deps does not name %s", folder)
		}
	}
	complain(t, unwanted(here(t), reached))
}

// TestLinkedBites lists a module whose engine reaches fmt through another.
func TestLinkedBites(t *testing.T) {
	root := t.TempDir()
	for name, text := range map[string]string{
		"go.mod":                   "module " + module + "\n\ngo 1.26\n",
		"shared/stock/stock.go":    "package stock\n\nimport \"errors\"\n\nvar Err = errors.New(\"\")\n",
		"syncengine/syncengine.go": "package syncengine\n\nimport _ \"flag\"\n",
	} {
		where := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(where), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(where, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	bad, err := readTree(root)
	if err != nil {
		t.Fatal(err)
	}
	reached, err := listLinked(root, "./syncengine", "./shared/...")
	if err != nil {
		t.Fatalf("go list -deps: %v %s", err, stderrOf(err))
	}
	for _, c := range unwanted(bad, reached) {
		if c.name == "syncengine/syncengine.go" && c.line == 3 && strings.Contains(c.says, "flag imports fmt") {
			return
		}
	}
	t.Error("an engine that reaches fmt through flag got no complaint that says so")
}

// stderrOf is what a failed command wrote.
func stderrOf(err error) string {
	if failed, is := err.(*exec.ExitError); is {
		return string(failed.Stderr)
	}
	return ""
}
