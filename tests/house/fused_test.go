package house

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
)

// fused is a line of an arm64 listing where a product is added without being
// rounded first: most phones can do that, servers mostly can not.
var fused = regexp.MustCompile(`\(([^()]+:\d+)\)\s+FN?M(ADD|SUB)`)

// listFused compiles shared/stats under root for a processor that fuses, and
// lists the places where it did. lines is how long the listing is.
func listFused(root string) (places []string, lines int, err error) {
	const stats = module + "/shared/stats"
	build := exec.Command("go", "build", "-gcflags="+stats+"=-S", "./shared/stats")
	build.Dir = root
	build.Env = append(os.Environ(), "GOOS=linux", "GOARCH=arm64", "CGO_ENABLED=0", "PWD="+root)
	listing, err := build.CombinedOutput()
	for _, found := range fused.FindAllSubmatch(listing, -1) {
		places = append(places, string(found[1]))
	}
	for _, b := range listing {
		if b == '\n' {
			lines++
		}
	}
	return places, lines, err
}

// TestNothingFused wants every product in shared/stats rounded by itself, so
// that all processors get the same bits.
func TestNothingFused(t *testing.T) {
	places, lines, err := listFused(top(t))
	if err != nil || lines < 100 {
		t.Fatalf("the compiler listed %d lines of shared/stats: %v", lines, err)
	}
	for _, place := range places {
		t.Errorf("\n%s: a product is rounded by itself, float64(a*b), and here it is fused into a sum", place)
	}
}

// TestNothingFusedBites compiles one product that is fused and one that is not.
func TestNothingFusedBites(t *testing.T) {
	root := t.TempDir()
	for name, text := range map[string]string{
		"go.mod":                "module " + module + "\n\ngo 1.26\n",
		"shared/stats/stats.go": "package stats\n\nfunc F(a, b, c float64) float64 { return a*b + c }\n\nfunc G(a, b, c float64) float64 { return float64(a*b) + c }\n",
	} {
		where := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(where), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(where, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	places, _, err := listFused(root)
	if err != nil || len(places) != 1 || filepath.Base(places[0]) != "stats.go:3" {
		t.Errorf("got %v, %v, want one place on line 3", places, err)
	}
}
