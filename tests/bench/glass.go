package main

import (
	"errors"
	"fmt"
	"time"

	"rootledger/pwa/assets"
	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

const (
	glassPhones = 12
	glassPace   = time.Second / 60 // 12 phones × 5 taps/s
	glassBudget = 3999             // still to take after the first tap of ourRoom's plan
)

// glassMeasurements are taps until a real browser's wall has changed its page
// (not painted it): socket, engine in WebAssembly, sections and DOM. They need
// Chromium and the built app, and are left out without them.
func glassMeasurements(s settings) []measurement {
	if _, err := assets.Files.ReadFile("app/index.html"); err != nil || browser.Find() == "" {
		return nil
	}
	return []measurement{{"P1.glass", "tap to a browser wall's page, 12 phones × 5 taps/s", "WAL, FULL",
		func(dir string) (figures, error) { return glass(dir, s.load) }}}
}

// watchHead notes when the wall's headline shows which number, in ms since 1970.
const watchHead = `(() => {
	window.seen = [];
	const look = () => {
		const n = Number(document.querySelector("h1")?.textContent.replace(/\D/g, ""));
		if (n !== window.seen.at(-1)?.[0]) window.seen.push([n, performance.timeOrigin + performance.now()]);
	};
	new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
	look();
	return true;
})()`

func glass(dir string, d time.Duration) (f figures, err error) {
	r, err := newRoom(dir)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, r.end()) }()
	// a wall shows how to join until something was counted
	if _, err := r.office.Tap(&event.Attempt{Pass: r.pass, Outcome: event.Intact, N: 1}, false); err != nil {
		return figures{}, err
	}
	b, err := browser.Start()
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, b.Close()) }()
	wall, err := b.Device(1920, 1080, false)
	if err != nil {
		return figures{}, err
	}
	if err := errors.Join(wall.Open("http://"+r.serving.Addr+"/wall/1"), wall.Until(fmt.Sprintf(`document.querySelector("h1")?.textContent.replace(/\D/g, "") === "%d"`, glassBudget))); err != nil {
		return figures{}, err
	}
	if _, err := browser.Eval[bool](wall, watchHead); err != nil {
		return figures{}, err
	}
	tapped, err := tapAtPace(r, d)
	if err != nil {
		return figures{}, err
	}
	if err := wall.Until(fmt.Sprintf(`window.seen.at(-1)[0] <= %d`, glassBudget-len(tapped))); err != nil {
		return figures{}, err
	}
	seen, err := browser.Eval[[][2]float64](wall, "window.seen")
	if err != nil {
		return figures{}, err
	}
	return timed(untilSeen(tapped, seen)), nil
}

// tapAtPace taps one attempt after the other, phone by phone, each at its time,
// and returns when each was tapped.
func tapAtPace(r *ourRoom, d time.Duration) ([]time.Time, error) {
	var phones []*tapping
	for i := range glassPhones {
		p, err := r.Phone(i)
		if err != nil {
			return nil, err
		}
		phones = append(phones, p.(*tapping))
	}
	var tapped []time.Time
	for next, end := time.Now(), time.Now().Add(d); next.Before(end); next = next.Add(glassPace) {
		time.Sleep(time.Until(next))
		tapped = append(tapped, time.Now())
		if _, err := phones[len(tapped)%glassPhones].phone.Tap(&event.Attempt{Pass: r.pass, Outcome: event.Intact, N: 1}, false); err != nil {
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
