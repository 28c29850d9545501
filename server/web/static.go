package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
)

// types are the kinds of file that browsers are given; no other is served.
var types = map[string]string{
	".html":        "text/html; charset=utf-8",
	".js":          "text/javascript; charset=utf-8",
	".json":        "application/json",
	".css":         "text/css; charset=utf-8",
	".wasm":        "application/wasm",
	".webmanifest": "application/manifest+json",
	".svg":         "image/svg+xml",
	".png":         "image/png",
	".woff2":       "font/woff2",
}

// policy is what a page may load and talk to: a phone may speak to a server
// under another address than the one that it loaded the app from.
const policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; " +
	"img-src 'self' data: blob:; connect-src 'self' ws: wss: http: https:; worker-src 'self'; " +
	"frame-ancestors 'none'; base-uri 'none'"

// staticDir holds the files whose names change with their content.
const staticDir = "static/"

// asset is one file in the forms that it is served in.
type asset struct {
	contentType, tag string
	raw, gz, br      []byte // gz and br are nil for what was not compressed
}

// Static serves the app in the folder app of files, or, where none was built,
// the page index.html beside it. Addresses of screens (a station, /wall/ROOM,
// /office, /figures) are all the same page. What this build does not have may be
// of one before.
func Static(files fs.FS, before Before) (echo.HandlerFunc, error) {
	assets, err := readAssets(files)
	if err != nil {
		return nil, err
	}
	return func(c echo.Context) error {
		name := strings.Trim(c.Request().URL.Path, "/")
		if isPage(name) {
			name = "index.html"
		}
		a, ok := assets[name]
		if !ok {
			a, ok = before[name]
		}
		if !ok {
			return echo.ErrNotFound
		}
		return a.serve(c, strings.HasPrefix(name, staticDir))
	}, nil
}

// isPage says whether a screen has this address. The name of a room may have
// dots; otherwise an address with a dot is a file's.
func isPage(name string) bool {
	if name == "" {
		return true
	}
	first, _, _ := strings.Cut(name, "/")
	switch first {
	case "api", "health", "static":
		return false
	}
	return fs.ValidPath(name) && (first == "wall" || !strings.Contains(name, "."))
}

func readAssets(files fs.FS) (map[string]asset, error) {
	app, err := fs.Sub(files, "app")
	if err != nil {
		return nil, err
	}
	if _, err := fs.Stat(app, "index.html"); errors.Is(err, fs.ErrNotExist) {
		page, err := readAsset(files, "index.html")
		return map[string]asset{"index.html": page}, err
	}
	out := map[string]asset{}
	err = fs.WalkDir(app, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || types[path.Ext(name)] == "" {
			return err
		}
		out[name], err = readAsset(app, name)
		return err
	})
	return out, err
}

func readAsset(files fs.FS, name string) (a asset, err error) {
	a.contentType = types[path.Ext(name)]
	if a.raw, err = fs.ReadFile(files, name); err != nil {
		return a, fmt.Errorf("web: %w", err)
	}
	sum := sha256.Sum256(a.raw)
	a.tag = `W/"` + hex.EncodeToString(sum[:12]) + `"`
	for ext, form := range map[string]*[]byte{".gz": &a.gz, ".br": &a.br} {
		if *form, err = fs.ReadFile(files, name+ext); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return a, fmt.Errorf("web: %w", err)
		}
	}
	return a, nil
}

func (a asset) serve(c echo.Context, forever bool) error {
	h := c.Response().Header()
	h.Set(echo.HeaderContentSecurityPolicy, policy)
	if a.gz != nil || a.br != nil {
		h.Set(echo.HeaderVary, echo.HeaderAcceptEncoding)
	}
	if forever {
		h.Set(echo.HeaderCacheControl, "public, max-age=31536000, immutable")
	} else {
		h.Set(echo.HeaderCacheControl, "no-cache")
		h.Set("ETag", a.tag)
		if strings.Contains(c.Request().Header.Get("If-None-Match"), a.tag[len("W/"):]) {
			return c.NoContent(http.StatusNotModified)
		}
	}
	body := a.raw
	accepted := c.Request().Header.Values(echo.HeaderAcceptEncoding)
	switch {
	case a.br != nil && accepts(accepted, "br"):
		h.Set(echo.HeaderContentEncoding, "br")
		body = a.br
	case a.gz != nil && accepts(accepted, "gzip"):
		h.Set(echo.HeaderContentEncoding, "gzip")
		body = a.gz
	}
	h.Set(echo.HeaderContentType, a.contentType)
	h.Set(echo.HeaderContentLength, strconv.Itoa(len(body)))
	c.Response().WriteHeader(http.StatusOK)
	if c.Request().Method == http.MethodHead {
		return nil
	}
	_, err := c.Response().Write(body)
	return err
}

// accepts says whether a browser takes a coding: it names it, and not with a
// weight of nothing.
func accepts(headers []string, coding string) bool {
	for _, one := range strings.Split(strings.Join(headers, ","), ",") {
		name, weight, _ := strings.Cut(one, ";")
		if !strings.EqualFold(strings.TrimSpace(name), coding) {
			continue
		}
		_, q, weighed := strings.Cut(weight, "=")
		value, err := strconv.ParseFloat(strings.TrimSpace(q), 64)
		return !weighed || (err == nil && value > 0)
	}
	return false
}
