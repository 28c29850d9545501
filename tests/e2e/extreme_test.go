package e2e

import (
	"flag"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/pseudo"
	"rootledger/tests/e2e/rig"
	"rootledger/tests/e2e/scenes"
)

// pictures is where pictures of the extreme days go, "" for none.
var pictures = flag.String("pictures", "", "a folder for pictures of extreme days")

const (
	extremeSeed = 26 // of the days at many ends at once
	together    = 3  // of them
)

// told is what the wall says of a day, where its figures alone mislead.
var told = map[string]string{
	"nothing counted":      "Phones join here",
	"no budget":            "Need not set",
	"many grafts":          "1,499 to place",
	"below zero":           "Enough is placed", // not how many are held: fewer than none
	"eight past the donor": "Take no more",     // not how many the budget lacks
	"all away":             "all 4 away",
}

// Walls of days at the ends of what may be planned and counted are read from
// their distance, with no word cut, in English and in languages that nobody speaks.
func TestExtremeDays(t *testing.T) {
	languages := pseudo.Server()
	t.Cleanup(languages.Close)
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	for i, day := range scenes.Extremes(extremeSeed, together) {
		t.Run(day.Name, func(t *testing.T) {
			t.Parallel()
			p := played(t, r.Beside(fmt.Sprintf("day-%d", i)), &day)
			if *pictures != "" {
				ok(t, p.Picture(filepath.Join(*pictures, fmt.Sprintf("%02d.png", i))))
			}
			says, err := browser.Eval[string](p, `document.querySelector(".wall").innerText.replace(/\s+/g, " ")`)
			ok(t, err)
			if !strings.Contains(says, told[day.Name]) {
				t.Errorf("the wall says %q, without %q", says, told[day.Name])
			}
			sameInTheDark(t, p)
			if len(day.Zones) > 3 {
				namesTellApart(t, p, day.Zones)
			}
			scene := scenes.Scene{Screen: "extreme", State: day.Name, Page: p}
			ok(t, readable(t, scene))
			for _, language := range pseudo.All() {
				ok(t, speak(p, languages.URL, language.Name))
				scene.State = day.Name + ", " + language.Name
				ok(t, readable(t, scene))
			}
		})
	}
}

// played plays a day and opens its wall, which shows all of it.
func played(t *testing.T, r *rig.Rig, day *scenes.Extreme) *browser.Page {
	t.Helper()
	ok(t, day.Open(r))
	p := wallOf(t, r.URL(), r.Room)
	switch {
	case !day.Begun:
		ok(t, p.Until(`document.querySelector(".w-join img")?.complete`))
	case day.Away:
		ok(t, p.Until(`/\b4 away\b/.test(document.querySelector(".w-foot")?.innerText)`))
	default:
		ok(t, p.Until(`document.querySelector(".w-foot")`))
	}
	return p
}

// sameInTheDark holds the dark theme to the light one's places: so one of them
// is enough for all that is asked of places. A wall goes on meanwhile, so the
// light one is looked at twice, again until it was the same.
func sameInTheDark(t *testing.T, p *browser.Page) {
	t.Helper()
	var before, dark, after string
	for range 5 {
		before, dark, after = places(t, p, false), places(t, p, true), places(t, p, false)
		if before == after {
			break
		}
	}
	if dark != after {
		t.Errorf("in the dark things stand elsewhere:\n%s\n%s", dark, after)
	}
}

// places is where everything on a wall stands, which moves as a whole by itself.
func places(t *testing.T, p *browser.Page, dark bool) string {
	t.Helper()
	ok(t, p.Look(1920, 1080, dark))
	all, err := browser.Eval[string](p, `(() => {
		const wall = document.querySelector(".wall"), from = wall.getBoundingClientRect();
		return JSON.stringify([...wall.querySelectorAll("*")].map((e) => {
			const r = e.getBoundingClientRect();
			return [e.className.baseVal ?? e.className, ...[r.left - from.left, r.top - from.top, r.width, r.height].map(Math.round)];
		}));
	})()`)
	ok(t, err)
	return all
}

// namesTellApart wants every zone's name whole, or made of the beginnings of its
// words up to the last, and no two alike, on every screen that has room for zones.
func namesTellApart(t *testing.T, p *browser.Page, zones []string) {
	t.Helper()
	for _, of := range sights {
		ok(t, see(p, fmt.Sprintf("?inches=%v&metres=%v", of.inches, of.metres), of.inches, of.metres))
		tellApart(t, p, zones)
	}
}

func tellApart(t *testing.T, p *browser.Page, zones []string) {
	t.Helper()
	shown, err := browser.Eval[[]string](p, `[...document.querySelectorAll(".w-zones li:not(.quiet)")].map((li) => li.firstElementChild.innerText)`)
	ok(t, err)
	for i, name := range shown {
		plain := strings.TrimRight(strings.TrimRight(name, "0123456789"), " ") // one like another has its place behind it
		if !slices.ContainsFunc(zones, func(zone string) bool { return name == zone || shortens(plain, strings.Fields(zone)) }) {
			t.Errorf("%q is no zone's name", name)
		}
		if slices.Contains(shown[:i], name) {
			t.Errorf("two zones are called %q", name)
		}
	}
}

// shortens says whether a name is made of beginnings of words, the last one's among them.
func shortens(name string, words []string) bool {
	name = strings.TrimLeft(name, " ")
	if name == "" || len(words) == 0 {
		return name == "" && len(words) == 0
	}
	if len(words) > 1 && shortens(name, words[1:]) {
		return true
	}
	letters, word := []rune(name), []rune(words[0])
	for n := 1; n <= min(len(letters), len(word)) && strings.EqualFold(string(letters[:n]), string(word[:n])); n++ {
		if shortens(string(letters[n:]), words[1:]) {
			return true
		}
	}
	return false
}

// What shortens a name, and what does not.
func TestShortens(t *testing.T) {
	zone := strings.Fields("Temple point on the left")
	for name, want := range map[string]bool{"Temple point on the left": true, "T P O T left": true, "T left": true, "TPOTL": true, "TL": true,
		"T": false, "Tem": false, "LT": false, "eft": false, "": false} {
		if shortens(name, zone) != want {
			t.Errorf("%q: got %v, want %v", name, !want, want)
		}
	}
}
