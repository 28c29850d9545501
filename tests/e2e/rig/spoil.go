package rig

import (
	"bytes"
	"fmt"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strconv"
	"strings"

	"rootledger/tests/e2e/browser"
)

// NoStorage makes a worker's browser give no storage, as a private window may.
const NoStorage = `IDBFactory.prototype.open = function () { throw new DOMException("refused", "SecurityError"); };`

// Spoil is an address of a server at which the worker's script begins with
// another one: a phone with a bad disk. The caller closes it.
func Spoil(base, script string) (*httptest.Server, error) {
	return Changed(base, func(path string, body []byte) []byte {
		if !strings.Contains(path, "/worker-") {
			return body
		}
		return append([]byte(script+"\n"), body...)
	})
}

// Changed is an address of a server whose answers to a page are changed on the
// way; what it speaks over sockets is not. The caller closes it.
func Changed(base string, change func(path string, body []byte) []byte) (*httptest.Server, error) {
	target, err := url.Parse(base)
	if err != nil {
		return nil, fmt.Errorf("rig: changed: %w", err)
	}
	proxy := &httputil.ReverseProxy{
		ErrorLog: log.New(io.Discard, "", 0), // networks are taken away on purpose
		Rewrite: func(q *httputil.ProxyRequest) {
			q.SetURL(target)
			q.Out.Host = q.In.Host // the origin of its sockets
			q.Out.Header.Del("Accept-Encoding")
			q.Out.Header.Del("If-None-Match")
		},
		ModifyResponse: func(a *http.Response) error {
			if at := a.Request.URL.Path; a.StatusCode != http.StatusOK || strings.HasPrefix(at, "/api/") {
				return nil
			}
			body, err := io.ReadAll(a.Body)
			if err != nil {
				return err
			}
			body = change(a.Request.URL.Path, body)
			a.Body = io.NopCloser(bytes.NewReader(body))
			a.ContentLength = int64(len(body))
			a.Header.Set("Content-Length", strconv.Itoa(len(body)))
			return nil
		},
	}
	return httptest.NewServer(proxy), nil
}

// Forget takes the last n events of others out of what a device keeps, which it
// does without waiting for its disk, and ends the page as a crash would. What it
// had heard of is kept twice a second, and waited for.
func Forget(p *browser.Page, n int) error {
	kept, err := browser.Eval[int](p, fmt.Sprintf(`new Promise((done, fail) => setTimeout(() => {
		const asked = indexedDB.open("rootledger");
		asked.onerror = fail;
		asked.onsuccess = () => {
			const t = asked.result.transaction("others", "readwrite");
			let had = 0, left = %d;
			t.objectStore("others").openCursor(null, "prev").onsuccess = ({ target: { result: cursor } }) => {
				if (!cursor) return;
				const { bodies } = cursor.value, gone = Math.min(left, bodies.length);
				had += bodies.length;
				left -= gone;
				if (gone > 0) cursor.update({ ...cursor.value, bodies: bodies.slice(0, bodies.length - gone) });
				cursor.continue();
			};
			t.onerror = fail;
			t.oncomplete = () => (asked.result.close(), done(had));
		};
	}, 700))`, n))
	if err != nil {
		return err
	}
	if kept <= n {
		return fmt.Errorf("rig: the device keeps only %d events of others", kept)
	}
	return p.Open("about:blank")
}
