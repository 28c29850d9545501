package web_test

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/labstack/echo/v4"

	"rootledger/server/web"
)

// build is an app of one script and a page that names it.
func build(name string) fstest.MapFS {
	files := fstest.MapFS{"index.html": {Data: []byte("not built")}}
	for file, text := range map[string]string{"app/index.html": "<p>" + name, "app/static/main-" + name + ".js": "the script of " + name} {
		files[file] = &fstest.MapFile{Data: []byte(text)}
		files[file+".gz"] = &fstest.MapFile{Data: gzipped(text)}
	}
	return files
}

// roomy is a disk that has room.
func roomy(string) uint64 { return 1 << 40 }

// started serves a build beside those that were kept in dir before it.
func started(t *testing.T, dir, name string, at int64, free func(string) uint64) (http.Handler, error) {
	t.Helper()
	before, unkept := web.KeepBuilds(dir, build(name), free, time.Unix(at, 0))
	serve, err := web.Static(build(name), before)
	if err != nil {
		t.Fatal(err)
	}
	e := echo.New()
	e.GET("/*", serve)
	return e, unkept
}

// A page that was opened before an update finds its parts after it: of the two
// builds before, and of none that is older. The page itself is always the new one.
func TestBuildsBeforeAreServed(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "builds")
	var served http.Handler
	start := func(name string, at int64) {
		t.Helper()
		var err error
		if served, err = started(t, dir, name, at, roomy); err != nil {
			t.Fatal(err)
		}
	}
	for i, name := range []string{"one", "two", "two", "three", "four"} {
		start(name, int64(1000*i))
	}
	for name, want := range map[string]int{"one": 404, "two": 200, "three": 200, "four": 200} {
		a := got(served, "GET", "/static/main-"+name+".js")
		if text := body(t, a); a.StatusCode != want || want == 200 && text != "the script of "+name {
			t.Errorf("%s: got %d %q, want %d", name, a.StatusCode, text, want)
		}
	}
	if text := body(t, got(served, "GET", "/")); text != "<p>four" {
		t.Errorf("page: got %q", text)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 3 {
		t.Errorf("kept %v, %v, want three builds", entries, err)
	}
	start("two", 9000) // put back
	if a := got(served, "GET", "/static/main-four.js"); a.StatusCode != http.StatusOK {
		t.Errorf("after going back: got %d", a.StatusCode)
	}
}

// What keeps one build from being kept or read keeps no other from being served.
func TestBuildsBesideAFault(t *testing.T) {
	full := func(string) uint64 { return 0 }
	script := "app/static/main-two.js"
	tests := []struct {
		name  string
		spoil func(builds, two string) error // two: where the second build lies
		free  func(string) uint64
		want  string // the error's words
		two   int    // what its script answers
		kept  int    // how many builds there are then
	}{
		{"too little room", func(string, string) error { return nil }, full, web.ErrNoRoom.Error(), 200, 2},
		{"a folder with nothing in it", func(at, _ string) error { return os.Mkdir(filepath.Join(at, "strange"), 0o755) }, roomy, "strange is damaged", 200, 3},
		{"a script that a power cut emptied", func(_, two string) error { return os.Truncate(filepath.Join(two, script), 0) }, roomy, "is damaged", 404, 2},
		{"a script that it took away", func(_, two string) error { return os.Remove(filepath.Join(two, script)) }, roomy, "is damaged", 404, 2},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "builds")
			for i, name := range []string{"one", "two"} {
				if _, err := started(t, dir, name, int64(1000*i), roomy); err != nil {
					t.Fatal(err)
				}
			}
			found, err := filepath.Glob(filepath.Join(dir, "*", script))
			if err != nil || len(found) != 1 {
				t.Fatalf("kept scripts %v, %v", found, err)
			}
			if err := test.spoil(dir, strings.TrimSuffix(found[0], filepath.FromSlash(script))); err != nil {
				t.Fatal(err)
			}
			served, err := started(t, dir, "three", 3000, test.free)
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want %q", err, test.want)
			}
			for name, want := range map[string]int{"one": 200, "two": test.two, "three": 200} {
				if a := got(served, "GET", "/static/main-"+name+".js"); a.StatusCode != want {
					t.Errorf("%s: got %d, want %d", name, a.StatusCode, want)
				}
			}
			if kept, err := os.ReadDir(dir); err != nil || len(kept) != test.kept {
				t.Errorf("kept %v, %v, want %d builds", kept, err, test.kept)
			}
		})
	}
}

// A build that was damaged is kept anew by the next server that has it.
func TestADamagedBuildIsKeptAnew(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "builds")
	if _, err := started(t, dir, "one", 1000, roomy); err != nil {
		t.Fatal(err)
	}
	found, err := filepath.Glob(filepath.Join(dir, "*", "app", "static", "main-one.js"))
	if err != nil || len(found) != 1 || os.Truncate(found[0], 3) != nil {
		t.Fatalf("kept scripts %v, %v", found, err)
	}
	for i, name := range []string{"one", "two"} {
		served, err := started(t, dir, name, int64(2000+1000*i), roomy)
		if a := got(served, "GET", "/static/main-one.js"); err != nil || body(t, a) != "the script of one" {
			t.Errorf("served with %s: %d, %v", name, a.StatusCode, err)
		}
	}
}

// Where nothing can be kept the server says so and goes on.
func TestBuildsThatCanNotBeKept(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "builds")
	if err := os.WriteFile(dir, []byte("a file"), 0o644); err != nil {
		t.Fatal(err)
	}
	if before, err := web.KeepBuilds(dir, build("one"), roomy, time.Unix(1, 0)); err == nil || !strings.Contains(err.Error(), "web:") {
		t.Errorf("got %v, %v", before, err)
	}
	if before, err := web.KeepBuilds(dir, fstest.MapFS{"index.html": {Data: []byte("not built")}}, roomy, time.Unix(1, 0)); err != nil || before != nil {
		t.Errorf("nothing built: got %v, %v", before, err)
	}
}
