package e2e

import (
	"testing"

	"rootledger/shared/session"
	"rootledger/tests/e2e/browser"
)

// The page about figures has every figure, and opens without the network.
func TestFiguresPageOffline(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := keeping(t, 390, 844)
	ok(t, p.Open(g.URL()+"/figures"))
	ok(t, p.Until(`document.querySelector(".f-one")`))
	ok(t, p.Until(`navigator.serviceWorker.controller?.state === "activated"`))
	g.Shut()
	ok(t, p.Open("about:blank"))
	ok(t, p.Open(g.URL()+"/figures#residual"))
	ok(t, p.Until(`document.querySelector("#residual")`))
	figures, err := browser.Eval[int](p, `document.querySelectorAll(".f-one").length`)
	ok(t, err)
	if figures != session.Figures {
		t.Errorf("the page has %d figures, want %d", figures, session.Figures)
	}
	chapters, err := browser.Eval[bool](p, `[...document.querySelectorAll(".f-nav a")].every((a) => document.querySelector(a.getAttribute("href")))`)
	ok(t, err)
	if !chapters {
		t.Error("the contents name a chapter that is not there")
	}
	bare, err := browser.Eval[string](p, `document.querySelector(".f-page").innerText.match(/\b(figure|term|where|figures)[A-Za-z]*\.[a-z ]+/)?.[0] ?? ""`)
	ok(t, err)
	if bare != "" {
		t.Errorf("the page shows a key without words: %s", bare)
	}
}
