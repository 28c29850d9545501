package web_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/andybalholm/brotli"
	"github.com/labstack/echo/v4"

	"rootledger/pwa/assets"
	"rootledger/server/web"
)

const (
	enginePath = "/static/engine-1a2b.wasm"
	engineText = "the engine"
	longCache  = "public, max-age=31536000, immutable"
)

func gzipped(text string) []byte {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	_, _ = w.Write([]byte(text)) // to memory
	_ = w.Close()
	return out.Bytes()
}

func brotlied(text string) []byte {
	var out bytes.Buffer
	w := brotli.NewWriter(&out)
	_, _ = w.Write([]byte(text)) // to memory
	_ = w.Close()
	return out.Bytes()
}

// built is what lies in pwa/assets after a build.
func built() fstest.MapFS {
	files := fstest.MapFS{}
	for name, text := range map[string]string{
		"index.html": "not built", "assets.go": "package assets", "app/inputs": "abc", "app/sizes": "1 2 3",
		"app/static/font-1a2b.woff2": "a font", "app/static/icon-1a2b.png": "a picture",
	} {
		files[name] = &fstest.MapFile{Data: []byte(text)}
	}
	for name, text := range map[string]string{
		"app/index.html": "<p>the app", "app/sw.js": "the keeper", "app/manifest.webmanifest": "{}",
		"app" + enginePath: engineText, "app/static/main-1a2b.js": "screens", "app/static/style-1a2b.css": "p{}", "app/static/icon-1a2b.svg": "<svg/>",
	} {
		files[name] = &fstest.MapFile{Data: []byte(text)}
		files[name+".gz"] = &fstest.MapFile{Data: gzipped(text)}
		files[name+".br"] = &fstest.MapFile{Data: brotlied(text)}
	}
	return files
}

func staticServer(t *testing.T, files fstest.MapFS) http.Handler {
	t.Helper()
	serve, err := web.Static(files, nil)
	if err != nil {
		t.Fatal(err)
	}
	e := echo.New()
	e.Match([]string{http.MethodGet, http.MethodHead}, "/*", serve)
	return e
}

// got is what a server answers; header holds names and values in turn.
func got(h http.Handler, method, path string, header ...string) *http.Response {
	request := httptest.NewRequest(method, path, http.NoBody)
	for i := 0; i < len(header); i += 2 {
		request.Header.Set(header[i], header[i+1])
	}
	answer := httptest.NewRecorder()
	h.ServeHTTP(answer, request)
	return answer.Result()
}

func body(t *testing.T, answer *http.Response) string {
	t.Helper()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestAddressesOfScreensAreOnePage(t *testing.T) {
	for name, want := range map[string]struct {
		files fstest.MapFS
		text  string
	}{
		"built": {built(), "<p>the app"}, "not built": {fstest.MapFS{"index.html": {Data: []byte("not built")}}, "not built"},
	} {
		t.Run(name, func(t *testing.T) {
			h := staticServer(t, want.files)
			for _, path := range []string{"/", "/index.html", "/wall/1", "/wall/OR.1", "/wall/1/", "/office", "/figures", "/join/7KQ2M4XZ", "/anything/else?a=b.c"} {
				answer := got(h, "GET", path)
				same(t, path+" status", answer.StatusCode, 200)
				same(t, path, body(t, answer), want.text)
				same(t, path+" type", answer.Header.Get("Content-Type"), "text/html; charset=utf-8")
				same(t, path+" cache", answer.Header.Get("Cache-Control"), "no-cache")
			}
			policy := got(h, "GET", "/office").Header.Get("Content-Security-Policy")
			for _, part := range []string{"default-src 'self';", "script-src 'self' 'wasm-unsafe-eval';", "frame-ancestors 'none'", "base-uri 'none'"} {
				if !strings.Contains(policy, part) {
					t.Errorf("policy: got %q, want %q in it", policy, part)
				}
			}
		})
	}
}

func TestNothingElseIsServed(t *testing.T) {
	h := staticServer(t, built())
	for _, path := range []string{"/nothing.html", "/assets.go", "/inputs.x", "/index.html.gz", "/sw.js.br", "/app/index.html", "/static", "/static/", "/static/none",
		"/static/none.js", "/api", "/api/", "/api/none", "/health", "/office/a.b", "/../go.mod", "/wall/../../go.mod", "/wall//1"} {
		same(t, path, got(h, "GET", path).StatusCode, 404)
	}
	for _, path := range []string{"/inputs", "/sizes"} { // an address of a screen, for all the server knows
		same(t, path, body(t, got(h, "GET", path)), "<p>the app")
	}
	same(t, "posting", got(h, "POST", "/office").StatusCode, 405)
}

func TestTypesAndCaches(t *testing.T) {
	h := staticServer(t, built())
	for path, want := range map[string][2]string{
		"/sw.js":                    {"text/javascript; charset=utf-8", "no-cache"},
		"/manifest.webmanifest":     {"application/manifest+json", "no-cache"},
		enginePath:                  {"application/wasm", longCache},
		"/static/main-1a2b.js":      {"text/javascript; charset=utf-8", longCache},
		"/static/style-1a2b.css":    {"text/css; charset=utf-8", longCache},
		"/static/icon-1a2b.svg":     {"image/svg+xml", longCache},
		"/static/icon-1a2b.png":     {"image/png", longCache},
		"/static/font-1a2b.woff2":   {"font/woff2", longCache},
		"/static/font-1a2b.woff2?a": {"font/woff2", longCache},
	} {
		answer := got(h, "GET", path)
		same(t, path+" status", answer.StatusCode, 200)
		same(t, path+" type", answer.Header.Get("Content-Type"), want[0])
		same(t, path+" cache", answer.Header.Get("Cache-Control"), want[1])
	}
}

func TestCompressedForms(t *testing.T) {
	h := staticServer(t, built())
	for accepted, want := range map[string]string{
		"": "", "identity": "", "gzip": "gzip", "br": "br", "gzip, deflate, br, zstd": "br", "gzip, deflate": "gzip", "GZIP;q=0.5": "gzip",
		"br;q=0, gzip": "gzip", "br; q=0.0, gzip;q=1.0": "gzip", "gzip;q=0": "", "brotli": "", "gzip;q=much": "",
	} {
		answer := got(h, "GET", enginePath, "Accept-Encoding", accepted)
		text := body(t, answer)
		same(t, accepted+": encoding", answer.Header.Get("Content-Encoding"), want)
		same(t, accepted+": vary", answer.Header.Get("Vary"), "Accept-Encoding")
		same(t, accepted+": length", answer.ContentLength, int64(len(text)))
		same(t, accepted+": content", text, map[string]string{"": engineText, "gzip": string(gzipped(engineText)), "br": string(brotlied(engineText))}[want])

		head := got(h, "HEAD", enginePath, "Accept-Encoding", accepted)
		same(t, accepted+": body of HEAD", body(t, head), "")
		for _, header := range []string{"Content-Encoding", "Content-Length", "Content-Type", "Cache-Control", "Vary"} {
			same(t, accepted+": HEAD "+header, head.Header.Get(header), answer.Header.Get(header))
		}
	}
	font := got(h, "GET", "/static/font-1a2b.woff2", "Accept-Encoding", "br, gzip")
	same(t, "encoding of what is compressed in itself", font.Header.Get("Content-Encoding"), "")
	same(t, "content of it", body(t, font), "a font")
}

func TestWhatDidNotChangeIsNotSentAgain(t *testing.T) {
	files := built()
	h := staticServer(t, files)
	tag := got(h, "GET", "/sw.js").Header.Get("ETag")
	if tag == "" {
		t.Fatal("sw.js has no tag")
	}
	for _, header := range []string{tag, `W/"other", ` + tag} {
		answer := got(h, "GET", "/sw.js", "If-None-Match", header)
		same(t, "status", answer.StatusCode, 304)
		same(t, "body", body(t, answer), "")
		same(t, "tag", answer.Header.Get("ETag"), tag)
	}
	files["app/sw.js"] = &fstest.MapFile{Data: []byte("another keeper")}
	same(t, "status after a build", got(staticServer(t, files), "GET", "/sw.js", "If-None-Match", tag).StatusCode, 200)
}

// What is embedded in this build of the server can be served, whether or not
// the app was built.
func TestEmbedded(t *testing.T) {
	serve, err := web.Static(assets.Files, nil)
	if err != nil {
		t.Fatal(err)
	}
	e := echo.New()
	e.GET("/*", serve)
	if text := body(t, got(e, "GET", "/")); !strings.Contains(text, "<title>Rootledger</title>") {
		t.Errorf("page: got %q", text)
	}
}
