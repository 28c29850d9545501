package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"testing"
	"time"

	"rootledger/server/auth"
	"rootledger/shared/event"
)

// askThen asks for the session at a time.
func (r *rig) askThen(token string, at any, status int) (text string) {
	r.t.Helper()
	answer, text := r.call(http.DefaultClient, request{"GET", fmt.Sprintf("/api/sessions/%s/then?at=%v", r.session, at), "", token, ""})
	same(r.t, fmt.Sprint("status at ", at), answer.StatusCode, status)
	return text
}

// tokenOf is a phone's token of the session, in a role.
func (r *rig) tokenOf(role auth.Role) string {
	r.t.Helper()
	token, _, err := r.auth.Issue(r.session, event.ReplicaID{9}, role)
	if err != nil {
		r.t.Fatal(err)
	}
	return token
}

// What a phone counted out of reach was not known then, and is known now about
// then; the office and the lead may ask, a phone that counts may not.
func TestThen(t *testing.T) {
	r := newRig(t)
	near, far := r.phone("Ash"), r.phone("Birch")
	sorted := &event.Sorted{Size: 2, N: 1}
	for range 5 {
		tap(t, near, sorted)
	}
	inRoom(t, near)
	inRoom(t, far)
	far.Away(true)
	for range 7 {
		tap(t, far, sorted)
	}
	time.Sleep(1200 * time.Millisecond) // marks are a second apart
	at := time.Now().UnixMilli()
	time.Sleep(1200 * time.Millisecond)
	far.Away(false)
	tap(t, near, sorted)
	inRoom(t, near)
	inRoom(t, far)

	type view struct {
		Ledger struct{ Kept int64 }
	}
	var out struct {
		Known     bool
		Knew, Now view
		Late      []struct {
			Person, Station string
			Entries, CameMs int64
		}
	}
	read := func(text string) {
		t.Helper()
		out.Late = nil
		if err := json.Unmarshal([]byte(text), &out); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
	}
	read(r.askThen(r.api.Office, at, http.StatusOK))
	same(t, "known", out.Known, true)
	same(t, "sorted, as it was known then", out.Knew.Ledger.Kept, 5)
	same(t, "sorted, as it is known now", out.Now.Ledger.Kept, 12)
	if len(out.Late) != 1 || out.Late[0].Person != "Birch" || out.Late[0].Station != "sorting" || out.Late[0].Entries != 7 || out.Late[0].CameMs <= at {
		t.Errorf("late: got %+v, want Birch's seven, that came after %d", out.Late, at)
	}
	read(r.askThen(r.tokenOf(auth.RoleOffice), time.Now().UnixMilli(), http.StatusOK))
	same(t, "sorted by now, as it was known", out.Knew.Ledger.Kept, 13)
	same(t, "sorted by now", out.Now.Ledger.Kept, 13)
	same(t, "late by now", len(out.Late), 0)
	read(r.askThen(r.api.Office, at-3_600_000, http.StatusOK))
	same(t, "sorted before the session", out.Now.Ledger.Kept, 0)
	r.askThen(r.tokenOf(auth.RolePhone), at, http.StatusForbidden)
	r.askThen("", at, http.StatusForbidden)
	for _, wrong := range []any{0, -5, "", "soon", uint64(1) << 62} {
		r.askThen(r.api.Office, wrong, http.StatusBadRequest)
	}
}
