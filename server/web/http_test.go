package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"rootledger/pwa/words"
	"rootledger/server/auth"
	"rootledger/server/practice"
	"rootledger/server/store"
	"rootledger/server/web"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// wantAnswer holds an answer to {code, args, message} with a finished sentence.
func wantAnswer(t *testing.T, text, code string) {
	t.Helper()
	var got struct {
		Code    string
		Args    map[string]string
		Message string
	}
	decoder := json.NewDecoder(strings.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&got); err != nil {
		t.Fatalf("answer %q: %v", text, err)
	}
	same(t, "code", got.Code, code)
	message := got.Message
	if message == code || message == "fault."+code || !strings.Contains(message, ". ") || strings.ContainsAny(message, "{}") {
		t.Errorf("message: got %q, want whole sentences", message)
	}
}

// request is one call as a browser might make it.
type request struct {
	method, path, body, token string
	contentType               string
}

func (r *rig) call(client *http.Client, q request) (*http.Response, string) {
	r.t.Helper()
	made, err := http.NewRequestWithContext(bounded(r.t), q.method, r.api.Base+q.path, strings.NewReader(q.body))
	if err != nil {
		r.t.Fatal(err)
	}
	made.Header.Set("Content-Type", "application/json")
	if q.contentType != "" {
		made.Header.Set("Content-Type", q.contentType)
	}
	if q.token != "" {
		made.Header.Set("Authorization", "Bearer "+q.token)
	}
	answer, err := client.Do(made)
	if err != nil {
		r.t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		r.t.Fatal(err)
	}
	return answer, string(text)
}

func TestFaultsOverHTTP(t *testing.T) {
	r := newRig(t)
	office, long := r.api.Office, `{"room":"`+strings.Repeat("x", 70_000)+`"}`
	phone := `"phone":"` + event.PhoneID{7}.String() + `"`
	replica := `"replica":"` + event.ReplicaID{7}.String() + `"`
	session := `"session":"` + event.SessionID{7}.String() + `"`
	of := `"session":"` + r.session.String() + `"`
	tests := []struct {
		name    string
		request request
		status  int
		code    string
	}{
		{"joining with bad JSON", request{"POST", "/api/join", `{"code":`, "", ""}, 400, "request-damaged"},
		{"joining with another type", request{"POST", "/api/join", `{"code":5}`, "", ""}, 400, "request-damaged"},
		{"joining with a list", request{"POST", "/api/join", `[]`, "", ""}, 400, "request-damaged"},
		{"joining with nothing", request{"POST", "/api/join", ``, "", ""}, 400, "request-damaged"},
		{"joining with a form", request{"POST", "/api/join", `code=5`, "", "application/x-www-form-urlencoded"}, 400, "request-damaged"},
		{"joining with an id that is none", request{"POST", "/api/join", `{"phone":"xyz",` + replica + `}`, "", ""}, 400, "request-damaged"},
		{"joining without a phone", request{"POST", "/api/join", `{"code":"22222222",` + replica + `}`, "", ""}, 400, "request-damaged"},
		{"joining without a replica", request{"POST", "/api/join", `{"code":"22222222",` + phone + `}`, "", ""}, 400, "request-damaged"},
		{"joining with a wrong code", request{"POST", "/api/join", `{"code":"22222222",` + phone + `,` + replica + `}`, "", ""}, 403, "code-refused"},
		{"joining with no code", request{"POST", "/api/join", `{` + phone + `,` + replica + `}`, "", ""}, 403, "code-refused"},
		{"joining with a wrong office token", request{"POST", "/api/join", `{"office":"x",` + of + `,` + phone + `,` + replica + `}`, "", ""}, 403, "office-token"},
		{"joining no session", request{"POST", "/api/join", `{"office":"` + office + `",` + session + `,` + phone + `,` + replica + `}`, "", ""}, 404, "session-missing"},
		{"joining with too much", request{"POST", "/api/join", long, "", ""}, 413, "request-damaged"},
		{"renewing with bad JSON", request{"POST", "/api/token", `nope`, "", ""}, 400, "request-damaged"},
		{"renewing without ids", request{"POST", "/api/token", `{}`, "", ""}, 400, "request-damaged"},
		{"renewing with a wrong secret", request{"POST", "/api/token", `{"secret":"x",` + of + `,` + phone + `,` + replica + `}`, "", ""}, 403, "secret-refused"},
		{"renewing in no session", request{"POST", "/api/token", `{"secret":"x",` + session + `,` + phone + `,` + replica + `}`, "", ""}, 404, "session-missing"},
		{"a room without sessions", request{"GET", "/api/rooms/B", "", "", ""}, 404, "session-missing"},
		{"listing without a token", request{"GET", "/api/sessions", "", "", ""}, 403, "office-token"},
		{"listing with a wrong token", request{"GET", "/api/sessions", "", "x", ""}, 403, "office-token"},
		{"listing with a wrong token in a link", request{"GET", "/api/sessions?token=x", "", "", ""}, 403, "office-token"},
		{"opening without a token", request{"POST", "/api/sessions", `{` + session + `,"room":"B"}`, "", ""}, 403, "office-token"},
		{"opening with bad JSON", request{"POST", "/api/sessions", `{`, office, ""}, 400, "request-damaged"},
		{"opening without an id", request{"POST", "/api/sessions", `{"room":"B"}`, office, ""}, 400, "request-damaged"},
		{"opening in no room", request{"POST", "/api/sessions", `{` + session + `}`, office, ""}, 400, "room-name"},
		{"opening in a room with a bad name", request{"POST", "/api/sessions", `{` + session + `,"room":"../B"}`, office, ""}, 400, "room-name"},
		{"opening with too much", request{"POST", "/api/sessions", long, office, ""}, 413, "request-damaged"},
		{"a sheet without a token", request{"GET", "/api/sessions/" + r.session.String() + "/sheet.csv", "", "", ""}, 403, "office-token"},
		{"a sheet of no session", request{"GET", "/api/sessions/" + event.SessionID{7}.String() + "/sheet.csv", "", office, ""}, 404, "session-missing"},
		{"a sheet of what is no id", request{"GET", "/api/sessions/C-1/sheet.jsonl", "", office, ""}, 400, "request-damaged"},
		{"a socket of what is no id", request{"GET", "/api/sync?session=C-1", "", "", ""}, 400, "request-damaged"},
		{"no such address", request{"GET", "/api/nothing", "", "", ""}, 404, "not-found"},
		{"no such page", request{"GET", "/nothing.html", "", "", ""}, 404, "not-found"},
		{"out of the pages", request{"GET", "/..%2f..%2fgo.mod", "", "", ""}, 404, "not-found"},
		{"another method", request{"DELETE", "/api/join", "", "", ""}, 405, "request-damaged"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			answer, text := r.call(http.DefaultClient, test.request)
			same(t, "status", answer.StatusCode, test.status)
			if got := answer.Header.Get("Content-Type"); !strings.HasPrefix(got, "application/json") {
				t.Errorf("content type: got %q, want JSON", got)
			}
			wantAnswer(t, text, test.code)
		})
	}
}

// What is no socket gets words too.
func TestNotASocket(t *testing.T) {
	r := newRig(t)
	answer, text := r.call(http.DefaultClient, request{method: "GET", path: "/api/sync?session=" + r.session.String()})
	same(t, "status", answer.StatusCode, http.StatusBadRequest)
	wantAnswer(t, text, "request-damaged")
}

func TestHealthAndHeaders(t *testing.T) {
	answer, text := newRig(t).call(http.DefaultClient, request{method: "GET", path: "/health"})
	same(t, "status", answer.StatusCode, http.StatusOK)
	same(t, "health", strings.TrimSpace(text), `{"status":"ok"}`)
	for header, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "no-referrer"} {
		same(t, header, answer.Header.Get(header), want)
	}
}

func TestSessionsAndRooms(t *testing.T) {
	r := newRig(t)
	for _, q := range []request{{method: "GET", path: "/api/sessions", token: r.api.Office}, {method: "GET", path: "/api/sessions?token=" + r.api.Office}} {
		answer, text := r.call(http.DefaultClient, q)
		same(t, "status", answer.StatusCode, http.StatusOK)
		if !strings.Contains(text, `"case":"C-1"`) || !strings.Contains(text, r.session.String()) {
			t.Errorf("sessions: got %s, want C-1 in it", text)
		}
	}
	if err := r.api.CreateSession(bounded(t), r.session, "A"); err != nil {
		t.Errorf("made twice: got %v, want no error", err)
	}
	shown, err := r.api.Room(bounded(t), "A")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "session in the room", shown.Session, r.session)
	same(t, "length of the code", len(shown.Code), 8)
	tap(t, r.office, &event.Ended{})
	inRoom(t, r.office)
	if shown, err = r.api.Room(bounded(t), "A"); err != nil {
		t.Fatal(err)
	}
	same(t, "code after the end", shown.Code, "")
}

// from is a client that calls from another address of this machine.
func from(ip string) *http.Client {
	dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(ip)}, Timeout: 5 * time.Second}
	return &http.Client{Timeout: bound, Transport: &http.Transport{DisableKeepAlives: true,
		DialContext: func(ctx context.Context, network, addr string) (net.Conn, error) {
			return dialer.DialContext(ctx, network, addr)
		}}}
}

func TestTooManyTries(t *testing.T) {
	ids := `"phone":"` + event.PhoneID{7}.String() + `","replica":"` + event.ReplicaID{7}.String() + `"`
	tests := []struct {
		name  string
		wrong func(r *rig) request
		code  string
	}{
		{"wrong codes", func(*rig) request {
			return request{method: "POST", path: "/api/join", body: `{"code":"22222222",` + ids + `}`}
		}, "code-refused"},
		{"wrong secrets", func(r *rig) request {
			return request{method: "POST", path: "/api/token", body: `{"secret":"x","session":"` + r.session.String() + `",` + ids + `}`}
		}, "secret-refused"},
		{"wrong office tokens", func(*rig) request { return request{method: "GET", path: "/api/sessions", token: "x"} }, "office-token"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := newRig(t)
			refused := 0
			for ; refused < 200; refused++ {
				if refused == 59 {
					r.pass() // a right code before the limit is let in
				}
				answer, text := r.call(http.DefaultClient, test.wrong(r))
				if answer.StatusCode == http.StatusTooManyRequests {
					wantAnswer(t, text, "too-fast")
					break
				}
				wantAnswer(t, text, test.code)
			}
			if refused < 60 || refused > 100 {
				t.Errorf("wrong tries before the limit: got %d, want 60 and one for every 2 s", refused)
			}
			_, err := r.phoneAPI().Join(bounded(t), "22222222", event.PhoneID{1}, event.ReplicaID{1})
			if !fault.Is(err, "too-fast") {
				t.Errorf("another door from the same address: got %v, want too-fast", err)
			}
			_, text := r.call(from("127.0.0.2"), test.wrong(r)) // others are not held up
			wantAnswer(t, text, test.code)
		})
	}
}

func TestFullCode(t *testing.T) {
	r := newRig(t)
	shown, err := r.api.Room(bounded(t), "A")
	if err != nil {
		t.Fatal(err)
	}
	join := func(n byte) (practice.Pass, error) {
		return r.phoneAPI().Join(bounded(t), strings.ToLower(shown.Code[:4]+"-"+shown.Code[4:]), event.PhoneID{n}, event.ReplicaID{n})
	}
	for n := byte(1); n <= 40; n++ {
		if _, err := join(n); err != nil {
			t.Fatalf("phone %d: %v", n, err)
		}
	}
	_, err = join(41)
	if !fault.Is(err, "code-full") || !strings.Contains(err.Error(), "40 phones") {
		t.Errorf("phone 41: got %v, want code-full with its number", err)
	}
}

// A phone that hangs up before its answer is nothing that an operator mends.
func TestHungUpIsNoFailure(t *testing.T) {
	dir := t.TempDir()
	s, err := store.Open(bounded(t), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	var out bytes.Buffer
	server := &web.Server{Store: s, Auth: auth.New(s, "x", time.Now), Log: slog.New(slog.NewTextHandler(&out, nil)), Clock: time.Now, Words: words.English()}
	ctx, hangUp := context.WithCancel(context.Background())
	hangUp()
	made := httptest.NewRequestWithContext(ctx, http.MethodGet, "/api/rooms/A", nil)
	server.Handler().ServeHTTP(httptest.NewRecorder(), made)
	if got := out.String(); strings.Contains(got, "ERROR") || !strings.Contains(got, "did not wait") {
		t.Errorf("log: got %q", got)
	}
}
