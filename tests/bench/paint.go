package main

import (
	"errors"
	"fmt"
	"net/url"
	"slices"
	"time"

	"rootledger/pwa/assets"
	"rootledger/server/practice"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

const (
	paintSlower = 4                      // the wall's thread, as on a small box behind a screen
	paintEvery  = 300 * time.Millisecond // between two counts: each is shown at once, in a frame of its own
)

// paintMeasurements are what a count costs the page of a wall. They need
// Chromium and the built app, and are left out without them.
func paintMeasurements(s settings) []measurement {
	if _, err := assets.Files.ReadFile("app/index.html"); err != nil || browser.Find() == "" {
		return nil
	}
	of := func(samples func([]browser.Moment) []time.Duration) func(string) (figures, error) {
		return func(dir string) (figures, error) { return paint(dir, s.load, samples) }
	}
	return []measurement{
		{"wall.change", "a remote count on a full wall: script, style, layout and paint of its frame (worked, not waited), page 4× slower", "WAL, FULL", of(worked)},
		{"wall.paint", "of that the style, layout and paint", "WAL, FULL", of(painted)},
	}
}

// markChanges marks in a trace when a figure or a picture of the page became
// another one. Its clock is none of them.
const markChanges = `(() => {
	const other = (m) => m.type === "characterData" ? m.oldValue !== m.target.data : m.type !== "attributes" || m.oldValue !== m.target.getAttribute(m.attributeName);
	const clock = (m) => (m.target.nodeType === 1 ? m.target : m.target.parentElement)?.closest(".w-stamp");
	new MutationObserver((list) => {
		if (list.some((m) => other(m) && !clock(m))) performance.mark("` + changed + `");
	}).observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true, characterDataOldValue: true, attributeOldValue: true });
	return true;
})()`

const changed = "bench-changed"

// traceOf is what a trace must hold: tasks, what they are about, and our marks.
var traceOf = []string{"devtools.timeline", "disabled-by-default-devtools.timeline", "blink.user_timing"}

func paint(dir string, d time.Duration, of func([]browser.Moment) []time.Duration) (f figures, err error) {
	r, err := rig.Start(dir)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	phones, err := fullDay(r)
	if err != nil {
		return figures{}, err
	}
	wall, end, err := wallPage(r.URL(), `document.querySelector(".w-alarm") && document.querySelector(".flow") && document.querySelector(".w-sizes")`)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, end()) }()
	samples, err := framesOf(wall, func() error { return countOn(r, phones, d) }, of)
	if err != nil {
		return figures{}, err
	}
	limit, err := leastFrame(wall, d, of)
	f = timed(samples)
	f.Limit = limit
	return f, err
}

// countOn counts at every station in turn.
func countOn(r *rig.Rig, phones []*practice.Phone, d time.Duration) error {
	hands := dayHands(r)
	for n, end := 0, time.Now().Add(d); time.Now().Before(end); n++ {
		if _, err := phones[n%len(phones)].Tap(hands[n%len(phones)].fact(n), false); err != nil {
			return err
		}
		time.Sleep(paintEvery)
	}
	return nil
}

// framesOf is how long the slowed page worked for each change that it showed
// meanwhile.
func framesOf(p *browser.Page, meanwhile func() error, of func([]browser.Moment) []time.Duration) ([]time.Duration, error) {
	if _, err := browser.Eval[bool](p, markChanges); err != nil {
		return nil, err
	}
	if err := p.Slow(paintSlower); err != nil {
		return nil, err
	}
	time.Sleep(time.Second) // what the page does at its start is over
	end, err := p.Trace(traceOf...)
	if err != nil {
		return nil, err
	}
	err = meanwhile()
	moments, failed := end()
	if err = errors.Join(err, failed, p.Slow(1)); err != nil {
		return nil, err
	}
	samples := of(moments)
	if len(samples) == 0 {
		return nil, fmt.Errorf("bench: no change in a trace of %d moments", len(moments))
	}
	return samples, nil
}

// worked adds up, for each change, its task and the next one that committed a
// frame: what the thread worked, for it waits for a core that others have too.
func worked(moments []browser.Moment) (samples []time.Duration) {
	var task browser.Moment // that runs
	var sum time.Duration
	process, thread := pageThread(moments)
	pending, last := false, time.Duration(-1)
	for _, m := range moments {
		if m.Process != process || m.Thread != thread {
			continue
		}
		switch m.Name {
		case "RunTask":
			task = m
		case changed:
			if task.At != last {
				pending, sum, last = true, sum+task.Work, task.At
			}
		case "Commit":
			if pending {
				if task.At != last { // else it changed the page while it drew
					sum += task.Work
				}
				samples = append(samples, sum)
				pending, sum = false, 0
			}
		}
	}
	return samples
}

// steps are what a frame is made of once scripts have changed the page.
var steps = []string{"UpdateLayoutTree", "Layout", "PrePaint", "Paint", "Layerize", "Commit"}

// painted adds up, for each change, the steps of its frame from the commit before
// to its own, wherever a script had them taken. Those within another are a part of it.
func painted(moments []browser.Moment) (samples []time.Duration) {
	var sum, until time.Duration
	process, thread := pageThread(moments)
	pending := false
	for _, m := range moments {
		if m.Process != process || m.Thread != thread {
			continue
		}
		if slices.Contains(steps, m.Name) && m.At >= until {
			sum, until = sum+m.Work, m.At+m.For
		}
		switch m.Name {
		case changed:
			pending = true
		case "Commit":
			if pending {
				samples = append(samples, sum)
			}
			sum, pending = 0, false
		}
	}
	return samples
}

// pageThread is where the page was changed.
func pageThread(moments []browser.Moment) (process, thread int) {
	for _, m := range moments {
		if m.Name == changed {
			return m.Process, m.Thread
		}
	}
	return 0, 0
}

// leastFrame is the median for a page that holds one number, changed at the same pace.
func leastFrame(p *browser.Page, d time.Duration, of func([]browser.Moment) []time.Duration) (float64, error) {
	const least = `<!doctype html><p>0</p><script>setInterval(() => document.querySelector("p").firstChild.data++, %d)</script>`
	if err := p.Open("data:text/html," + url.PathEscape(fmt.Sprintf(least, paintEvery.Milliseconds()))); err != nil {
		return 0, err
	}
	samples, err := framesOf(p, func() error { time.Sleep(d); return nil }, of)
	return millis(percentile(samples, 50)), err
}
