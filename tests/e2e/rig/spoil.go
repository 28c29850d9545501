package rig

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strconv"
	"strings"
)

// NoStorage makes a worker's browser give no storage, as a private window may.
const NoStorage = `IDBFactory.prototype.open = function () { throw new DOMException("refused", "SecurityError"); };`

// Spoil is an address of a server at which the worker's script begins with
// another one: a phone with a bad disk. The caller closes it.
func Spoil(base, script string) (*httptest.Server, error) {
	target, err := url.Parse(base)
	if err != nil {
		return nil, fmt.Errorf("rig: spoil: %w", err)
	}
	proxy := &httputil.ReverseProxy{
		Rewrite: func(q *httputil.ProxyRequest) {
			q.SetURL(target)
			q.Out.Host = q.In.Host // the origin of its sockets
			q.Out.Header.Del("Accept-Encoding")
		},
		ModifyResponse: func(a *http.Response) error {
			if !strings.Contains(a.Request.URL.Path, "/worker-") {
				return nil
			}
			body, err := io.ReadAll(a.Body)
			if err != nil {
				return err
			}
			body = append([]byte(script+"\n"), body...)
			a.Body = io.NopCloser(bytes.NewReader(body))
			a.ContentLength = int64(len(body))
			a.Header.Set("Content-Length", strconv.Itoa(len(body)))
			return nil
		},
	}
	return httptest.NewServer(proxy), nil
}
