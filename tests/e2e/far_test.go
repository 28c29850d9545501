package e2e

import (
	_ "embed"
	"testing"

	"rootledger/tests/e2e/scenes"
)

// far is a script that holds a wall to what can be read from five metres, and
// answers with what breaks that.
//
//go:embed testdata/far.js
var far string

// readable holds a wall to its distance: no word is under 48 units and no figure
// under 66, nothing touches anything else or leaves the sheet, and nothing is to
// be pressed.
func readable(t *testing.T, s scenes.Scene) error {
	if err := s.Page.Look(1920, 1080, false); err != nil {
		return err
	}
	broken, err := reported(s.Page, far)
	if err != nil {
		return err
	}
	for _, what := range broken {
		t.Errorf("%s: %s", s.Name(), what)
	}
	return nil
}
