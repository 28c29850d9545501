package e2e

import (
	"fmt"
	"testing"

	"rootledger/tests/e2e/browser"
)

// ender has a test end a worker in one of the ways in which workers end.
const ender = `new BroadcastChannel("ender").onmessage = ({ data }) => {
	if (data === "close") close();
	if (data === "throw") setTimeout(() => { throw new Error("injected"); });
	if (data === "reject") Promise.reject(new Error("injected"));
	if (data === "engine") globalThis.rootledgerHandle = () => { throw new Error("the engine ended"); };
	if (data === "hang") for (;;);
};`

// A worker ends while its phone counts: the page notices, starts another, and
// every tap is either counted or said to be not.
func TestWorkerEnds(t *testing.T) {
	for _, way := range []string{"close", "throw", "reject", "engine"} {
		t.Run(way, func(t *testing.T) {
			r := opened(t, 400)
			behind := spoiled(t, r.URL(), ender)
			p := joined(t, r, behind.URL, "Cedar", "sorting")
			pad := ".four-up .pad:nth-child(1)"
			taps(t, p, pad, 5)
			says(t, p, truth, "all 5 in the room")
			begin(t, p, pad)
			ok(t, p.Until(`window.tapped > 30`))
			ok(t, p.Inject(`window.endedAt = performance.now(); new BroadcastChannel("ender").postMessage("`+way+`")`))
			ok(t, p.Until(fmt.Sprintf(`window.tapped === %d`, perPhone)))
			ok(t, p.Until(fmt.Sprintf(`(() => {
				const n = document.querySelector(%q).innerText;
				if (n !== window.seen) [window.seen, window.seenAt] = [n, performance.now()];
				return performance.now() - window.seenAt > 1000 && document.querySelector(".truth").classList.length === 1;
			})()`, tally)))
			shown, err := browser.Eval[int64](p, fmt.Sprintf(`Number(document.querySelector(%q).innerText)`, tally))
			ok(t, err)
			if shown < 5+perPhone-20 || shown > 5+perPhone {
				t.Errorf("the phone shows %d of %d taps", shown, 5+perPhone)
			}
			if _, sorted, _ := settled(t, r, exactly(0, shown, 0)); sorted != shown {
				t.Errorf("the room has %d sorted, and the phone shows %d", sorted, shown)
			}
			before := shown
			taps(t, p, pad, 3)
			says(t, p, tally, fmt.Sprint(before+3))
		})
	}
}

// What was not kept when the worker ended is said, once it is known.
func TestWorkerEndsBeforeATapIsKept(t *testing.T) {
	r := opened(t, 400)
	script := `{ let n = 0; addEventListener("message", (e) => {
		if (e.data.do !== "tap" || ++n !== 3) return;
		e.stopImmediatePropagation();
		close();
	}); }`
	behind := spoiled(t, r.URL(), script)
	p := joined(t, r, behind.URL, "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	for want := 1; want <= 2; want++ {
		taps(t, p, pad, 1)
		says(t, p, tally, fmt.Sprint(want))
	}
	taps(t, p, pad, 1)
	ok(t, p.Until(`/This was not kept/.test(document.querySelector(".said")?.innerText)`))
	says(t, p, tally, "2")
	taps(t, p, pad, 1)
	says(t, p, tally, "3")
	says(t, p, truth, "all 3 in the room")
	ok(t, p.Until(`!document.querySelector(".said")`))
}

// A worker that hangs is replaced as well, later.
func TestWorkerHangs(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	behind := spoiled(t, r.URL(), ender)
	p := joined(t, r, behind.URL, "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 5)
	says(t, p, truth, "all 5 in the room")
	ok(t, p.Inject(`new BroadcastChannel("ender").postMessage("hang")`))
	taps(t, p, pad, 1)
	ok(t, p.Until(`/This was not kept/.test(document.querySelector(".said")?.innerText)`))
	taps(t, p, pad, 2)
	says(t, p, truth, "all 7 in the room")
}
