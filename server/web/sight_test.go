package web_test

import (
	"net/http"
	"strings"
	"testing"

	"rootledger/server/auth"
)

// The office and the room's lead say how large the wall is; a phone that counts
// does not, nor does the lead of another room.
func TestSight(t *testing.T) {
	r := newRig(t)
	const set = `{"diagonalMm":1397,"distanceMm":8000}`
	post := func(path, body, token string, status int) string {
		t.Helper()
		answer, text := r.call(http.DefaultClient, request{"POST", path, body, token, "application/json"})
		same(t, path+" "+body, answer.StatusCode, status)
		return text
	}
	shown := func(want string) {
		t.Helper()
		if _, text := r.call(http.DefaultClient, request{"GET", "/api/rooms/A", "", "", ""}); !strings.Contains(text, `"sight":`+want) {
			t.Errorf("the room says %s, want %s in it", text, want)
		}
	}
	shown(`{"diagonalMm":0,"distanceMm":0}`)
	post("/api/rooms/A/sight", set, r.tokenOf(auth.RolePhone), http.StatusForbidden)
	post("/api/rooms/A/sight", set, "", http.StatusForbidden)
	post("/api/rooms/B/sight", set, r.tokenOf(auth.RoleOffice), http.StatusForbidden)
	shown(`{"diagonalMm":0,"distanceMm":0}`)
	post("/api/rooms/A/sight", set, r.tokenOf(auth.RoleOffice), http.StatusOK)
	shown(set)
	post("/api/rooms/A/sight", `{"diagonalMm":813,"distanceMm":5500}`, r.api.Office, http.StatusOK)
	for _, wrong := range []string{`{"diagonalMm":0,"distanceMm":5000}`, `{"diagonalMm":1000,"distanceMm":-1}`, `{"diagonalMm":9000,"distanceMm":5000}`, `{"diagonalMm":1000,"distanceMm":30001}`} {
		if text := post("/api/rooms/A/sight", wrong, r.api.Office, http.StatusBadRequest); !strings.Contains(text, "sight-range") {
			t.Errorf("%s: got %s, want sight-range", wrong, text)
		}
	}
	post("/api/rooms/A/sight", `{`, r.api.Office, http.StatusBadRequest)
	shown(`{"diagonalMm":813,"distanceMm":5500}`)
}
