package main

import (
	"errors"
	"fmt"
	"net/url"
	"time"

	"rootledger/pwa/assets"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

const (
	handSlower  = 4                 // the page's thread, as on a phone; its worker is not slowed
	handEvery   = time.Second / 8   // taps of two fingers
	handOthers  = 3                 // phones of others, few: this machine works for them too
	handPace    = time.Second / 300 // their events, all together
	handBudget  = 20_000
	handLoads   = 4 // one after the other: of one, the p95 would be the taps of a page that just opened
	handStarts  = 5
	handPadSize = 50 // from the middle of the pad to a finger
)

// handMeasurements are a finger on a real browser's pad. They need Chromium and
// the built app, and are left out without them.
func handMeasurements(s settings) []measurement {
	if _, err := assets.Files.ReadFile("app/index.html"); err != nil || browser.Find() == "" {
		return nil
	}
	under := func(read string, crowd int) func(string) (figures, error) {
		return func(dir string) (figures, error) { return hand(dir, s.load, read, crowd) }
	}
	return []measurement{
		{"P8.answer", "finger to the pad's answer in its frame, page 4× slower, 300 remote events/s", "WAL, FULL", under("looks", handOthers)},
		{"P8.own", "finger to the own number, kept and shown (p95 for p99), page 4× slower, 300 remote events/s", "WAL, FULL", under("shown", handOthers)},
		{"P8.alone", "the same while nobody else counts", "WAL, FULL", under("shown", 0)},
		{"P8.stall", "stalls of the page above 50 ms (the longest: p99), 4× slower, 300 remote events/s", "WAL, FULL", under("stalls", handOthers)},
		{"P8.start", "offline cold start to a count that is shown", "WAL, FULL", handStart},
	}
}

// watchPads notes, in ms: from each touch to the frame that answers it, from
// each touch to the own number that counts it, and tasks above 50 ms. A frame
// without an answer is a minute long, so that it can not be missed.
const watchPads = `(() => {
	window.looks = []; window.shown = []; window.stalls = [];
	const waits = [];
	const number = () => Number(document.querySelector(".own .figure").textContent.replace(/\D/g, ""));
	let next = number() + 1;
	addEventListener("pointerdown", (e) => {
		waits.push(e.timeStamp);
		requestAnimationFrame(() => window.looks.push(document.querySelector(".pad.down") ? performance.now() - e.timeStamp : 60000));
	}, true);
	new MutationObserver(() => {
		for (const now = number(); next <= now && waits.length > 0; next++) window.shown.push(performance.now() - waits.shift());
	}).observe(document.querySelector(".own"), { subtree: true, childList: true, characterData: true });
	new PerformanceObserver((list) => window.stalls.push(...list.getEntries().map((e) => e.duration))).observe({ type: "longtask" });
	return true;
})()`

// hand taps a pad with two fingers while a crowd counts, and reads what the page noted.
func hand(dir string, d time.Duration, read string, crowd int) (f figures, err error) {
	r, _, p, end, err := station(dir)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, end()) }()
	others, err := joinOthers(r, crowd)
	if err != nil {
		return figures{}, err
	}
	x, y, err := p.Middle(".four-up .pad", 1)
	if err != nil {
		return figures{}, err
	}
	if _, err := browser.Eval[bool](p, watchPads); err != nil {
		return figures{}, err
	}
	if err := p.Slow(handSlower); err != nil {
		return figures{}, err
	}
	stop, failed := make(chan struct{}), make(chan error, 1)
	go func() { failed <- countAtPace(others, stop) }()
	noted, err := tapAndRead(p, handLoads*d, x, y, read)
	if err == nil && read != "stalls" {
		f.Limit, err = bareHand(p, d, read)
	}
	close(stop)
	if err = errors.Join(err, <-failed); err != nil {
		return figures{}, err
	}
	limit := f.Limit
	f = noteTimes(noted)
	f.Limit = limit
	if read == "shown" {
		f.P99 = millis(percentile(durations(noted), 95)) // its bar is one
	}
	return f, nil
}

// tapAndRead taps for a while and reads what the page noted of it.
func tapAndRead(p *browser.Page, d time.Duration, x, y float64, read string) ([]float64, error) {
	taps, err := tapFingers(p, d, x, y)
	if err != nil {
		return nil, err
	}
	if err := p.Until(fmt.Sprintf("window.shown.length === %d && window.looks.length === %d", taps, taps)); err != nil {
		return nil, err
	}
	return browser.Eval[[]float64](p, "window."+read)
}

// bare is the least page that answers a finger: a pad, a number, and a worker
// that counts in between. It keeps nothing and knows of no room.
const bare = `<!doctype html><meta name="viewport" content="width=device-width"><style>.pad { width: 160px; height: 160px; background: #155; touch-action: none }
.pad.down { background: #033 }</style><p class="own"><span class="figure">0</span></p><div class="four-up"><button class="pad"></button><button class="pad"></button></div><script>
const worker = new Worker(URL.createObjectURL(new Blob(["let n = 0; onmessage = () => postMessage(++n)"])));
worker.onmessage = ({ data }) => document.querySelector(".figure").textContent = data;
for (const pad of document.querySelectorAll(".pad")) {
	pad.onpointerdown = () => (pad.classList.add("down"), worker.postMessage(0));
	pad.onpointerup = pad.onpointercancel = () => pad.classList.remove("down");
}
</script>`

// bareHand is the median of the same fingers on the least page, at the same pace
// on the same machine, whose other work goes on.
func bareHand(p *browser.Page, d time.Duration, read string) (float64, error) {
	if err := p.Open("data:text/html," + url.PathEscape(bare)); err != nil {
		return 0, err
	}
	x, y, err := p.Middle(".four-up .pad", 1)
	if err != nil {
		return 0, err
	}
	if _, err := browser.Eval[bool](p, watchPads); err != nil {
		return 0, err
	}
	noted, err := tapAndRead(p, d, x, y, read)
	return noteTimes(noted).P50, err
}

func noteTimes(ms []float64) figures { return timed(durations(ms)) }

func durations(ms []float64) []time.Duration {
	var times []time.Duration
	for _, one := range ms {
		times = append(times, time.Duration(one*float64(time.Millisecond)))
	}
	return times
}

// station is a planned session, and a browser's phone that sorts in it and
// reaches it through a gate.
func station(dir string) (r *rig.Rig, g *rig.Gate, p *browser.Page, end func() error, err error) {
	if r, err = rig.Start(dir); err != nil {
		return nil, nil, nil, nil, err
	}
	if g, err = rig.NewGate(r.Serving.Addr); err != nil {
		return nil, nil, nil, nil, errors.Join(err, r.Close())
	}
	b, err := browser.Start()
	if err != nil {
		return nil, nil, nil, nil, errors.Join(err, g.Close(), r.Close())
	}
	end = func() error { return errors.Join(b.Close(), g.Close(), r.Close()) }
	if p, err = b.Device(390, 844, false); err == nil {
		err = errors.Join(r.Open("bench", handBudget), r.JoinPage(p, g.URL(), "Cedar", "sorting"))
	}
	if err != nil {
		return nil, nil, nil, nil, errors.Join(err, end())
	}
	return r, g, p, end, nil
}

func joinOthers(r *rig.Rig, n int) ([]*practice.Phone, error) {
	var others []*practice.Phone
	for i := range n {
		other, err := r.Join(fmt.Sprintf("phone-%d", i), event.Sorting)
		if err != nil {
			return nil, err
		}
		others = append(others, other)
	}
	return others, nil
}

// countAtPace has phones count in turn until stop.
func countAtPace(phones []*practice.Phone, stop <-chan struct{}) error {
	tick := time.NewTicker(handPace)
	defer tick.Stop()
	for n := 0; ; n++ {
		select {
		case <-stop:
			return nil
		case <-tick.C:
			if len(phones) == 0 {
				continue
			}
			if _, err := phones[n%len(phones)].Tap(&event.Sorted{Size: event.Size(n%4 + 1), N: 1}, false); err != nil {
				return err
			}
		}
	}
}

// tapFingers taps with two fingers in turn, and says how often.
func tapFingers(p *browser.Page, d time.Duration, x, y float64) (int, error) {
	fingers := []browser.Finger{{ID: 0, X: x - handPadSize, Y: y}, {ID: 1, X: x + handPadSize, Y: y}}
	tick := time.NewTicker(handEvery) // a machine that is busy taps later, not faster
	defer tick.Stop()
	n := 0
	for end := time.Now().Add(d); time.Now().Before(end); n++ {
		<-tick.C
		if err := errors.Join(p.Touch(time.Now(), fingers[n%2]), p.Touch(time.Now())); err != nil {
			return n, err
		}
	}
	return n, nil
}

// handStart opens the app again without a network, and counts as soon as there
// is a pad.
func handStart(dir string) (f figures, err error) {
	_, g, p, end, err := station(dir)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, end()) }()
	if err := p.Until("navigator.serviceWorker?.controller"); err != nil {
		return figures{}, err
	}
	if err := p.Before(`new MutationObserver(() => {
		const pad = document.querySelector(".four-up .pad"), number = document.querySelector(".own .figure");
		if (pad && !window.counts) { window.counts = true; window.was = number.textContent; pad.click(); }
		else if (window.counts && !window.started && number?.textContent !== window.was) window.started = performance.now();
	}).observe(document, { subtree: true, childList: true, characterData: true })`); err != nil {
		return figures{}, err
	}
	g.Shut()
	var times []float64
	for range handStarts {
		if err := errors.Join(p.Open("about:blank"), p.Open(g.URL()), p.Until("window.started > 0")); err != nil {
			return figures{}, err
		}
		ms, err := browser.Eval[float64](p, "window.started")
		if err != nil {
			return figures{}, err
		}
		times = append(times, ms)
	}
	return noteTimes(times), nil
}
