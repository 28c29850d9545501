package rig

import (
	"fmt"
	"io"
	"io/fs"
	"log"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"path"
	"strings"
	"sync/atomic"
	"testing/fstest"
	"time"

	"github.com/labstack/echo/v4"

	"rootledger/pwa/assets"
	"rootledger/server/web"
)

// Another is how the other build of an updated server calls itself.
const Another = "eeeeeeeeeeee"

// Updated is an address of a server which, once told so, serves the app as
// another build: one with another name for everything whose name changes with
// its content. As after a real update it keeps, in dir, what it served before.
// Workers begin with a script. The caller closes it.
func Updated(base, dir, script string) (*httptest.Server, func() error, error) {
	target, err := url.Parse(base)
	if err != nil {
		return nil, nil, fmt.Errorf("rig: updated: %w", err)
	}
	var pages atomic.Pointer[echo.Echo]
	start := func(rename func(stem string) string) error {
		files, err := rebuilt(rename, script)
		if err != nil {
			return err
		}
		before, err := web.KeepBuilds(dir, files, func(string) uint64 { return 1 << 40 }, time.Now())
		if err != nil {
			return err
		}
		serve, err := web.Static(files, before)
		if err != nil {
			return err
		}
		e := echo.New()
		e.GET("/*", serve)
		pages.Store(e)
		return nil
	}
	if err := start(func(stem string) string { return stem }); err != nil {
		return nil, nil, err
	}
	proxy := &httputil.ReverseProxy{ErrorLog: log.New(io.Discard, "", 0), Rewrite: func(q *httputil.ProxyRequest) {
		q.SetURL(target)
		q.Out.Host = q.In.Host // the origin of its sockets
	}}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		if q.URL.Path == "/health" || strings.HasPrefix(q.URL.Path, "/api/") {
			proxy.ServeHTTP(w, q)
		} else {
			pages.Load().ServeHTTP(w, q)
		}
	}))
	return server, func() error { return start(func(stem string) string { return stem + "-again" }) }, nil
}

// rebuilt is the app with other names for its static files, and then of the build.
func rebuilt(rename func(stem string) string, script string) (fs.FS, error) {
	app, files := map[string][]byte{}, fstest.MapFS{}
	var names []string
	err := fs.WalkDir(assets.Files, "app", func(name string, entry fs.DirEntry, err error) error {
		ext := path.Ext(name)
		if err != nil || entry.IsDir() || ext == ".gz" || ext == ".br" {
			return err
		}
		if app[name], err = assets.Files.ReadFile(name); err != nil {
			return err
		}
		if stem := strings.TrimSuffix(path.Base(name), ext); path.Dir(name) == "app/static" && rename(stem) != stem {
			names = append(names, stem, rename(stem))
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("rig: rebuilt: %w", err)
	}
	_, build, _ := strings.Cut(string(app["app/index.html"]), `data-build="`)
	build, _, _ = strings.Cut(build, `"`)
	if len(names) > 0 {
		names = append(names, build, Another)
	}
	other := strings.NewReplacer(names...)
	for name, content := range app {
		switch ext := path.Ext(name); {
		case ext == ".js" || ext == ".html" || ext == ".css" || ext == ".webmanifest":
			content = []byte(other.Replace(string(content)))
		}
		if strings.Contains(name, "/worker-") {
			content = append([]byte(script+"\n"), content...)
		}
		files[other.Replace(name)] = &fstest.MapFile{Data: content}
	}
	return files, nil
}
