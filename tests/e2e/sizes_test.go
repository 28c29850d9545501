package e2e

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/scenes"
)

// measure is a script that holds a phone's screen to its sizes and answers with
// what breaks them.
//
//go:embed testdata/measure.js
var measure string

// phoneSizes are a short phone, a phone, one lying down, and a small tablet both ways.
var phoneSizes = []scenes.Size{{Width: 360, Height: 640}, {Width: 390, Height: 844}, {Width: 844, Height: 390}, {Width: 768, Height: 1024}, {Width: 1024, Height: 768}}

// What a gloved finger hits is large enough and apart, nothing lies over
// anything else, no word is cut, and a station never scrolls.
func TestSizes(t *testing.T) {
	tour := scenes.Tour{
		Browser: chromium,
		Want:    func(screen string) bool { return !slices.Contains([]string{"wall", "office"}, screen) },
		See: func(s scenes.Scene) error {
			for _, size := range phoneSizes {
				if err := s.Page.Look(size.Width, size.Height, false); err != nil {
					return err
				}
				broken, err := reported(s.Page, measure)
				if err != nil {
					return err
				}
				for _, what := range broken {
					t.Errorf("%s at %s: %s", s.Name(), size, what)
				}
			}
			return nil
		},
	}
	ok(t, tour.Walk())
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
