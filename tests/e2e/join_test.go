package e2e

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// filmed is a page of a browser whose camera sees the code of a text.
func filmed(t *testing.T, text string) *browser.Page {
	t.Helper()
	film := filepath.Join(t.TempDir(), "wall.y4m")
	ok(t, rig.Film(film, text))
	b, err := browser.StartWithCamera(t.TempDir(), film)
	ok(t, err)
	t.Cleanup(func() { ok(t, b.Close()) })
	p, err := b.Device(390, 844, false)
	ok(t, err)
	t.Cleanup(p.Close)
	return p
}

// scan opens the camera on the page on which a phone joins.
func scan(t *testing.T, p *browser.Page, base string) {
	t.Helper()
	ok(t, p.Open(base+"/"))
	ok(t, p.Do(said("join.scan")))
}

// The camera reads the square on the wall; the phone joins by it. Of another
// address a person says first whether it is this room.
func TestScan(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	room, err := r.API.Room(r.Ctx, r.Room)
	ok(t, err)
	join := func(t *testing.T, p *browser.Page) {
		ok(t, p.Until(fmt.Sprintf(`!document.querySelector("dialog") && document.querySelector(".form .code").value === %q`, room.Code)))
		ok(t, p.Type(`input[autocomplete="nickname"]`, "Cedar"))
		ok(t, p.Click(`.stations label:nth-child(2)`))
		ok(t, p.Click(`.form button.first`))
		taps(t, p, ".four-up .pad:nth-child(1)", 2)
		says(t, p, truth, "all 2 in the room")
	}
	t.Run("this room", func(t *testing.T) {
		p := filmed(t, r.URL()+"/join/"+room.Code)
		scan(t, p, r.URL())
		join(t, p)
	})
	t.Run("another address", func(t *testing.T) {
		p := filmed(t, "http://192.0.2.10:8490/join/"+room.Code)
		ok(t, p.Before(rig.PoorReader))
		scan(t, p, r.URL())
		says(t, p, "dialog h3", said("join.otherAddress"))
		if code, err := browser.Eval[string](p, `document.querySelector(".form .code").value`); err != nil || code != "" {
			t.Errorf("before anybody said so the code is %q (%v)", code, err)
		}
		ok(t, p.Do(said("join.sameRoom")))
		join(t, p)
	})
	t.Run("a lead's link of another address", func(t *testing.T) {
		p := filmed(t, "http://192.0.2.10:8490/join/?session="+r.Session.String()+"#"+strings.Repeat("5e", 20))
		scan(t, p, r.URL())
		says(t, p, "dialog a.do", "open 192.0.2.10:8490")
		names, err := browser.Eval[string](p, `[...document.querySelectorAll("dialog .ask .do")].map((e) => e.innerText).join("; ")`)
		if want := "open 192.0.2.10:8490; " + said("join.scanAgain"); err != nil || names != want {
			t.Errorf("its secret may go to %q (%v), want %q", names, err, want)
		}
	})
}

// What each phone is told on the page on which it joins.
func TestStepsOfEachPhone(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	const step = `[...document.querySelectorAll(".steps > li.%s h2")].map((e) => e.innerText).join("; ") === %q`
	tests := []struct {
		name, before string
		done, now    string
		also         string // true once the page has it
	}{
		{"iPhone in its browser", rig.IPhone, "This address is safe; Works with no network; Keeps counts; The clock agrees", "Put it on the home screen first",
			`document.querySelectorAll(".steps .now .how svg").length === 3 && !document.querySelector(".form")`},
		{"iPhone from its icon", rig.IPhone + rig.FromIcon, "This address is safe; Works with no network; Keeps counts; On the home screen; The clock agrees", "",
			`document.querySelector(".form .codes button")`},
		{"Android", rig.Android, "This address is safe; Works with no network; Keeps counts; The clock agrees", "",
			`document.querySelector(".steps .later details") && document.querySelector(".form")`},
		{"plain http", rig.PlainAddress, "Keeps counts; The clock agrees", "Not safe without the room",
			`document.querySelector(".codes p").innerText.includes("no camera") && !document.querySelector(".codes button")`},
		{"pages that can not be kept", rig.NoPages, "This address is safe; Keeps counts; The clock agrees", "Works with no network",
			fmt.Sprintf(`document.querySelector(".steps .now p").innerText === %q`, said("join.offlineFailed"))},
		{"a slow clock", rig.Slow, "This address is safe; Works with no network; Keeps counts", "The clock is off",
			`document.querySelector(".steps .now p").innerText.startsWith("12 min behind")`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			p := keeping(t, 390, 844)
			ok(t, p.Before(test.before))
			ok(t, p.Open(r.URL()+"/"))
			ok(t, p.Until(fmt.Sprintf(step, "done", test.done)))
			ok(t, p.Until(fmt.Sprintf(step, "now", test.now)))
			ok(t, p.Until(test.also))
		})
	}
}

// Away from the room the page says why that may be and looks again by itself.
func TestJoiningWithoutTheRoom(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := keeping(t, 390, 844)
	ok(t, p.Open(g.URL()+"/"))
	ok(t, p.Until(`navigator.serviceWorker.controller`))
	g.Shut()
	ok(t, p.Reload())
	says(t, p, ".unreached h2", said("join.away"))
	ok(t, p.Do(said("join.scan"))) // there is no camera here, and that is said
	says(t, p, "dialog .warn", said("join.cameraNone"))
	ok(t, p.Do(said("join.type")))
	g.Open()
	ok(t, p.Until(`!document.querySelector(".unreached")`))
}

// A lead's link that is wrong or old leaves the code as a way in, and what was
// typed is still there after practice.
func TestJoiningByTheCodeInstead(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	p := device(t)
	ok(t, p.Open(r.URL()+"/join/?session="+r.Session.String()+"#"+strings.Repeat("5e", 20)))
	ok(t, p.Type(`input[autocomplete="nickname"]`, "Cedar"))
	ok(t, p.Click(".form button.first"))
	ok(t, p.Until(`document.querySelector(".form > .wrong")`))
	ok(t, p.Do(said("join.byCode")))
	room, err := r.API.Room(r.Ctx, r.Room)
	ok(t, err)
	ok(t, p.Type(".form .code", room.Code))
	ok(t, p.Click(".stations label:nth-child(2)"))
	practises(t, p, "join.practise", "sorting")
	leaves(t, p)
	ok(t, p.Click(".form button.first"))
	taps(t, p, ".four-up .pad:nth-child(1)", 2)
	says(t, p, truth, "all 2 in the room")
}

// A phone that leaves says so: nobody waits for it any more.
func TestLeaving(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Birch", "sorting")
	taps(t, p, ".four-up .pad", 2)
	ok(t, p.Until(`document.querySelector(".truth")?.innerText.startsWith("all 2")`))
	ok(t, p.Press(".last .menu", 0))
	ok(t, p.Holds(`dialog[open] .o-hold`, `!document.querySelector(".station, dialog[open]")`))
	ok(t, browser.Wait(func() bool {
		v := r.Office.Settled()
		for _, phone := range v.Phones {
			if phone.Person == "Birch" {
				return phone.Left && v.Ledger.Sorted.Total() == 2
			}
		}
		return false
	}))
}
