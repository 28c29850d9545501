package web_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/gorilla/websocket"

	"rootledger/pwa/words"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

func TestHelloIsChecked(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	hello := r.socket(pass, me).replica.Hello([16]byte{}, nil)
	with := func(change func(h *syncengine.Hello)) []byte {
		h := hello
		change(&h)
		return syncengine.EncodeMessage(h)
	}
	tests := []struct {
		name  string
		pass  practice.Pass
		frame []byte
		code  fault.Code
	}{
		{"an older protocol", pass, with(func(h *syncengine.Hello) { h.Protocol = 0 }), "protocol-version"},
		{"a newer protocol", pass, with(func(h *syncengine.Hello) { h.Protocol = syncengine.Protocol + 1 }), "protocol-version"},
		{"another session", pass, with(func(h *syncengine.Hello) { h.Session = event.SessionID{9} }), "other-session"},
		{"another replica", pass, with(func(h *syncengine.Hello) { h.Head.Replica = event.ReplicaID{9} }), "other-replica"},
		{"no replica with a token", pass, with(func(h *syncengine.Hello) { h.Head.Replica = event.ReplicaID{} }), "other-replica"},
		{"a replica without a token", practice.Pass{}, with(func(*syncengine.Hello) {}), "other-replica"},
		{"events first", pass, eventsFrame([]byte{1}), "frame-damaged"},
		{"a message of a later version first", pass, syncengine.EncodeMessage(syncengine.Unknown{Type: 99}), "frame-damaged"},
		{"bytes that are no message", pass, []byte("hello"), "frame-damaged"},
		{"no bytes", pass, nil, "frame-damaged"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			c := r.socket(test.pass, me)
			c.t = t
			c.send(test.frame)
			c.trouble(test.code)
		})
	}
	r.met(pass, me) // the same pass is still good
}

// A phone of a later version is told so in words; its counts stay with it, and
// come in once both speak alike.
func TestALaterProtocolKeepsItsCounts(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	c := r.socket(pass, me)
	e := c.record(&event.Sorted{Size: 1, N: 3})
	before := len(r.stored())
	hello := c.replica.Hello([16]byte{}, nil)
	hello.Protocol = 2
	c.send(syncengine.EncodeMessage(hello))
	f := c.trouble("protocol-version")
	for i, want := range []string{"2", "1"} {
		same(t, f.Args[i].Name, f.Args[i].Value, want)
	}
	same(t, "stored", len(r.stored()), before)
	c = r.met(pass, me)
	c.events(e.Body)
	same(t, "acknowledged", c.ack().Stored[0], e.Ref())
}

func TestWelcomeSaysWhatTheServerHolds(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	c := r.met(pass, me)
	first, second := c.record(&event.Joined{Person: "Ash", Station: event.Sorting}), c.record(&event.Sorted{Size: 1, N: 1})
	c.events(first.Body, second.Body)
	same(t, "acknowledged", c.ack().Stored[0], second.Ref())

	again := r.socket(pass, me) // its head is 0, as after a restore
	welcome := again.greet()
	same(t, "its head is among them", slices.Contains(welcome.Vector, second.Ref()), true)
	same(t, "heads", len(welcome.Vector), 2) // the office's is the other
	again.replica.Meet(welcome.Vector)
	same(t, "it finds that it is a copy", again.replica.Cloned(), true)
	same(t, "frame bytes", welcome.FrameBytes, syncengine.MaxFrame)
	same(t, "frame events", welcome.FrameEvents, syncengine.MaxFrameEvents)
	same(t, "epoch", welcome.Epoch, r.store.Server().Epoch)
}

func TestTokensAtTheDoor(t *testing.T) {
	r := newRig(t)
	pass, _ := r.pass()
	other := newRig(t)
	strange, _ := other.pass()
	second := practice.RandomID[event.SessionID]()
	if err := r.api.CreateSession(bounded(t), second, "B"); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name    string
		session event.SessionID
		token   string
		status  int
		code    string
	}{
		{"of another session", second, pass.Token, http.StatusForbidden, "other-session"},
		{"of another server", r.session, strange.Token, http.StatusForbidden, "token-refused"},
		{"forged", r.session, pass.Token[:len(pass.Token)-6] + "AAAAAA", http.StatusForbidden, "token-refused"},
		{"not a token", r.session, "abc", http.StatusForbidden, "token-refused"},
		{"of no session", event.SessionID{9}, pass.Token, http.StatusNotFound, "session-missing"},
		{"a wall of no session", event.SessionID{9}, "", http.StatusNotFound, "session-missing"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			status, text := r.refused(test.session, test.token)
			same(t, "status", status, test.status)
			wantAnswer(t, text, test.code)
		})
	}
}

// A page of another site can not use this browser to listen in.
func TestOtherOriginsAreRefused(t *testing.T) {
	r := newRig(t)
	dialer := websocket.Dialer{}
	header := http.Header{"Origin": {"https://elsewhere.example"}}
	url := "ws" + r.api.Base[len("http"):] + "/api/sync?session=" + r.session.String()
	ws, response, err := dialer.DialContext(bounded(t), url, header)
	if err == nil {
		_ = ws.Close()
		t.Fatal("a socket was opened")
	}
	same(t, "status", response.StatusCode, http.StatusForbidden)
}

// A token that ran out delays and loses nothing: the phone renews it by itself.
func TestExpiredTokenLosesNoCount(t *testing.T) {
	r := newRig(t)
	p := r.phone("Ash")
	sorts(t, p, 3)
	inRoom(t, p)
	p.Away(true)
	sorts(t, p, 5)
	r.ahead.Store(int64(20 * 60e9))
	p.Away(false)
	inRoom(t, p)
	same(t, "sorted", r.sortedInRoom(), 8)
	same(t, "refused", len(p.Refused()), 0)
}

// Who can not renew keeps counting, and keeps all of it.
func TestPhoneThatCanNotRenewKeepsItsCounts(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	r.ahead.Store(int64(20 * 60e9))
	lost := pass
	lost.Secret = "forgotten"
	p := practice.NewPhone("Ash", r.phoneAPI(), lost, me, now)
	sorts(t, p, 4)
	if err := p.Converse(bounded(t)); !fault.Is(err, "token-refused") {
		t.Errorf("converse: got %v, want token-refused", err)
	}
	if _, err := r.phoneAPI().Renew(bounded(t), lost, me.Phone, me.Replica); !fault.Is(err, "secret-refused") {
		t.Errorf("renew: got %v, want secret-refused", err)
	}
	same(t, "kept", p.Events(), 4)
}

// What a socket says in a code becomes a whole sentence on the phone.
func TestTroubleFillsItsSentence(t *testing.T) {
	r := newRig(t)
	pass, me := r.pass()
	whole := func(f *fault.Fault) {
		t.Helper()
		if said := words.English().Fault(f); strings.ContainsAny(said, "{}") {
			t.Errorf("%s, as it came over the socket, says %q", f.Code, said)
		}
	}
	c := r.socket(pass, me)
	hello := c.replica.Hello([16]byte{}, nil)
	hello.Protocol++
	c.send(syncengine.EncodeMessage(hello))
	whole(c.trouble("protocol-version"))

	c = r.met(pass, me)
	c.send(manyEvents(c.record(&event.Sorted{Size: 1, N: 1}).Body, 4097))
	whole(c.trouble("frame-events"))

	c = r.met(pass, me)
	c.events(c.record(&event.Budget{Grafts: 9}).Body)
	refused := c.ack().Refused
	same(t, "refused", len(refused), 1)
	for _, refusal := range refused {
		whole(refusal.Fault)
	}
}
