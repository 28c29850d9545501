package event

import (
	"crypto/sha256"
	"testing"

	"pgregory.net/rapid"
)

// The phone's own hash is held to the library's, and both to the examples of
// FIPS 180-2, appendix B (from memory).
func TestHashIsTheLibrarys(t *testing.T) {
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	if got := hashOf([]byte("abc")).String(); got != abc {
		t.Errorf("abc: got %s, want %s", got, abc)
	}
	for n := range 300 { // every length of the last block, and around it
		body := make([]byte, n)
		for i := range body {
			body[i] = byte(i * 7)
		}
		if got, want := hashOf(body), Hash(sha256.Sum256(body)); got != want {
			t.Errorf("%d bytes: got %s, want %s", n, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		body := rapid.SliceOfN(rapid.Byte(), 0, MaxBody).Draw(t, "body")
		if got, want := hashOf(body), Hash(sha256.Sum256(body)); got != want {
			t.Fatalf("got %s, want %s", got, want)
		}
	})
}
