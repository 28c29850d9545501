package e2e

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rootledger/tests/e2e/browser"
)

// menu opens what a phone does besides counting.
func menu(t *testing.T, p *browser.Page) {
	t.Helper()
	ok(t, p.Do("This phone"))
	ok(t, p.Until(`document.querySelector("dialog[open] .carry input")`))
}

// carriedIn has a phone take a file in, and is what it says of it.
func carriedIn(t *testing.T, p *browser.Page, path string) string {
	t.Helper()
	menu(t, p)
	ok(t, p.Choose("dialog .carry input", path))
	const said = `(document.querySelector("dialog .carry .wrong") ?? [...document.querySelectorAll("dialog .carry [role=status]")].at(-1)).innerText`
	ok(t, p.Until(`!/A file that the other phone made/.test(`+said+`)`))
	words, err := browser.Eval[string](p, said)
	ok(t, err)
	ok(t, p.Do("Close"))
	ok(t, p.Until(`!document.querySelector("dialog")`))
	return words
}

// handedOut has a phone that is away hand its counts over, and is the file.
func handedOut(t *testing.T, p *browser.Page, name string) string {
	t.Helper()
	dir := t.TempDir()
	ok(t, p.Downloads(dir))
	menu(t, p)
	ok(t, p.Do("Hand over counts as a file"))
	ok(t, p.Until(`/The file has 7 entries/.test(document.querySelector("dialog .carry [role=status]").innerText)`))
	path := filepath.Join(dir, name)
	ok(t, browser.Wait(func() bool {
		info, err := os.Stat(path)
		return err == nil && info.Size() > 0
	}))
	return path
}

// One phone without a network counts; another one carries its counts in, twice;
// then the first comes back: every count is there once.
func TestCarriedByHand(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	away := joined(t, r, g.URL(), "Cedar", "sorting")
	near := joined(t, r, r.URL(), "Linden", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	ok(t, away.Until(`document.querySelector(".truth").classList.length === 1`))
	g.Shut()
	ok(t, away.Until(`document.querySelector(".truth.here")`))
	taps(t, away, pad, 7)
	says(t, away, truth, "kept here: 7")
	file := handedOut(t, away, "rootledger-A-12-Cedar.counts")

	for i, want := range []string{
		"7 entries of Cedar are kept on this phone now, and go to the room from here. Carrying the file in again changes nothing.",
		"Everything in this file is here already. Nothing has changed.",
	} {
		if got := carriedIn(t, near, file); got != want {
			t.Errorf("carried in %d times: it says %q, want %q", i+1, got, want)
		}
		if _, sorted, _ := settled(t, r, exactly(0, 7, 0)); sorted != 7 {
			t.Errorf("carried in %d times: the room has %d sorted, want 7", i+1, sorted)
		}
	}
	g.Open()
	says(t, away, truth, "all 7 in the room")
	if _, sorted, _ := settled(t, r, exactly(0, 7, 0)); sorted != 7 {
		t.Errorf("once it is back the room has %d sorted, want 7", sorted)
	}
}

// Counts that were carried in while nobody has a network outlive the page that
// took them in.
func TestCarriedCountsAreKept(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	away := joins(t, keeping(t, 390, 844), r, g.URL(), "Cedar", "sorting")
	near := joins(t, keeping(t, 390, 844), r, g.URL(), "Linden", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	for _, p := range []*browser.Page{away, near} {
		ok(t, p.Until(`document.querySelector(".truth").classList.length === 1 && navigator.serviceWorker.ready.then(() => true)`))
	}
	g.Shut()
	ok(t, away.Until(`document.querySelector(".truth.here")`))
	taps(t, away, pad, 7)
	says(t, away, truth, "kept here: 7")
	file := handedOut(t, away, "rootledger-A-12-Cedar.counts")
	away.Close()
	carriedIn(t, near, file)
	ok(t, near.Reload())
	ok(t, near.Until(`document.querySelector(".own .figure")`))
	g.Open()
	if _, sorted, _ := settled(t, r, exactly(0, 7, 0)); sorted != 7 {
		t.Errorf("the room has %d sorted, want the 7 that were carried", sorted)
	}
}

// Where the phone can share files, the same file goes that way.
func TestShared(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := device(t)
	ok(t, p.Before(`navigator.canShare = ({ files }) => files.length === 1;
		navigator.share = async ({ files }) => { window.shared = files[0].name + (files[0].size > 100 ? "" : ", short"); };`))
	ok(t, r.JoinPage(p, g.URL(), "van der Linden, A.", "sorting"))
	ok(t, p.Until(`document.querySelector(".truth").classList.length === 1`))
	g.Shut()
	ok(t, p.Until(`document.querySelector(".truth.here")`))
	taps(t, p, ".four-up .pad:nth-child(1)", 2)
	says(t, p, truth, "kept here: 2")
	menu(t, p)
	ok(t, p.Do("Share the file"))
	ok(t, p.Until(`window.shared === "rootledger-A-12-van-der-Linden-A.counts"`))
}

// A file that can not be taken is refused in words, and changes nothing.
func TestWrongFiles(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	away := joined(t, r, g.URL(), "Cedar", "sorting")
	ok(t, away.Until(`document.querySelector(".truth").classList.length === 1`))
	g.Shut()
	ok(t, away.Until(`document.querySelector(".truth.here")`))
	taps(t, away, ".four-up .pad:nth-child(1)", 7)
	says(t, away, truth, "kept here: 7")
	whole, err := os.ReadFile(handedOut(t, away, "rootledger-A-12-Cedar.counts"))
	ok(t, err)
	other := r.Beside("2")
	ok(t, other.Open("B-7", 400))
	stranger := joined(t, other, r.URL(), "Maple", "sorting")
	later := slices.Clone(whole)
	later[len("\xa4\x01\x71rootledger counts\x02")]++
	for name, test := range map[string]struct {
		bytes []byte
		want  string
	}{
		"not whole":           {whole[:20], "This file does not hold counts of Rootledger, or it is not whole."},
		"something else":      {[]byte("a picture"), "This file does not hold counts of Rootledger, or it is not whole."},
		"another session":     {whole, "This file holds counts of another session."},
		"of a newer version":  {later, "This file was made by a newer version of Rootledger (2)."},
		"nothing in the file": {nil, "This file does not hold counts of Rootledger, or it is not whole."},
	} {
		path := filepath.Join(t.TempDir(), "x.counts")
		ok(t, os.WriteFile(path, test.bytes, 0o600))
		if got := carriedIn(t, stranger, path); !strings.HasPrefix(got, test.want) {
			t.Errorf("%s: it says %q, want %q", name, got, test.want)
		}
	}
}
