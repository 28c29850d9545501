package web_test

import (
	"encoding/xml"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"rsc.io/qr"
)

// modules reads the picture back: which modules are dark, and the side.
func modules(t *testing.T, text string) (dark map[[2]int]bool, side int) {
	t.Helper()
	var picture struct {
		ViewBox string `xml:"viewBox,attr"`
		Path    struct {
			Fill string `xml:"fill,attr"`
			D    string `xml:"d,attr"`
		} `xml:"path"`
	}
	if err := xml.Unmarshal([]byte(text), &picture); err != nil {
		t.Fatal(err)
	}
	same(t, "colour", picture.Path.Fill, "currentColor")
	if _, err := fmt.Sscanf(picture.ViewBox, "0 0 %d", &side); err != nil {
		t.Fatal(err)
	}
	same(t, "box", picture.ViewBox, fmt.Sprintf("0 0 %d %d", side, side))
	dark = map[[2]int]bool{}
	for run := range strings.SplitSeq(strings.TrimSuffix(picture.Path.D, "z"), "z") {
		var x, y, n, back int
		if _, err := fmt.Sscanf(run, "M%d %dh%dv1h-%d", &x, &y, &n, &back); err != nil || n != back || n < 1 {
			t.Fatalf("run %q: %v", run, err)
		}
		for i := range n {
			dark[[2]int{x + i, y}] = true
		}
	}
	return dark, side
}

func TestQRCode(t *testing.T) {
	r := newRig(t)
	for _, text := range []string{"http://192.168.1.20:8490/wall/1", "http://[fd00::1]:8490/join/7KQ2M4XZ?a=b&c=d#é", strings.Repeat("x", 300)} {
		answer, drawn := r.call(http.DefaultClient, request{method: "GET", path: "/qr.svg?text=" + url.QueryEscape(text)})
		same(t, "status", answer.StatusCode, http.StatusOK)
		same(t, "type", answer.Header.Get("Content-Type"), "image/svg+xml")
		same(t, "cache", answer.Header.Get("Cache-Control"), "no-store")
		same(t, "for whom", answer.Header.Get("Cross-Origin-Resource-Policy"), "same-origin")
		want, err := qr.Encode(text, qr.M)
		if err != nil {
			t.Fatal(err)
		}
		dark, side := modules(t, drawn)
		same(t, "side with four empty modules around", side, want.Size+8)
		for y := range side {
			for x := range side {
				if got, want := dark[[2]int{x, y}], want.Black(x-4, y-4); got != want {
					t.Fatalf("module %d,%d: got %v, want %v", x, y, got, want)
				}
			}
		}
	}
}

func TestQRCodeOfNothingOrTooMuch(t *testing.T) {
	r := newRig(t)
	for _, path := range []string{"/qr.svg", "/qr.svg?text=", "/qr.svg?text=" + strings.Repeat("x", 301), "/qr.svg?text=" + strings.Repeat("%C3%A9", 151)} {
		answer, text := r.call(http.DefaultClient, request{method: "GET", path: path})
		same(t, "status", answer.StatusCode, http.StatusBadRequest)
		wantAnswer(t, text, "request-damaged")
	}
}
