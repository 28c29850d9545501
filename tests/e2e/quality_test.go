package e2e

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/session"
	"rootledger/tests/e2e/rig"
	"rootledger/tests/e2e/scenes"
)

// Eight cut grafts make the station ask for a look at its own pass, though
// another asks since later; the look is entered there, and the ask goes.
func TestALookThatIsEnteredEndsTheAsk(t *testing.T) {
	r, err := rig.Start(t.TempDir())
	ok(t, err)
	t.Cleanup(func() { ok(t, r.Close()) })
	ok(t, scenes.Trying(r, "L-1"))
	p := joined(t, r, r.URL(), "Birch", "extraction")
	const ask = `[...document.querySelectorAll(".tight")].some((e) => e.innerText.includes("of 8 cut"))`
	taps(t, p, ".three .pad2:nth-child(2)", 8)
	ok(t, p.Until(ask))
	elder, err := r.Join("Elder", event.Extraction)
	ok(t, err)
	ok(t, r.Do(elder, &event.PassBegun{Mode: event.Each, DiameterUM: 850}))
	ok(t, r.Do(elder, &event.Attempt{Pass: r.Names["each"], Outcome: event.Total, N: 9}))
	ok(t, r.Within(elder.InRoom))
	room(t, r, "both passes ask", func(v session.View) bool {
		return len(v.Quality.Watched) == 2 && v.Quality.Watched[0].Asks && v.Quality.Watched[1].Asks
	})
	ok(t, p.Press(".three .pad2:last-child", 0))
	ok(t, p.Do(said("extraction.lookNow")))
	ok(t, p.Fill(said("quality.lookedAt"), "10"))
	ok(t, p.Fill(said("quality.damaged"), "1"))
	ok(t, p.Do(said("quality.enterLook")))
	ok(t, p.Until(`!document.querySelector("dialog") && !`+ask))
	v := room(t, r, "the other pass asks", func(v session.View) bool {
		return !v.Quality.Watched[0].Asks && v.Quality.Watched[1].Asks
	})
	if got := v.Quality.Watched[0]; got.Trials != 0 || got.Cut != 0 {
		t.Errorf("got %+v, want a sum that begins anew", got)
	}
}
