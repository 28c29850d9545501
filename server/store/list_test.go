package store

import (
	"crypto/sha256"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

func enrolment(replica, phone byte, role, secret string) Enrolment {
	return Enrolment{Replica: event.ReplicaID{replica}, Phone: event.PhoneID{phone}, Role: role, SecretHash: sha256.Sum256([]byte(secret))}
}

func TestEnrolment(t *testing.T) {
	s := open(t, t.TempDir())
	row, other := sessionIn(t, s, 1, "A"), sessionIn(t, s, 2, "A")
	tests := []struct {
		name    string
		session int64
		enrol   Enrolment
		code    fault.Code
	}{
		{"a first phone", row, enrolment(1, 1, "phone", "x"), ""},
		{"the same again", row, enrolment(1, 1, "phone", "x"), ""},
		{"the same in another role", row, enrolment(1, 1, "office", "x"), ""},
		{"the same with another secret", row, enrolment(1, 1, "phone", "y"), "replica-taken"},
		{"the replica on another phone", row, enrolment(1, 2, "phone", "x"), "replica-taken"},
		{"the phone with another replica", row, enrolment(2, 1, "phone", "x"), ""},
		{"another phone", row, enrolment(3, 3, "phone", "z"), ""},
		{"the replica in another session", other, enrolment(1, 2, "phone", "y"), ""},
		{"in no session", 99, enrolment(1, 1, "phone", "x"), "store-failed"},
	}
	for _, test := range tests {
		err := s.Enrol(bounded(t), test.session, test.enrol, testMs)
		if test.code == "" && err != nil {
			t.Errorf("%s: got %v, want it let in", test.name, err)
		}
		if test.code != "" {
			wantCode(t, test.name, err, test.code)
		}
	}
	got, err := s.Enrolments(bounded(t), row)
	if err != nil {
		t.Fatal(err)
	}
	want := []Enrolment{enrolment(1, 1, "office", "x"), enrolment(2, 1, "phone", "x"), enrolment(3, 3, "phone", "z")}
	if len(got) != len(want) {
		t.Fatalf("enrolments: got %d, want %d", len(got), len(want))
	}
	for i := range want {
		same(t, "enrolment", got[i], want[i])
	}
}

func TestPhoneRole(t *testing.T) {
	s := open(t, t.TempDir())
	row, other := sessionIn(t, s, 1, "A"), sessionIn(t, s, 2, "A")
	if err := s.Enrol(bounded(t), row, enrolment(1, 1, "office", "x"), testMs); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name    string
		session int64
		phone   byte
		secret  string
		role    string
	}{
		{"its own secret", row, 1, "x", "office"},
		{"another secret", row, 1, "y", ""},
		{"no secret", row, 1, "", ""},
		{"another phone", row, 2, "x", ""},
		{"another session", other, 1, "x", ""},
	}
	for _, test := range tests {
		role, found, err := s.PhoneRole(bounded(t), test.session, event.PhoneID{test.phone}, sha256.Sum256([]byte(test.secret)))
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
		}
		same(t, test.name+": role", role, test.role)
		same(t, test.name+": found", found, test.role != "")
	}
}

// toSession stores the next event of a session's only author.
func toSession(t *testing.T, s *Store, row int64, a *author, fact event.Fact) *event.Event {
	t.Helper()
	e := a.next(t, fact)
	appended(t, s, row, int64(e.Seq), []*event.Event{e})
	return e
}

func opens(code string, speed uint32) *event.Opened {
	return &event.Opened{Case: code, Room: "A", Stations: []event.Station{event.Placing}, Practice: event.Practice{Speed: speed}}
}

func TestListRepeatsWhatEventsSay(t *testing.T) {
	s := open(t, t.TempDir())
	row, ash := sessionIn(t, s, 1, "A"), newAuthor(1)
	want := Session{Row: row, ID: event.SessionID{1}, Room: "A", CreatedMs: testMs}
	check := func(what string) {
		t.Helper()
		got, err := s.Session(bounded(t), want.ID)
		if err != nil {
			t.Fatal(err)
		}
		same(t, what, got, want)
	}
	check("made")
	toSession(t, s, row, ash, &event.Sorted{Size: 1, N: 1})
	check("a count")
	e := toSession(t, s, row, ash, opens("C-1", 600))
	want.Case, want.Practice, want.OpenedMs = "C-1", true, e.Stamp.Ms()
	check("opened")
	toSession(t, s, row, ash, opens("C-2", 0))
	check("opened again")
	e = toSession(t, s, row, ash, &event.Ended{})
	want.EndedMs = e.Stamp.Ms()
	check("ended")
	toSession(t, s, row, ash, &event.Ended{})
	check("ended again")
}

// An opening that breaks a bound counts for nothing, so the list has none of it.
func TestListPassesOverAnInvalidOpening(t *testing.T) {
	s := open(t, t.TempDir())
	row := sessionIn(t, s, 1, "A")
	e, err := event.Decode(event.Encode(&event.Event{Replica: event.ReplicaID{1}, Seq: 1, Session: event.SessionID{1},
		Phone: event.PhoneID{1}, Stamp: event.StampAt(testMs), Fact: opens("a name, not a code", 0)}))
	if err != nil {
		t.Fatal(err)
	}
	appended(t, s, row, 1, []*event.Event{e})
	got, err := s.Session(bounded(t), event.SessionID{1})
	if err != nil {
		t.Fatal(err)
	}
	same(t, "listed", got, Session{Row: row, ID: event.SessionID{1}, Room: "A", CreatedMs: testMs})
}

func TestCurrentSessionOfARoom(t *testing.T) {
	s := open(t, t.TempDir())
	wantCurrent := func(what, room string, want byte) {
		t.Helper()
		got, err := s.Current(bounded(t), room)
		if want == 0 {
			wantCode(t, what, err, "session-missing")
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		same(t, what, got.ID, event.SessionID{want})
	}
	wantCurrent("no session yet", "A", 0)
	first := sessionIn(t, s, 1, "A")
	wantCurrent("one session", "A", 1)
	second := sessionIn(t, s, 2, "A")
	sessionIn(t, s, 3, "B")
	wantCurrent("the newer of two", "A", 2)
	wantCurrent("another room", "B", 3)
	wantCurrent("a room without sessions", "C", 0)
	toSession(t, s, second, newAuthor(1), &event.Ended{})
	wantCurrent("the newer ended", "A", 1)
	toSession(t, s, first, newAuthor(1), &event.Ended{})
	wantCurrent("both ended", "A", 2)
}

func TestSessionsAreListedNewestFirst(t *testing.T) {
	s := open(t, t.TempDir())
	if list, err := s.Sessions(bounded(t), 10); err != nil || list == nil || len(list) != 0 {
		t.Errorf("no sessions: got %v, %v, want an empty list", list, err)
	}
	for n := byte(1); n <= 5; n++ {
		sessionIn(t, s, n, "A")
	}
	if err := s.CreateSession(bounded(t), event.SessionID{2}, "B", testMs+1, false); err != nil {
		t.Errorf("made twice: got %v, want no error", err)
	}
	for _, limit := range []int{3, 10} {
		list, err := s.Sessions(bounded(t), limit)
		if err != nil {
			t.Fatal(err)
		}
		same(t, "length of the list", len(list), min(limit, 5))
		for i, one := range list {
			same(t, "session", one.ID, event.SessionID{byte(5 - i)})
			same(t, "room", one.Room, "A")
		}
	}
}

func TestSessionByCase(t *testing.T) {
	s := open(t, t.TempDir())
	for n := byte(1); n <= 2; n++ { // two days of one case
		toSession(t, s, sessionIn(t, s, n, "A"), newAuthor(1), opens("C-1", 0))
	}
	got, err := s.SessionByCase(bounded(t), "C-1")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "newest of the case", got.ID, event.SessionID{2})
	_, err = s.SessionByCase(bounded(t), "c-1")
	wantCode(t, "unknown case", err, "session-missing")
	_, err = s.Session(bounded(t), event.SessionID{9})
	wantCode(t, "unknown session", err, "session-missing")
}
