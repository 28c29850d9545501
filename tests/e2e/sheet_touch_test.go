package e2e

import (
	"testing"

	"github.com/evanw/esbuild/pkg/api"

	"rootledger/tests/e2e/browser"
)

// What practice held back drops nothing of what real counting did.
func TestPracticeKeepsItsHeldApart(t *testing.T) {
	built := api.Build(api.BuildOptions{EntryPoints: []string{"../../pwa/ui/parts/pad.tsx"}, Bundle: true, Format: api.FormatIIFE, GlobalName: "pad", Tsconfig: "../../pwa/tsconfig.ui.json"})
	if len(built.Errors) > 0 {
		t.Fatal(built.Errors)
	}
	p := device(t)
	ok(t, p.Inject(string(built.OutputFiles[0].Contents)))
	got, err := browser.Eval[string](p, `{
		for (let i = 0; i < 201; i++) for (const practice of [false, true])
			if (practice || i < 2) pad.setHeld([...pad.heldNow(), { practice, atMs: i }]);
		const held = pad.heldNow();
		held.filter((h) => !h.practice).length + " " + held.filter((h) => h.practice).length }`)
	ok(t, err)
	if got != "2 200" {
		t.Errorf("real and in practice: got %s, want 2 200", got)
	}
}
