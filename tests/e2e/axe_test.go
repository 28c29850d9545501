package e2e

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/scenes"
)

// axePath is where the packages of pwa/package.json put axe-core.
const axePath = "../../pwa/node_modules/axe-core/axe.min.js"

// axeRun looks at the page by the rules of WCAG 2.2 AA and the best practices,
// in the dark only by those that colours can break.
const axeRun = `axe.run(document, {
	runOnly: matchMedia("(prefers-color-scheme: dark)").matches
		? { type: "rule", values: ["color-contrast", "link-in-text-block"] }
		: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
	resultTypes: ["violations"],
}).then((found) => JSON.stringify(found.violations.map((v) => ({
	rule: v.id, help: v.help,
	at: v.nodes.map((n) => n.target.join(" ") + ": " + n.failureSummary.split("\n").slice(1).map((s) => s.trim()).join("; ")),
}))))`

// violation is one rule that a page breaks, and where.
type violation struct {
	Rule, Help string
	At         []string
}

// usualSize is the size at which a screen is mostly seen.
func usualSize(screen string) scenes.Size {
	switch screen {
	case "wall":
		return scenes.Size{Width: 1920, Height: 1080}
	case "office":
		return scenes.Size{Width: 1280, Height: 800}
	}
	return scenes.Size{Width: 390, Height: 844}
}

// readAxe is axe-core, or nil where it may be missing.
func readAxe(t *testing.T) []byte {
	axe, err := os.ReadFile(axePath)
	if errors.Is(err, fs.ErrNotExist) && os.Getenv("CI") != "true" {
		t.Log("axe-core is not here, screens are not held to WCAG; run make build, which fetches it")
		return nil
	}
	ok(t, err)
	return axe
}

// accessible holds a screen to WCAG 2.2 AA, light and dark.
func accessible(t *testing.T, s scenes.Scene, axe []byte) error {
	if axe == nil {
		return nil
	}
	if there, err := browser.Eval[bool](s.Page, `"axe" in window`); err != nil || !there { // a page keeps it from scene to scene
		if err := errors.Join(err, s.Page.Inject(string(axe))); err != nil {
			return err
		}
	}
	size := usualSize(s.Screen)
	for _, theme := range []string{"light", "dark"} {
		if err := s.Page.Look(size.Width, size.Height, theme == "dark"); err != nil {
			return err
		}
		broken, err := violations(s.Page)
		if err != nil {
			return err
		}
		for _, v := range broken {
			t.Errorf("%s, %s: %s (%s)\n\t%s", s.Name(), theme, v.Help, v.Rule, strings.Join(v.At, "\n\t"))
		}
	}
	return nil
}

func violations(p *browser.Page) ([]violation, error) {
	text, err := browser.Eval[string](p, axeRun)
	if err != nil {
		return nil, err
	}
	var found []violation
	if err := json.Unmarshal([]byte(text), &found); err != nil {
		return nil, fmt.Errorf("axe: %w", err)
	}
	return found, nil
}
