package main

import (
	"errors"
	"fmt"
	"time"

	"rootledger/pwa/assets"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

const glassBudget = 3999 // still to take after the first tap of ourRoom's plan

// glassPaces are a crowd, and one who taps now and then. A wall shows what a
// crowd counts five times a second (pwa/worker/inbox.ts), and a single count at once.
var glassPaces = []pace{{"12x5", 12, 5}, {"1x2", 1, 2}}

// glassMeasurements are taps until a real browser's wall has them: socket, engine
// in WebAssembly, sections, DOM, and then the frame in which it is painted. They
// need Chromium and the built app, and are left out without them.
func glassMeasurements(s settings) []measurement {
	if _, err := assets.Files.ReadFile("app/index.html"); err != nil || browser.Find() == "" {
		return nil
	}
	until := func(when string, p pace) func(string) (figures, error) {
		return func(dir string) (figures, error) { return glass(dir, s.load, when, p) }
	}
	all := []measurement{{"P1.glass", "tap to a browser wall's page, 12 phones × 5 taps/s", "WAL, FULL", until("seen", glassPaces[0])}}
	for _, p := range glassPaces {
		what := fmt.Sprintf("tap to the frame of a browser wall that shows it, %d phones × %g taps/s", p.phones, p.perSecond)
		all = append(all, measurement{"P1.frame." + p.name, what, "WAL, FULL", until("begun", p)})
	}
	return all
}

// watchHead notes when the wall's headline said which number, and when the frame
// after that began, in ms since 1970.
const watchHead = `(() => {
	window.seen = []; window.begun = [];
	const now = () => performance.timeOrigin + performance.now();
	const look = () => {
		const n = Number(document.querySelector("h1")?.textContent.replace(/\D/g, ""));
		if (n === window.seen.at(-1)?.[0]) return;
		window.seen.push([n, now()]);
		requestAnimationFrame(() => window.begun.push([n, now()]));
	};
	new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
	look();
	return true;
})()`

// wallPage is the wall of room 1 in a browser of its own, once it shows what ready says.
func wallPage(base, ready string) (wall *browser.Page, end func() error, err error) {
	b, err := browser.Start()
	if err != nil {
		return nil, nil, err
	}
	if wall, err = b.Device(1920, 1080, false); err == nil {
		err = errors.Join(wall.Open(base+"/wall/1"), wall.Until(ready))
	}
	if err != nil {
		return nil, nil, errors.Join(err, b.Close())
	}
	return wall, b.Close, nil
}

func glass(dir string, d time.Duration, when string, at pace) (f figures, err error) {
	best, err := tapLimit(dir, at)
	if err != nil {
		return figures{}, err
	}
	r, err := newRoom(dir)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, r.end()) }()
	// a wall shows how to join until something was counted
	if _, err := r.office.Tap(&event.Attempt{Pass: r.pass, Outcome: event.Intact, N: 1}, false); err != nil {
		return figures{}, err
	}
	wall, end, err := wallPage("http://"+r.serving.Addr, fmt.Sprintf(`document.querySelector("h1")?.textContent.replace(/\D/g, "") === "%d"`, glassBudget))
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, end()) }()
	if _, err := browser.Eval[bool](wall, watchHead); err != nil {
		return figures{}, err
	}
	tapped, err := tapAtPace(r, d, at)
	if err != nil {
		return figures{}, err
	}
	if err := wall.Until(fmt.Sprintf(`window.%s.at(-1)[0] <= %d`, when, glassBudget-len(tapped))); err != nil {
		return figures{}, err
	}
	seen, err := browser.Eval[[][2]float64](wall, "window."+when)
	if err != nil {
		return figures{}, err
	}
	f = timed(untilSeen(tapped, seen))
	f.Limit = best
	return f, nil
}

// tapAtPace taps one attempt after the other, phone by phone, each at its time,
// and returns when each was tapped.
func tapAtPace(r *ourRoom, d time.Duration, at pace) ([]time.Time, error) {
	var phones []*tapping
	for i := range at.phones {
		p, err := r.Phone(i)
		if err != nil {
			return nil, err
		}
		phones = append(phones, p.(*tapping))
	}
	var tapped []time.Time
	every := time.Duration(float64(time.Second) / (float64(at.phones) * at.perSecond))
	for next, end := time.Now(), time.Now().Add(d); next.Before(end); next = next.Add(every) {
		time.Sleep(time.Until(next))
		tapped = append(tapped, time.Now())
		if _, err := phones[len(tapped)%at.phones].phone.Tap(&event.Attempt{Pass: r.pass, Outcome: event.Intact, N: 1}, false); err != nil {
			return nil, err
		}
	}
	return tapped, nil
}

// untilSeen is from each tap to the first headline that counts it: the nth tap
// leaves the budget less n to take.
func untilSeen(tapped []time.Time, seen [][2]float64) []time.Duration {
	var out []time.Duration
	at := 0
	for n, t := range tapped {
		for at < len(seen) && int(seen[at][0]) > glassBudget-(n+1) {
			at++
		}
		if at < len(seen) {
			out = append(out, time.UnixMicro(int64(seen[at][1]*1000)).Sub(t))
		}
	}
	return out
}
