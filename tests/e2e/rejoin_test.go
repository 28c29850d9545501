package e2e

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

const strange = "The server does not know this phone any more. Join again: the wall's code, or the office's link. All is kept here."

// replaced is a server with an empty disk, and a session opened on it.
func replaced(t *testing.T, room string, session event.SessionID) *rig.Rig {
	t.Helper()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	r.Room, r.Session = room, session
	ok(t, r.Open("A-12", 400))
	return r
}

// unknown is a phone with 7 counts, 3 of them only on it, whose server was
// replaced by one that has another session in room 1.
func unknown(t *testing.T) (first *rig.Rig, g *rig.Gate, p *browser.Page) {
	t.Helper()
	first = opened(t, 400)
	g = gate(t, first.Serving.Addr)
	p = joined(t, first, g.URL(), "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 4)
	says(t, p, truth, "all 4 in the room")
	g.Shut()
	ok(t, p.Until(`document.querySelector(".truth.here")`))
	taps(t, p, pad, 3)
	says(t, p, tally, "7")
	return first, g, p
}

// again has a phone that is told to join again do so, with the code of a room.
func again(t *testing.T, p *browser.Page, r *rig.Rig) {
	t.Helper()
	room, err := r.API.Room(r.Ctx, r.Room)
	ok(t, err)
	ok(t, p.Until(`document.querySelector(".join form")`))
	ok(t, p.Fill("Code on the wall", room.Code))
	ok(t, p.Click(".form button.first"))
}

// The server's disk is empty and the same session is there again: the phone
// says so, keeps counting, joins with the code and is the same phone as before.
func TestServerReplaced(t *testing.T) {
	first, g, p := unknown(t)
	second := replaced(t, "1", first.Session)
	g.Lead(second.Serving.Addr)
	g.Open()
	notice(t, p, strange)
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 2)
	says(t, p, tally, "9")
	ok(t, p.Do("Join again"))
	says(t, p, ".join .ask h2", strange)
	again(t, p, second)
	says(t, p, tally, "9")
	says(t, p, truth, "all 9 in the room")
	taps(t, p, pad, 1)
	says(t, p, truth, "all 10 in the room")
	ok(t, p.Until(`!document.querySelector(".notice")`))
	if _, sorted, _ := settled(t, second, exactly(0, 10, 0)); sorted != 10 {
		t.Errorf("the room has %d sorted, want 10", sorted)
	}
	if got := phonesOf(t, second, "Cedar"); got != 1 {
		t.Errorf("the room has %d phones of Cedar, want the one of before", got)
	}
}

// phonesOf is under how many ids a person counts.
func phonesOf(t *testing.T, r *rig.Rig, person string) (n int) {
	t.Helper()
	for _, phone := range r.Office.Settled().Phones {
		if phone.Person == person {
			n++
		}
	}
	return n
}

// Another session than before: the phone warns while some counts are only on
// it, offers them as a file, and gives them to their own session later.
func TestJoinsAnotherSession(t *testing.T) {
	first, g, p := unknown(t)
	second := replaced(t, "1", rig.Over("", "").Session)
	g.Lead(second.Serving.Addr)
	g.Open()
	notice(t, p, strange)
	ok(t, p.Do("Join again"))
	again(t, p, second)
	ok(t, p.Until(`/entries of the other session are only on this phone/.test(document.querySelector(".form > .wrong")?.innerText)`))
	ok(t, p.Until(`[...document.querySelectorAll(".join button")].some((e) => e.innerText === "Hand over counts as a file")`))
	ok(t, p.Do("Join the other session"))
	says(t, p, tally, "0")
	taps(t, p, ".four-up .pad:nth-child(1)", 2)
	says(t, p, truth, "all 2 in the room")
	if _, sorted, _ := settled(t, second, exactly(0, 2, 0)); sorted != 2 {
		t.Errorf("the other session has %d sorted, want 2", sorted)
	}

	old := second.Beside("2")
	old.Session = first.Session
	ok(t, old.Open("A-12", 400))
	room, err := old.API.Room(old.Ctx, "2")
	ok(t, err)
	ok(t, p.Open(g.URL()+"/join/"+room.Code))
	ok(t, p.Until(`document.querySelector(".join form")`))
	ok(t, p.Click(".form button.first"))
	says(t, p, tally, "7")
	if _, sorted, _ := settled(t, old, exactly(0, 7, 0)); sorted != 7 {
		t.Errorf("the session before has %d sorted, want 7", sorted)
	}
}

// A phone that joins its own session once more stays the same phone.
func TestJoinsTwice(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	taps(t, p, ".four-up .pad:nth-child(1)", 3)
	says(t, p, truth, "all 3 in the room")
	ok(t, r.JoinPage(p, r.URL(), "", "placing"))
	ok(t, p.Until(`document.querySelector(".phone h1").innerText === "Placing"`))
	ok(t, p.Until(`document.querySelector(".truth").classList.length === 1`))
	if got := phonesOf(t, r, "Cedar"); got != 1 {
		t.Errorf("the room has %d phones of Cedar, want 1", got)
	}
	if _, sorted, _ := settled(t, r, exactly(0, 3, 0)); sorted != 3 {
		t.Errorf("the room has %d sorted, want 3", sorted)
	}
}
