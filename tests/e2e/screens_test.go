package e2e

import (
	"errors"
	"slices"
	"testing"

	"rootledger/tests/e2e/pseudo"
	"rootledger/tests/e2e/scenes"
)

// walks are the screens by who sees them, one walk each beside the others. Most
// of a walk is the way to a scene, so all that is asked of one is asked there.
var walks = []struct {
	name    string
	screens []string
	fewest  int // scenes, so that a walk that sees nothing fails
}{
	{"leads", []string{"lead", "out", "doses", "quality"}, 20},
	{"tables", []string{"join", "extraction", "sorting", "sites"}, 20},
	{"hands", []string{"placing", "desk", "pads"}, 20},
	{"phones", []string{"phone", "long", "figures"}, 20},
	{"practice", []string{"practice"}, 10},
	{"office", []string{"office"}, 10},
	{"wall", []string{"wall"}, 20},
}

// Every screen in every state keeps its rules.
func TestScreens(t *testing.T) {
	axe := readAxe(t)
	languages := pseudo.Server()
	t.Cleanup(languages.Close)
	var walked []string
	for _, walk := range walks {
		walked = append(walked, walk.screens...)
		t.Run(walk.name, func(t *testing.T) {
			t.Parallel()
			seen := 0
			tour := scenes.Tour{
				Browser: chromium,
				Want:    func(screen string) bool { return slices.Contains(walk.screens, screen) },
				See: func(s scenes.Scene) error {
					seen++
					return keepsRules(t, s, axe, languages.URL)
				},
			}
			ok(t, tour.Walk())
			if seen < walk.fewest {
				t.Errorf("saw %d scenes, want %d or more", seen, walk.fewest)
			}
			t.Logf("saw %d scenes", seen)
		})
	}
	for _, screen := range scenes.Screens() {
		if !slices.Contains(walked, screen) {
			t.Errorf("no walk sees %s", screen)
		}
	}
}

func keepsRules(t *testing.T, s scenes.Scene, axe []byte, languages string) error {
	if err := accessible(t, s, axe); err != nil {
		return err
	}
	switch s.Screen {
	case "office":
		return nil
	case "wall":
		return readable(t, s)
	}
	return errors.Join(sized(t, s), spoken(t, s, languages))
}
