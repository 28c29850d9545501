package e2e

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/pseudo"
	"rootledger/tests/e2e/scenes"
)

// measure is a script that holds a phone's screen to its sizes and answers with
// what breaks them.
//
//go:embed testdata/measure.js
var measure string

// phoneSizes are a short phone, a phone, one lying down, and a small tablet both ways.
var phoneSizes = []scenes.Size{{Width: 360, Height: 640}, {Width: 390, Height: 844}, {Width: 844, Height: 390}, {Width: 768, Height: 1024}, {Width: 1024, Height: 768}}

// sized holds a phone's screen to its sizes: what a gloved finger hits is large
// enough and apart, nothing lies over anything else, no word is cut, and a station
// never scrolls.
func sized(t *testing.T, s scenes.Scene) error {
	return measured(t, s, "", phoneSizes)
}

// spoken holds a phone's screen to the same in languages that nobody speaks, on
// a short phone and a usual one.
func spoken(t *testing.T, s scenes.Scene, server string) error {
	for _, language := range []string{pseudo.Long().Name, pseudo.Mirrored().Name} {
		if err := speak(s.Page, server, language); err != nil {
			return err
		}
		if err := measured(t, s, language, phoneSizes[:2]); err != nil {
			return err
		}
	}
	return speak(s.Page, server, "en")
}

func speak(p *browser.Page, server, language string) error {
	_, err := browser.Eval[bool](p, pseudo.Speak(server, language))
	return err
}

func measured(t *testing.T, s scenes.Scene, language string, sizes []scenes.Size) error {
	for _, size := range sizes {
		if err := s.Page.Look(size.Width, size.Height, false); err != nil {
			return err
		}
		broken, err := reported(s.Page, measure)
		if err != nil {
			return err
		}
		for _, what := range broken {
			t.Errorf("%s at %s: %s", strings.TrimSpace(s.Name()+" "+language), size, what)
		}
	}
	return nil
}

// reported runs a script that answers with what is broken.
func reported(p *browser.Page, script string) ([]string, error) {
	text, err := browser.Eval[string](p, script)
	if err != nil {
		return nil, err
	}
	var broken []string
	if err := json.Unmarshal([]byte(text), &broken); err != nil {
		return nil, fmt.Errorf("sizes: %w", err)
	}
	return broken, nil
}

// The office on a phone is no wider than it, whatever rooms and cases are
// called: nothing is to be shoved sideways but tables, in their own frames.
func TestOfficeFitsAPhone(t *testing.T) {
	r, p, _ := office(t)
	for _, room := range []string{"2", "Operating-room-4"} {
		other := r.Beside(room)
		ok(t, other.Open("CASE-2027-01-15B", 900))
	}
	ok(t, p.Look(390, 844, false))
	fits := func(page string) {
		t.Helper()
		broken, err := reported(p, `JSON.stringify(document.documentElement.scrollWidth <= 390 ? [] :
			[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > 390 && !e.closest(".o-wide"))
				.map((e) => e.tagName + "." + e.getAttribute("class") + " ends at " + Math.round(e.getBoundingClientRect().right)))`)
		ok(t, err)
		for _, what := range broken {
			t.Errorf("%s: %s", page, what)
		}
		cut, err := browser.Eval[float64](p, `document.querySelector(".o-side button").getBoundingClientRect().width`)
		ok(t, err)
		if cut < 60 {
			t.Errorf("%s: the way to today is %.0f px wide, too narrow for its word", page, cut)
		}
	}
	ok(t, p.Reload())
	ok(t, p.Until(`document.querySelectorAll(".o-rooms tbody tr").length === 2`))
	fits("today")
	fill(t, p, [2]string{"office.person", "Bartholomea-Wilhelmina van der Hollunder"})
	ok(t, p.Do("Open Room Operating-room-4 · CASE-2027-01-15B"))
	ok(t, p.Until(`document.querySelector(".o-session .o-figures") && document.querySelector(".o-joincode")`))
	fits("session")
	ok(t, p.Do(said("office.zone-add")))
	ok(t, p.Do(said("office.region-add")))
	ok(t, p.Click(".o-leadcode summary"))
	ok(t, p.Until(`document.querySelectorAll(".o-join img").length === 2`))
	fits("forms of a session")
	ok(t, p.Do(said("office.today")))
	ok(t, p.Until(`document.querySelector(".o-rooms")`))
	fits("today, with a session open")
}
