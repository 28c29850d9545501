package e2e

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// updated is an address of a server which, once told so, serves the app as
// another build: its page and its service worker say another name.
func updated(t *testing.T, base string) (address string, update func()) {
	t.Helper()
	page, err := http.Get(base + "/")
	ok(t, err)
	text, err := io.ReadAll(page.Body)
	ok(t, errors.Join(err, page.Body.Close()))
	_, name, _ := strings.Cut(string(text), `data-build="`)
	name, _, _ = strings.Cut(name, `"`)
	var another atomic.Bool
	served, err := rig.Changed(base, func(path string, body []byte) []byte {
		if !another.Load() || strings.HasPrefix(path, "/static/") {
			return body
		}
		return bytes.ReplaceAll(body, []byte(name), []byte(strings.Repeat("e", len(name))))
	})
	ok(t, err)
	t.Cleanup(served.CloseClientConnections)
	return served.URL, func() { another.Store(true) }
}

// A new version waits while a session runs: the phone counts on with the one that
// it has, says so in its menu, and takes it when it is told to. A wall without a
// session takes it by itself.
func TestANewVersionWaits(t *testing.T) {
	r := opened(t, 400)
	address, update := updated(t, r.URL())
	p := joined(t, r, address, "Cedar", "sorting")
	wall := device(t)
	ok(t, wall.Open(address+"/wall/9")) // nothing runs there
	controlled := `navigator.serviceWorker.controller !== null`
	ok(t, p.Until(controlled))
	ok(t, wall.Until(controlled))
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 3)
	says(t, p, truth, "all 3 in the room")

	update()
	look := `navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true)`
	for _, page := range []*browser.Page{p, wall} {
		_, err := browser.Eval[bool](page, look)
		ok(t, err)
	}
	ok(t, wall.Until(`document.documentElement.outerHTML.includes("eeeeee")`))
	_, err := browser.Eval[bool](p, `new Promise((done) => {
		const look = () => navigator.serviceWorker.getRegistration().then((r) => (r.waiting ? done(true) : setTimeout(look, 50)));
		look();
	})`)
	ok(t, err)
	taps(t, p, pad, 2)
	says(t, p, tally, "5")
	if seen, err := browser.Eval[bool](p, `document.documentElement.outerHTML.includes("eeeeee")`); err != nil || seen {
		t.Errorf("the page changed while a session runs: %v, %v", seen, err)
	}
	menu(t, p)
	within(t, p, "take it now")
	ok(t, p.Until(`document.documentElement.outerHTML.includes("eeeeee")`))
	says(t, p, tally, "5")
	taps(t, p, pad, 1)
	says(t, p, truth, "all 6 in the room")
}
