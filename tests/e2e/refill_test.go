package e2e

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rootledger/server/auth"
	"rootledger/server/export"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// clinic is a server as a process of its own, whose data can be lost, and an
// office that started and planned a session there through its screens.
type clinic struct {
	*rig.Rig
	t      *testing.T
	server *rig.Process
	data   string
	desk   *browser.Page
	wall   *browser.Page
}

func newClinic(t *testing.T) *clinic {
	t.Helper()
	dir := t.TempDir()
	c := &clinic{t: t, data: filepath.Join(dir, "data")}
	binary := filepath.Join(dir, "rootledger")
	ok(t, rig.Build(binary))
	var err error
	c.server, err = rig.NewProcess(binary, c.data)
	ok(t, err)
	t.Cleanup(func() { ok(t, c.server.Kill()) })
	ok(t, c.server.Start())
	c.Rig = rig.Over("http://"+c.server.Addr, c.token())
	t.Cleanup(func() { ok(t, c.Close()) })
	c.desk = screen(t, 1280, 800)
	ok(t, c.desk.Open(c.URL()+"/office#"+c.API.Office))
	startSession(t, c.desk)
	planSession(t, c.desk)
	room, err := c.API.Room(c.Ctx, c.Room)
	ok(t, err)
	c.Session = room.Session
	c.wall = wallOf(t, c.URL(), "1")
	return c
}

// token is the office token of the data that are there now.
func (c *clinic) token() string {
	c.t.Helper()
	token, err := auth.ReadOfficeToken(c.data)
	ok(c.t, err)
	return token
}

// sorts is a pad of the sorting station.
const sorts = ".four-up .pad:nth-child(1)"

// counts is a phone at sorting, and what it counted is in the room.
func (c *clinic) counts(base, person string, n int) *browser.Page {
	c.t.Helper()
	p := joined(c.t, c.Rig, base, person, "sorting")
	taps(c.t, p, sorts, n)
	says(c.t, p, truth, fmt.Sprintf("all %d in the room", n))
	return p
}

// wiped takes the data away and starts the server again, empty.
func (c *clinic) wiped() {
	c.t.Helper()
	ok(c.t, c.server.Kill())
	ok(c.t, os.RemoveAll(c.data))
	ok(c.t, c.server.Start())
	c.API.Office = c.token()
}

// back brings the session back in the office.
func (c *clinic) back() {
	c.t.Helper()
	ok(c.t, c.desk.Until(`document.querySelector(".o-lost h2")?.innerText.includes("Room 1 · A-12")`))
	ok(c.t, c.desk.Do(said("office.lost-do")))
	ok(c.t, c.desk.Until(`document.querySelector(".o-session .o-refill") && !document.querySelector(".o-lost")`))
}

// stands wants the room to have so many sorted, and the wall and the sheet to
// say so: of 900 the rest is still to take, and everything lies in holding.
func (c *clinic) stands(sorted int64) {
	c.t.Helper()
	if _, got, _ := settled(c.t, c.Rig, exactly(0, sorted, 0)); got != sorted {
		c.t.Errorf("the room has %d sorted, want %d", got, sorted)
	}
	ok(c.t, c.wall.Until(fmt.Sprintf(`document.querySelector("h1").innerText.includes("%d")`, 900-sorted)))
	if got := sheetCell(c.t, c.Rig, "grafts", "in holding, all"); got != fmt.Sprint(sorted) {
		c.t.Errorf("the sheet says that %s are held, want %d", got, sorted)
	}
	text, err := c.API.Sheet(c.Ctx, c.Session, "jsonl")
	ok(c.t, err)
	events, err := export.ReadJSONLines(bytes.NewReader(text))
	ok(c.t, err)
	seen, n := make(map[event.Ref]bool), int64(0)
	for _, e := range events {
		if seen[e.Ref()] {
			c.t.Errorf("the sheet has %v twice", e.Ref())
		}
		seen[e.Ref()] = true
		if _, is := e.Fact.(*event.Sorted); is {
			n++
		}
	}
	if n != sorted {
		c.t.Errorf("the sheet has %d counts of sorting, want %d", n, sorted)
	}
}

// missing wants the card of the office to say what nobody has brought back yet.
func (c *clinic) missing(words string) {
	c.t.Helper()
	ok(c.t, c.desk.Until(fmt.Sprintf(`document.querySelector(".o-refill > div").innerText.includes(%q)`, words)))
}

// A server loses its disk. The office brings the session back with one button,
// the wall shows its code, phones join again, one that was away with counts of its
// own too, and everything is there once.
func TestServerWiped(t *testing.T) {
	t.Parallel()
	c := newClinic(t)
	cedar := c.counts(c.URL(), "Cedar", 12)
	g := gate(t, c.server.Addr)
	rowan := c.counts(g.URL(), "Rowan", 9)
	c.stands(21)
	g.Shut()
	taps(t, rowan, sorts, 4)
	says(t, rowan, tally, "13")

	c.wiped()
	ok(t, c.desk.Until(`document.querySelector(".o-locked")`)) // the new server made a new link
	ok(t, c.desk.Inject(fmt.Sprintf(`location.hash = %q`, c.API.Office)))
	c.back()
	room, err := c.API.Room(c.Ctx, c.Room)
	ok(t, err)
	ok(t, c.wall.Until(fmt.Sprintf(`document.body.innerText.replace(/\s/g, "").includes(%q)`, room.Code)))
	ok(t, c.JoinPage(cedar, c.URL(), "Cedar", "sorting"))
	says(t, cedar, truth, "all 12 in the room")
	c.stands(21)
	c.missing(said("office.refill-whole"))
	g.Open()
	ok(t, c.JoinPage(rowan, g.URL(), "Rowan", "sorting"))
	says(t, rowan, truth, "all 13 in the room")
	c.stands(25)

	ok(t, c.desk.Holds(".o-refill .o-hold", `!document.querySelector(".o-refill")`))
	taps(t, cedar, sorts, 3)
	c.stands(28)
	for _, p := range []*browser.Page{c.desk, c.wall, cedar, rowan} {
		if thrown := p.Thrown(); len(thrown) > 0 {
			t.Errorf("a page threw %q", thrown)
		}
	}
}

// What a phone counted that never comes back, and that no other phone holds any
// more, is named exactly.
func TestServerWipedAndOnePhoneMissing(t *testing.T) {
	t.Parallel()
	c := newClinic(t)
	cedar := c.counts(c.URL(), "Cedar", 3)
	rowan := c.counts(c.URL(), "Rowan", 5)
	c.stands(8)
	ok(t, c.desk.Until(`[...document.querySelectorAll(".o-figures dd")].some((e) => e.innerText === "8")`))
	ok(t, cedar.Until(`document.querySelector(".own .room > :first-child").innerText === "892"`))
	for _, p := range []*browser.Page{c.desk, cedar} {
		ok(t, rig.Forget(p, 3))
	}
	rowan.Close()

	c.wiped()
	ok(t, c.desk.Before(`{ // the first list of sessions is overtaken by the second
		const get = fetch;
		window.lists = [];
		window.fetch = async (...a) => {
			const answer = await get(...a);
			if (!String(a[0]).endsWith("/api/sessions")) return answer;
			if (lists.push(0) === 1) await new Promise((r) => setTimeout(r, 1500));
			setTimeout(() => lists.pop(), 100);
			return answer;
		};
	}`))
	ok(t, c.desk.Open(c.URL()+"/office#"+c.API.Office))
	ok(t, c.desk.Until(`document.querySelector(".o-lost")`))
	ok(t, c.desk.Until(`lists.length === 0`))
	if does, err := browser.Eval[string](c.desk, `document.querySelector(".o-lost .do").innerText`); err != nil || does != said("office.lost-do") {
		t.Errorf("when the first has come it offers %q (%v), want %q", does, err, said("office.lost-do"))
	}
	c.back()
	ok(t, c.JoinPage(cedar, c.URL(), "Cedar", "sorting"))
	c.stands(5)
	c.missing(strings.NewReplacer("{from}", "4", "{to}", "6", "{person}", "Rowan", "{station}", "Sorting").Replace(said("office.gap")))
	gaps, err := c.API.Gaps(c.Ctx, c.Session)
	ok(t, err)
	if len(gaps.Gaps) != 1 {
		t.Errorf("missing: got %+v, want one range", gaps.Gaps)
	}
}

// backup is a copy of the data as they are, and restore puts it in their place.
func (c *clinic) backup() (dir string) {
	c.t.Helper()
	dir = filepath.Join(c.t.TempDir(), "backup")
	ok(c.t, c.server.Kill())
	ok(c.t, os.CopyFS(dir, os.DirFS(c.data)))
	ok(c.t, c.server.Start())
	return dir
}

func (c *clinic) restore(backup string) {
	c.t.Helper()
	ok(c.t, c.server.Kill())
	ok(c.t, os.RemoveAll(c.data))
	ok(c.t, os.CopyFS(c.data, os.DirFS(backup)))
	ok(c.t, c.server.Start())
}

// A backup is put back while phones hold more: everything is there again without
// anybody doing anything.
func TestServerPutBack(t *testing.T) {
	t.Parallel()
	c := newClinic(t)
	cedar, rowan := c.counts(c.URL(), "Cedar", 4), c.counts(c.URL(), "Rowan", 3)
	backup := c.backup()
	taps(t, cedar, sorts, 6)
	taps(t, rowan, sorts, 2)
	says(t, cedar, truth, "all 10 in the room")
	says(t, rowan, truth, "all 5 in the room")
	c.stands(15)
	before, err := c.API.Gaps(c.Ctx, c.Session)
	ok(t, err)
	if before.RefilledMs != 0 {
		t.Error("it is refilled although nothing was lost")
	}

	c.restore(backup)
	c.stands(15)
	says(t, cedar, truth, "all 10 in the room")
	says(t, rowan, truth, "all 5 in the room")
	ok(t, c.desk.Do("Room 1 · A-12"))
	c.missing(said("office.refill-whole"))
	taps(t, cedar, sorts, 1)
	c.stands(16)
}

// An office that came in after the backup is let in again with one button once
// its token ran out, and what was entered there goes over.
func TestOfficeIsLetInAgain(t *testing.T) {
	t.Parallel()
	c := newClinic(t)
	backup := c.backup()
	late := screen(t, 1280, 800)
	ok(t, late.Open(c.URL()+"/office#"+c.API.Office))
	fill(t, late, [2]string{"office.person", "Elm"})
	ok(t, late.Do("Open Room 1 · A-12"))
	fill(t, late, [2]string{"office.note-text", "Elm was here"})
	ok(t, late.Do(said("office.note-keep")))
	says(t, late, truth, "all 2 entries in the room")
	ok(t, late.Open(c.URL()+"/health")) // the same storage, and nothing that writes to it
	c.restore(backup)

	_, err := browser.Eval[bool](late, `new Promise((done, fail) => {
		const asked = indexedDB.open("rootledger");
		asked.onerror = fail;
		asked.onsuccess = () => {
			const t = asked.result.transaction("me", "readwrite"), me = t.objectStore("me"), office = me.get("office");
			office.onsuccess = () => me.put({ ...office.result, expiresMs: 0 }, "office");
			t.onerror = fail;
			t.oncomplete = () => (asked.result.close(), done(true));
		};
	})`)
	ok(t, err)
	ok(t, late.Open(c.URL()+"/office#"+c.API.Office))
	ok(t, late.Until(fmt.Sprintf(`document.querySelector(".o-lost p")?.innerText === %q`, said("office.stranger-why"))))
	ok(t, late.Do(said("office.stranger-do")))
	ok(t, late.Until(`!document.querySelector(".o-lost")`))
	says(t, late, truth, "all 2 entries in the room")
	text, err := c.API.Sheet(c.Ctx, c.Session, "csv")
	ok(t, err)
	if n := strings.Count(string(text), "Elm was here"); n != 1 {
		t.Errorf("the sheet has the note %d times, want once", n)
	}
}
