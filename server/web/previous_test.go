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

// A page that was opened before an update finds its parts after it: of the two
// builds before, and of none that is older. The page itself is always the new one.
func TestBuildsBeforeAreServed(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "builds")
	var served http.Handler
	start := func(name string, at int64) {
		t.Helper()
		before, err := web.KeepBuilds(dir, build(name), time.Unix(at, 0))
		if err != nil {
			t.Fatal(err)
		}
		serve, err := web.Static(build(name), before)
		if err != nil {
			t.Fatal(err)
		}
		e := echo.New()
		e.GET("/*", serve)
		served = e
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

// Where nothing can be kept the server says so and goes on.
func TestBuildsThatCanNotBeKept(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "builds")
	if err := os.WriteFile(dir, []byte("a file"), 0o644); err != nil {
		t.Fatal(err)
	}
	if before, err := web.KeepBuilds(dir, build("one"), time.Unix(1, 0)); err == nil || !strings.Contains(err.Error(), "web:") {
		t.Errorf("got %v, %v", before, err)
	}
	if before, err := web.KeepBuilds(dir, fstest.MapFS{"index.html": {Data: []byte("not built")}}, time.Unix(1, 0)); err != nil || before != nil {
		t.Errorf("nothing built: got %v, %v", before, err)
	}
}
