package e2e

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rootledger/pwa/words"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// said is a sentence of the screens.
func said(key string) string { return words.English().Text(key) }

// fill types into fields of a page, each by the sentence beside it.
func fill(t *testing.T, p *browser.Page, fields ...[2]string) {
	t.Helper()
	for _, f := range fields {
		ok(t, p.Fill(said(f[0]), f[1]))
	}
}

// wrong wants an error with some words beside a field, and in it still what was typed.
func wrong(t *testing.T, p *browser.Page, field, typed, message string) {
	t.Helper()
	ok(t, p.Until(fmt.Sprintf(`[...document.querySelectorAll(".o-wrong")].some((e) => e.innerText.trim() === %q)`, message)))
	got, err := p.Field(said(field))
	ok(t, err)
	if got != typed {
		t.Errorf("beside %q stands %q after the error, want %q", said(field), got, typed)
	}
}

// office is a browser in the office of a server without sessions, as its link
// opens it, and the folder of what it saves.
func office(t *testing.T) (r *rig.Rig, p *browser.Page, saved string) {
	t.Helper()
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	p = screen(t, 1280, 800)
	saved = t.TempDir()
	ok(t, p.Downloads(saved))
	ok(t, p.Open(r.URL()+"/office#"+r.API.Office))
	ok(t, p.Until(`document.querySelector(".o-empty")`))
	return r, p, saved
}

// From the office to the sheet, through the screens alone.
func TestOfficeToSheet(t *testing.T) {
	r, desk, saved := office(t)
	startSession(t, desk)
	planSession(t, desk)

	phone := device(t)
	code, err := browser.Eval[string](desk, `document.querySelector(".o-joincode").innerText.replace(/\s/g, "")`)
	ok(t, err)
	ok(t, phone.Open(r.URL()+"/"))
	ok(t, phone.Until(`document.querySelector(".join form")`))
	fill(t, phone, [2]string{"join.code", code}, [2]string{"join.person", "Cedar"})
	ok(t, phone.Click(".stations label:nth-child(2)"))
	ok(t, phone.Do(said("join.go")))
	taps(t, phone, ".four-up .pad:nth-child(1)", 25)
	taps(t, phone, ".four-up .pad:nth-child(2)", 16)
	says(t, phone, truth, "all 41 in the room")
	ok(t, desk.Until(`[...document.querySelectorAll(".o-figures dd")].some((e) => e.innerText === "41")`))

	ok(t, desk.Holds("button.o-hold", `document.querySelector(".o-head").innerText.includes("ended")`))
	ok(t, desk.Press(".o-head .o-sheets button", 0))
	rows := sheetSaved(t, saved)
	for measure, want := range map[string]string{"grafts in holding, all": "41", "grafts placed, all": "0", "budget budget": "900"} {
		if rows[measure] != want {
			t.Errorf("the sheet saved says %q for %s, want %s", rows[measure], measure, want)
		}
	}
	if thrown := append(desk.Thrown(), phone.Thrown()...); len(thrown) > 0 {
		t.Errorf("a page threw %q", thrown)
	}
}

// startSession starts one, after what is missing was said in words.
func startSession(t *testing.T, desk *browser.Page) {
	t.Helper()
	fill(t, desk, [2]string{"office.case-code", "no name please"})
	ok(t, desk.Do(said("office.start-do")))
	wrong(t, desk, "office.case-code", "no name please", strings.ReplaceAll(said("fault.case-code"), "{max}", "16"))
	wrong(t, desk, "office.person", "", said("office.person-needed"))
	fill(t, desk, [2]string{"office.person", "Oak"}, [2]string{"office.case-code", "A-12"})
	ok(t, desk.Do(said("office.start-do")))
	ok(t, desk.Until(`document.querySelector(".o-session .o-figures")`))
}

// planSession plans a zone, a region and a budget; one field of each is wrong
// at first.
func planSession(t *testing.T, desk *browser.Page) {
	t.Helper()
	ok(t, desk.Do(said("office.zone-add")))
	fill(t, desk, [2]string{"office.name", "Front"}, [2]string{"office.area", "18"}, [2]string{"office.density", "fifty"},
		[2]string{"office.hairs-1", "60"}, [2]string{"office.hairs-2", "40"})
	ok(t, desk.Do(said("office.zone-add")))
	wrong(t, desk, "office.density", "fifty", strings.ReplaceAll(said("office.decimal-needed"), "{n}", "1"))
	wrong(t, desk, "office.name", "Front", strings.ReplaceAll(said("office.decimal-needed"), "{n}", "1"))
	fill(t, desk, [2]string{"office.density", "50"})
	ok(t, desk.Do(said("office.zone-add")))
	ok(t, desk.Until(`document.querySelector(".o-list .o-total b")?.innerText === "900"`))

	ok(t, desk.Do(said("office.region-add")))
	fill(t, desk, [2]string{"office.code", "BK"}, [2]string{"office.name", "Back"}, [2]string{"office.area", "80"},
		[2]string{"office.density", "80"}, [2]string{"office.share", "120"})
	ok(t, desk.Do(said("office.region-add")))
	wrong(t, desk, "office.share", "120", said("office.range-percent"))
	fill(t, desk, [2]string{"office.share", "20"})
	ok(t, desk.Do(said("office.region-add")))
	ok(t, desk.Until(`[...document.querySelectorAll(".o-list .o-total b")].some((e) => e.innerText === "1,280")`))

	fill(t, desk, [2]string{"office.grafts", "nine"})
	ok(t, desk.Do(said("office.set-budget")))
	wrong(t, desk, "office.grafts", "nine", said("office.whole-needed"))
	fill(t, desk, [2]string{"office.grafts", "900"})
	ok(t, desk.Do(said("office.set-budget")))
	ok(t, desk.Until(`document.querySelector(".o-figures dd").innerText === "900"`))
}

// sheetSaved is the one file that was saved, its values by section and measure.
func sheetSaved(t *testing.T, dir string) map[string]string {
	t.Helper()
	var found []string
	for deadline := time.Now().Add(20 * time.Second); len(found) == 0; time.Sleep(50 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("nothing was saved")
		}
		var err error
		found, err = filepath.Glob(filepath.Join(dir, "*.csv"))
		ok(t, err)
	}
	if name := filepath.Base(found[0]); !strings.Contains(name, "A-12") {
		t.Errorf("the file is called %s, which does not say the case", name)
	}
	file, err := os.Open(found[0])
	ok(t, err)
	defer file.Close()
	all, err := csv.NewReader(file).ReadAll()
	ok(t, err)
	rows := make(map[string]string)
	for _, row := range all {
		if row[1] == "" && row[2] == "" {
			rows[row[0]+" "+row[3]] = row[4]
		}
	}
	return rows
}

// Earlier sessions, and practice days that ended, are folded away below what is
// of today, and have room for their rows once they are opened.
func TestOfficeFoldsWhatIsOver(t *testing.T) {
	t.Parallel()
	r, p, _ := office(t)
	over := func(room, code string, ago time.Duration, practised bool) {
		one := r.Beside(room)
		one.Ago(ago)
		opening := one.Opening(code)
		if practised {
			now := uint64(time.Now().UnixMilli())
			opening.Practice = event.Practice{StartMs: now, RealMs: now, Speed: 1}
		}
		ok(t, one.OpenWith(opening))
		ok(t, one.Do(one.Office, &event.Ended{}))
		ok(t, one.Within(one.Office.InRoom))
	}
	over("2", "CASE-2027-01-15B", 50*time.Hour, false)
	over("Operating-room-4", "CASE-2027-01-15C", 49*time.Hour, false)
	for range 3 {
		over("practice", "WOOD-1", 0, true)
	}
	ok(t, r.Beside("3").Open("A-12", 400))
	for _, wide := range []int64{1280, 390} {
		ok(t, p.Look(wide, 800, false))
		ok(t, p.Reload())
		ok(t, p.Until(`document.querySelectorAll(".o-rooms").length === 3`))
		ok(t, p.Until(`document.querySelector(".o-rooms").tBodies[0].rows.length === 1`))
		ok(t, p.Until(`[...document.querySelectorAll(".o-earlier summary")].map((e) => e.innerText).join() === "2 earlier sessions,3 practice days that ended"`))
		for i, rows := range []int{2, 3} {
			ok(t, p.Press(".o-earlier summary", i))
			ok(t, p.Until(fmt.Sprintf(`document.querySelectorAll(".o-earlier")[%d].open && document.querySelectorAll(".o-earlier")[%[1]d].querySelectorAll("tbody tr").length === %d`, i, rows)))
		}
		cut, err := reported(p, `JSON.stringify([...document.querySelectorAll(".o-rooms td, .o-rooms th, .o-rooms button")]
			.filter((e) => e.checkVisibility() && (e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1 || e.getBoundingClientRect().right > innerWidth))
			.map((e) => e.innerText))`)
		ok(t, err)
		for _, what := range cut {
			t.Errorf("%d wide: %q is cut", wide, what)
		}
	}
}
