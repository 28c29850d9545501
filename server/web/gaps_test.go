package web_test

import (
	"net/http"
	"slices"
	"testing"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// broughtBack is the session of a rig on another server, which lost it, and the
// code of its room there.
func (r *rig) broughtBack() (back *rig, code string) {
	r.t.Helper()
	other := newRig(r.t)
	back = &rig{t: r.t, api: other.api, store: other.store, auth: other.auth, session: r.session}
	if _, err := back.api.Gaps(bounded(r.t), r.session); !fault.Is(err, "session-missing") {
		r.t.Errorf("gaps of a session that is not known: got %v, want session-missing", err)
	}
	if err := back.api.BringBack(bounded(r.t), r.session, "A"); !fault.Is(err, "room-busy") {
		r.t.Errorf("into a room that is taken: got %v, want room-busy", err)
	}
	if err := back.api.BringBack(bounded(r.t), r.session, "B"); err != nil {
		r.t.Fatal(err)
	}
	shown, err := back.api.Room(bounded(r.t), "B")
	if err != nil {
		r.t.Fatal(err)
	}
	return back, shown.Code
}

// wantGaps holds what is missing to what should be, and says since when.
func (r *rig) wantGaps(what string, want ...practice.Gap) int64 {
	r.t.Helper()
	got, err := r.api.Gaps(bounded(r.t), r.session)
	if err != nil {
		r.t.Fatal(err)
	}
	slices.SortFunc(want, func(a, b practice.Gap) int {
		return event.CompareRef(event.Ref{Replica: a.Replica}, event.Ref{Replica: b.Replica})
	})
	if !slices.Equal(got.Gaps, want) {
		r.t.Errorf("%s: missing: got %+v, want %+v", what, got.Gaps, want)
	}
	return got.RefilledMs
}

// hears is a phone that was let in and says what it heard was stored.
func (r *rig) hears(code string, heard syncengine.Vector) *raw {
	r.t.Helper()
	me := identity()
	pass, err := r.phoneAPI().Join(bounded(r.t), code, me.Phone, me.Replica)
	if err != nil {
		r.t.Fatal(err)
	}
	c := r.socket(pass, me)
	c.send(syncengine.EncodeMessage(c.replica.Hello([16]byte{}, heard)))
	if _, ok := c.read().(syncengine.Welcome); !ok {
		r.t.Fatal("the first answer is no welcome")
	}
	return c
}

// A session that the server lost is brought back: the phones that come back fill
// it, and what none of them holds is named exactly, until its phone comes too.
func TestSessionIsBroughtBack(t *testing.T) {
	r := newRig(t)
	ash, stopAsh := r.phoneThatStops("Ash")
	cedar, stopCedar := r.phoneThatStops("Cedar")
	sorts(t, ash, 4)
	sorts(t, cedar, 3)
	inRoom(t, ash)
	inRoom(t, cedar)
	holds(t, ash, len(r.stored()))
	stopAsh()
	sorts(t, cedar, 2) // of which Ash never hears
	inRoom(t, cedar)
	stopCedar()
	first := tap(t, cedar, &event.Sorted{Size: 1, N: 1}).Ref() // that no server heard of
	heard := r.socket(r.pass()).greet().Vector
	total := len(r.stored())

	back, code := r.broughtBack()
	if since := back.wantGaps("nobody is here"); since == 0 {
		t.Error("the session is not refilled")
	}
	back.hears(code, heard)
	var all []practice.Gap
	for _, ref := range heard {
		all = append(all, practice.Gap{Replica: ref.Replica, From: 1, To: ref.Seq, Events: ref.Seq})
	}
	same(t, "who wrote", len(all), 3)
	back.wantGaps("one that holds nothing is here", all...)

	rejoin := func(p *practice.Phone) {
		t.Helper()
		if err := p.Rejoin(bounded(t), back.phoneAPI(), code); err != nil {
			t.Fatal(err)
		}
		stay(t, p)
		inRoom(t, p)
	}
	rejoin(ash)
	holds(t, back.wallOf(), total-2)
	lacks := practice.Gap{Replica: first.Replica, Person: "Cedar", Station: "sorting", From: first.Seq - 2, To: first.Seq - 1, Events: 2}
	back.wantGaps("Ash is here", lacks)

	ended, err := back.api.EndRefill(bounded(t), r.session)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "refilled since, in the answer", ended.RefilledMs, 0)
	same(t, "refilled since", back.wantGaps("it was ended", lacks), 0)
	rejoin(cedar)
	back.wantGaps("Cedar is here")
	same(t, "stored", len(back.stored()), total+1)
	same(t, "refused", len(ash.Refused())+len(cedar.Refused()), 0)
}

// phoneThatStops is a phone that sorts, and how its connection is ended.
func (r *rig) phoneThatStops(name string) (p *practice.Phone, stop func()) {
	r.t.Helper()
	pass, me := r.pass()
	p = practice.NewPhone(name, r.phoneAPI(), pass, me, now)
	tap(r.t, p, &event.Joined{Person: name, Station: event.Sorting})
	stop = stay(r.t, p)
	inRoom(r.t, p)
	return p, stop
}

// wallOf is a wall of the session, wherever its room is.
func (r *rig) wallOf() *practice.Phone {
	w := practice.NewWall(r.phoneAPI(), r.session, now)
	stay(r.t, w)
	return w
}

func TestGapsAreForTheOffice(t *testing.T) {
	r := newRig(t)
	of := "/api/sessions/" + r.session.String()
	for name, test := range map[string]struct {
		request request
		status  int
		code    string
	}{
		"gaps without a token":        {request{"GET", of + "/gaps", "", "", ""}, http.StatusForbidden, "office-token"},
		"gaps of no session":          {request{"GET", "/api/sessions/" + event.SessionID{7}.String() + "/gaps", "", r.api.Office, ""}, http.StatusNotFound, "session-missing"},
		"gaps of what is no id":       {request{"GET", "/api/sessions/C-1/gaps", "", r.api.Office, ""}, http.StatusBadRequest, "request-damaged"},
		"an end without a token":      {request{"POST", of + "/refilled", "{}", "", ""}, http.StatusForbidden, "office-token"},
		"an end of no session":        {request{"POST", "/api/sessions/" + event.SessionID{7}.String() + "/refilled", "{}", r.api.Office, ""}, http.StatusNotFound, "session-missing"},
		"bringing back with no token": {request{"POST", "/api/sessions", `{"session":"` + event.SessionID{7}.String() + `","room":"B","refill":true}`, "", ""}, http.StatusForbidden, "office-token"},
	} {
		t.Run(name, func(t *testing.T) {
			answer, text := r.call(http.DefaultClient, test.request)
			same(t, "status", answer.StatusCode, test.status)
			wantAnswer(t, text, test.code)
		})
	}
	same(t, "refilled since", r.wantGaps("nothing was lost"), 0)
	if err := r.api.BringBack(bounded(t), r.session, "A"); err != nil {
		t.Fatal(err)
	}
	same(t, "refilled since, brought back although it is there", r.wantGaps("nothing was lost"), 0)
}

// A server that noticed by itself that it has less than it told takes what
// anyone counted; what needs the office it takes once the office says so.
func TestOfficeLetsPhonesBringAll(t *testing.T) {
	r := newRig(t)
	gone := syncengine.New(syncengine.Identity{Session: r.session, Replica: event.ReplicaID{77}, Phone: event.PhoneID{77}, Start: event.StartID{77}})
	budget, err := gone.Record(&event.Budget{Grafts: 900}, false, now()) // of an office browser that was let in after the backup
	if err != nil {
		t.Fatal(err)
	}
	bring := func() syncengine.Ack {
		t.Helper()
		pass, me := r.pass()
		c := r.socket(pass, me)
		c.send(syncengine.EncodeMessage(c.replica.Hello([16]byte{1}, syncengine.Vector{budget.Ref()})))
		if _, ok := c.read().(syncengine.Welcome); !ok {
			t.Fatal("the first answer is no welcome")
		}
		c.events(budget.Body)
		return c.ack()
	}
	if ack := bring(); len(ack.Refused) != 1 || ack.Refused[0].Fault.Code != "needs-office" {
		t.Fatalf("before the office says so: got %v", ack.Refused)
	}
	told, err := r.api.Gaps(bounded(t), r.session)
	if err != nil || told.OlderMs == 0 || told.RefilledMs != 0 || len(told.Gaps) != 1 {
		t.Errorf("got %+v, %v, want an older server that lacks one entry", told, err)
	}
	if err := r.api.BringBack(bounded(t), r.session, "A"); err != nil {
		t.Fatal(err)
	}
	if ack := bring(); len(ack.Refused) != 0 || len(ack.Stored) != 1 || ack.Stored[0] != budget.Ref() {
		t.Errorf("once the office says so: got %+v", ack)
	}
	ended, err := r.api.EndRefill(bounded(t), r.session)
	if err != nil || ended.OlderMs != 0 || ended.RefilledMs != 0 || len(ended.Gaps) != 0 {
		t.Errorf("once it is ended: got %+v, %v", ended, err)
	}
}
