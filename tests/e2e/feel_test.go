package e2e

import (
	"testing"
	"time"

	"rootledger/tests/e2e/browser"
)

// feels writes down what a page asks the phone for: sounds by their length in
// ms, short vibrations, and a screen that stays on.
const feels = `
	window.sounds = []; window.shakes = []; window.wakes = 0;
	const start = AudioBufferSourceNode.prototype.start;
	AudioBufferSourceNode.prototype.start = function (...at) { window.sounds.push(Math.round(1000 * this.buffer.duration)); window.sounding = this.context; return start.apply(this, at); };
	navigator.vibrate = (ms) => window.shakes.push(ms);
	if (navigator.wakeLock) {
		const lock = () => Object.assign(new EventTarget(), { release() { this.dispatchEvent(new Event("release")); return Promise.resolve(); } });
		navigator.wakeLock.request = () => { window.wakes++; window.lock = lock(); return Promise.resolve(window.lock); };
	}`

// A pad answers with a knock once sound is asked for, longer for the fifth of
// five, and again after something else took the sound away. A bounce is silent.
func TestPadsSound(t *testing.T) {
	r := opened(t, 400)
	p := device(t)
	ok(t, p.Before(feels))
	ok(t, r.JoinPage(p, r.URL(), "Cedar", "sorting"))
	x, y, err := p.Middle(".four-up .pad", 0)
	ok(t, err)
	at := time.Now()
	tap := func(laterMs int) {
		t.Helper()
		at = at.Add(time.Duration(laterMs) * time.Millisecond)
		ok(t, p.Touch(at, browser.Finger{ID: 1, X: x, Y: y}))
		at = at.Add(50 * time.Millisecond)
		ok(t, p.Touch(at))
	}
	tap(500)
	says(t, p, tally, "1")
	ok(t, p.Until(`sounds.length === 0 && shakes.join() === "10"`)) // silent until asked
	settings(t, p)
	ok(t, p.Press(".switches input", 0))
	ok(t, p.Until(`sounds.join() === "30"`)) // how it sounds
	ok(t, p.Press(".switches input", 1))     // no vibration
	away(t, p)
	at = time.Now()
	for range 4 {
		tap(500)
	}
	ok(t, p.Until(`sounds.join() === "30,30,30,30,60" && shakes.length === 1`))
	tap(20) // a bounce
	ok(t, p.Until(`document.querySelector(".held")`))
	ok(t, p.Until(`sounds.length === 5`))
	_, err = browser.Eval[bool](p, `sounding.suspend().then(() => true)`) // as a call does
	ok(t, err)
	ok(t, p.Until(`sounding.state === "running"`))
	tap(500)
	ok(t, p.Until(`sounds.length === 6`))
}

// A station asks that the screen stays on, asks again when the page is back,
// and says where a phone has nothing to ask.
func TestScreenStaysOn(t *testing.T) {
	r := opened(t, 400)
	p := device(t)
	ok(t, p.Before(feels))
	ok(t, r.JoinPage(p, r.URL(), "Cedar", "sorting"))
	ok(t, p.Until(`wakes === 1`))
	settings(t, p)
	says(t, p, ".inside > p:last-child", said("set.wakeOn"))
	ok(t, p.Inject(`window.lock.release()`)) // as when the page goes away
	ok(t, p.Inject(`document.dispatchEvent(new Event("visibilitychange"))`))
	ok(t, p.Until(`wakes === 2`))

	desk := device(t)
	ok(t, desk.Before(feels+`
		navigator.wakeLock.request = () => new Promise((got) => { window.wakes++; window.grant = got; });`))
	ok(t, r.JoinPage(desk, r.URL(), "Rowan", "desk"))
	ok(t, desk.Until(`wakes === 1`))
	ok(t, desk.Inject(`for (let i = 0; i < 3; i++) document.dispatchEvent(new Event("pointerup"))`)) // while it is asked for
	ok(t, desk.Do("This phone"))
	ok(t, desk.Holds("dialog[open] .o-hold:enabled", `document.querySelector(".join")`))
	ok(t, desk.Inject(`grant(Object.assign(new EventTarget(), { release() { window.released = true; return Promise.resolve(); } }))`))
	ok(t, desk.Until(`wakes === 1 && released`))

	low := device(t) // a battery that is low: the phone refuses, and fast fingers do not ask it each time
	ok(t, low.Before(feels+`
		navigator.wakeLock.request = () => { window.wakes++; return Promise.reject(new Error("no")); };`))
	ok(t, r.JoinPage(low, r.URL(), "Birch", "sorting"))
	taps(t, low, ".four-up .pad:nth-child(1)", 5)
	says(t, low, tally, "5")
	asked, err := browser.Eval[int](low, `wakes`)
	ok(t, err)
	if asked != 2 { // some browsers refuse a page, and grant it to a touch
		t.Errorf("a phone that refuses to stay on was asked %d times, want once by the page and once by its first touch", asked)
	}
	ok(t, low.Inject(`{ const now = performance.now(); performance.now = () => now + 31_000; }`))
	ok(t, low.Inject(`document.dispatchEvent(new Event("pointerup"))`))
	ok(t, low.Until(`wakes === 3`))

	none := device(t)
	ok(t, none.Before(`delete Navigator.prototype.wakeLock`))
	ok(t, r.JoinPage(none, r.URL(), "Alder", "sorting"))
	settings(t, none)
	says(t, none, ".inside > p:last-child", said("set.wakeNone"))
}
