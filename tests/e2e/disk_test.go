package e2e

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/rig"
)

// spoiled is an address of the server at which the worker's script begins with
// another one: a phone with a bad disk.
func spoiled(t *testing.T, r *rig.Rig, script string) string {
	t.Helper()
	target, err := url.Parse(r.URL())
	ok(t, err)
	proxy := httputil.NewSingleHostReverseProxy(target)
	director := proxy.Director
	proxy.Director = func(q *http.Request) {
		director(q)
		q.Header.Del("Accept-Encoding")
	}
	proxy.ModifyResponse = func(a *http.Response) error {
		if !strings.Contains(a.Request.URL.Path, "/worker-") {
			return nil
		}
		body, err := io.ReadAll(a.Body)
		if err != nil {
			return err
		}
		body = append([]byte(script+"\n"), body...)
		a.Body = io.NopCloser(bytes.NewReader(body))
		a.Header.Set("Content-Length", strconv.Itoa(len(body)))
		a.ContentLength = int64(len(body))
		return nil
	}
	server := httptest.NewServer(proxy)
	t.Cleanup(server.CloseClientConnections)
	return server.URL
}

// A phone whose disk refuses, from the start or when it is full, goes on
// counting, says so, and the room gets every count.
func TestDiskRefuses(t *testing.T) {
	for name, script := range map[string]string{
		"no storage at all": `IDBFactory.prototype.open = function () { throw new DOMException("refused", "SecurityError"); };`,
		"full after a while": `{ const put = IDBObjectStore.prototype.put; let n = 0;
			IDBObjectStore.prototype.put = function (...a) {
				if (this.name === "own" && ++n > 3) throw new DOMException("full", "QuotaExceededError");
				return put.apply(this, a);
			}; }`,
	} {
		t.Run(name, func(t *testing.T) {
			r := opened(t, 400)
			ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each}))
			p := joined(t, r, spoiled(t, r, script), "Ash", "extraction")
			taps(t, p, bigPad, 6)
			says(t, p, tally, "6")
			ok(t, p.Until(`document.querySelector(".truth").classList.contains("asks") && document.querySelector(".truth").innerText.includes("in memory only")`))
			punched, _, _ := settled(t, r, exactly(6, 0, 0))
			if punched != 6 {
				t.Errorf("the room has %d attempts, want 6", punched)
			}
		})
	}
}

// A phone whose disk was full and has room again keeps what it had in memory.
func TestDiskHasRoomAgain(t *testing.T) {
	r := opened(t, 400)
	script := `{ const put = IDBObjectStore.prototype.put; let n = 0;
		IDBObjectStore.prototype.put = function (...a) {
			if (this.name === "own" && ++n > 3 && n < 8) throw new DOMException("full", "QuotaExceededError");
			return put.apply(this, a);
		}; }`
	p := joined(t, r, spoiled(t, r, script), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 12)
	says(t, p, truth, "all 12 in the room")
	ok(t, p.Reload())
	says(t, p, tally, "12")
	taps(t, p, pad, 3)
	says(t, p, truth, "all 15 in the room")
	_, sorted, _ := settled(t, r, exactly(0, 15, 0))
	if sorted != 15 {
		t.Errorf("the room has %d sorted, want 15", sorted)
	}
}
