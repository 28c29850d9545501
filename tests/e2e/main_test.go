// Package e2e tries the whole product as people would: real Chromium, real
// sockets, real SQLite.
package e2e

import (
	"flag"
	"fmt"
	"os"
	"testing"

	"rootledger/pwa/assets"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// chromium is one browser for all tests, nil when they can not run here.
var chromium *browser.Browser

func TestMain(m *testing.M) {
	if _, err := assets.Files.ReadFile("app/index.html"); err != nil {
		without("the app is not built into this copy; run make build first")
	}
	if browser.Find() == "" {
		without("Chromium is not installed; apt-get install chromium")
	}
	var err error
	if chromium, err = browser.Start(); err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	// What takes long mostly waits, for a server that is away or a worker that
	// hangs, and those tests run beside each other.
	flag.Parse()
	if err := flag.Set("test.parallel", "4"); err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	code := m.Run()
	if err := chromium.Close(); err != nil {
		fmt.Println(err)
	}
	os.Exit(code)
}

// without ends the run because something is not here: skipped, and with
// CI=true failed.
func without(what string) {
	if os.Getenv("CI") == "true" {
		fmt.Println("with CI=true these tests must run, but " + what)
		os.Exit(1)
	}
	fmt.Println("skipped: " + what)
	os.Exit(0)
}

func ok(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// opened is a rig with a planned session of some grafts.
func opened(t *testing.T, grafts uint32) *rig.Rig {
	t.Helper()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, r.Open("A-12", grafts))
	return r
}

// wallOf is the wall of a room, closed with the test.
func wallOf(t *testing.T, base, room string) *browser.Page {
	t.Helper()
	p := screen(t, 1920, 1080)
	ok(t, p.Open(base+"/wall/"+room))
	return p
}

// device is a phone of its own, closed with the test.
func device(t *testing.T) *browser.Page {
	t.Helper()
	return screen(t, 390, 844)
}

// screen is a device of some size that does not keep its pages.
func screen(t *testing.T, width, height int64) *browser.Page {
	t.Helper()
	p := keeping(t, width, height)
	ok(t, p.Before(rig.Unkept))
	return p
}

// keeping is a device that keeps its pages, as every one does outside of tests:
// it opens them without a network.
func keeping(t *testing.T, width, height int64) *browser.Page {
	t.Helper()
	p, err := chromium.Device(width, height, false)
	ok(t, err)
	t.Cleanup(p.Close)
	return p
}

// gate is a network of its own, closed with the test.
func gate(t *testing.T, target string) *rig.Gate {
	t.Helper()
	g, err := rig.NewGate(target)
	ok(t, err)
	t.Cleanup(func() { ok(t, g.Close()) })
	return g
}

// joined is a phone that has joined a station through its screens.
func joined(t *testing.T, r *rig.Rig, base, person, station string) *browser.Page {
	t.Helper()
	return joins(t, device(t), r, base, person, station)
}

// joins has a device join a station.
func joins(t *testing.T, p *browser.Page, r *rig.Rig, base, person, station string) *browser.Page {
	t.Helper()
	ok(t, r.JoinPage(p, base, person, station))
	return p
}

// taps presses a pad some times, as fast as the page takes it: each with a
// finger of its own in a place of its own, for no finger is as fast, and none is
// there sooner after it closed a sheet.
func taps(t *testing.T, p *browser.Page, selector string, n int) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`document.querySelector(%q) && !document.querySelector(".pads.begin")`, selector)))
	_, err := browser.Eval[bool](p, fmt.Sprintf(`(async () => {
		while (document.querySelector("dialog")) await new Promise((r) => setTimeout(r, 10));
		await new Promise((r) => setTimeout(r, 130));
		const pad = document.querySelector(%q);
		for (let i = 0; i < %d; i++) {
			const finger = { bubbles: true, button: 0, pointerId: 100 + i, isPrimary: true, clientX: window.fingers = (window.fingers ?? 0) + 100 };
			for (const type of ["pointerdown", "pointerup"]) pad.dispatchEvent(new PointerEvent(type, finger));
			await new Promise((r) => setTimeout(r, 15));
		}
		return true;
	})()`, selector, n))
	ok(t, err)
}

// says waits until an element's text is what it should be.
func says(t *testing.T, p *browser.Page, selector, text string) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`document.querySelector(%q)?.innerText.replace(/\s+/g, " ").trim() === %q`, selector, text)))
}

const (
	bigPad = ".pads > .pad"
	tally  = ".own .figure"
	truth  = ".truth > span:not(:last-child)"
)
