package e2e

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/session"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

const (
	// mayGrow is what the page may hold more at the end of a day than a quarter in,
	// in bytes: it draws the same parts, with longer curves and a few more words.
	mayGrow      = 512 << 10
	mayGrowNodes = 200
)

// A wall that shows a whole day holds at its end hardly more than a quarter in:
// what it drew before is gone.
func TestWallOverADay(t *testing.T) {
	t.Parallel()
	speed := uint32(960)
	if os.Getenv("SOAK") == "1" {
		speed = 60
	}
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	wall, err := chromium.Device(1920, 1080, false)
	ok(t, err)
	t.Cleanup(wall.Close)
	ok(t, wall.Open(r.URL()+"/wall/practice"))
	var quarter browser.Held
	look := func(when string) browser.Held {
		h, err := wall.Held()
		if err != nil {
			t.Error(err)
		}
		t.Logf("%s: %+v", when, h)
		return h
	}
	report, err := practice.Run(r.Ctx, practice.Config{Server: r.URL(), Office: r.API.Office, Seed: 1, Speed: speed, Grafts: 1200,
		Progress: func(nowMs int64, _ session.View) {
			if quarter == (browser.Held{}) && time.UnixMilli(nowMs).UTC().Hour() >= 10 { // of 8 to 16
				quarter = look("a quarter in")
			}
		}})
	ok(t, err)
	if !report.OK() {
		t.Errorf("the day's figures differ: %+v", report.Differed)
	}
	begins, _, _ := strings.Cut(said("wall.ended"), "{")
	ok(t, wall.Until(fmt.Sprintf(`document.querySelector("h1")?.innerText.startsWith(%q)`, begins)))
	end := look("ended")
	if end.Heap > quarter.Heap+mayGrow || end.Around > quarter.Around+mayGrow || end.Nodes > quarter.Nodes+mayGrowNodes || end.Listeners > quarter.Listeners {
		t.Errorf("over a day of %d events the page grew: %+v a quarter in, %+v at the end", report.Events, quarter, end)
	}
}
