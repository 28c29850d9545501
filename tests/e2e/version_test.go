package e2e

import (
	"fmt"
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// updated is an address of the server which, once told so, serves another build.
func updated(t *testing.T, r *rig.Rig, script string) (address string, update func()) {
	t.Helper()
	server, start, err := rig.Updated(r.URL(), t.TempDir(), script)
	ok(t, err)
	t.Cleanup(server.CloseClientConnections)
	return server.URL, func() { t.Helper(); ok(t, start()) }
}

const (
	aNewOneWaits = `navigator.serviceWorker.getRegistration().then((r) => r.waiting !== null)`
	isNew        = `document.documentElement.dataset.build === "` + rig.Another + `"`
)

// looks has a page look for a new version, as it does when it is seen again.
func looks(t *testing.T, p *browser.Page) {
	t.Helper()
	_, err := browser.Eval[bool](p, `navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => document.dispatchEvent(new Event("visibilitychange")))`)
	ok(t, err)
}

// stays wants a page to be of the build that it was.
func stays(t *testing.T, p *browser.Page, why string) {
	t.Helper()
	if changed, err := browser.Eval[bool](p, isNew); err != nil || changed {
		t.Errorf("the page changed %s (%v)", why, err)
	}
}

// A new version waits while a session runs: the phone counts on with the one that
// it has, says so in its menu, and takes it when it is told to; not while that
// would lose counts. A wall without a session takes it by itself.
func TestANewVersionWaits(t *testing.T) {
	r := opened(t, 400)
	address, update := updated(t, r, `{ const put = IDBObjectStore.prototype.put; let full = false;
		new BroadcastChannel("disk").onmessage = ({ data }) => { full = data === "full"; };
		IDBObjectStore.prototype.put = function (...a) {
			if (full && this.name === "counts") throw new DOMException("full", "QuotaExceededError");
			return put.apply(this, a);
		}; }`)
	disk := func(p *browser.Page, is string) {
		ok(t, p.Inject(fmt.Sprintf(`new BroadcastChannel("disk").postMessage(%q)`, is)))
	}
	p := joins(t, keeping(t, 390, 844), r, address, "Cedar", "sorting")
	wall := keeping(t, 390, 844)
	ok(t, wall.Open(address+"/wall/9")) // nothing runs there
	for _, page := range []*browser.Page{p, wall} {
		ok(t, page.Until(`navigator.serviceWorker.controller !== null`))
	}
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 3)
	says(t, p, truth, "all 3 in the room")

	update()
	looks(t, p)
	looks(t, wall)
	ok(t, wall.Until(isNew))
	ok(t, p.Until(aNewOneWaits))
	disk(p, "full")
	taps(t, p, pad, 2)
	says(t, p, tally, "5")
	says(t, p, truth, "in memory only: 2")
	menu(t, p)
	ok(t, p.Until(fmt.Sprintf(`document.querySelector("dialog[open]").innerText.includes(%q)`, said("version.memory"))))
	if offered, err := browser.Eval[bool](p, fmt.Sprintf(`document.querySelector("dialog[open]").innerText.includes(%q)`, said("version.take"))); err != nil || offered {
		t.Errorf("a page with counts in memory only offers to begin anew (%v)", err)
	}
	ok(t, p.Do(said("page.close")))
	disk(p, "has room")
	taps(t, p, pad, 1)
	says(t, p, truth, "all 6 in the room")
	stays(t, p, "while a session runs")
	menu(t, p)
	within(t, p, said("version.take"))
	ok(t, p.Until(isNew))
	says(t, p, tally, "6")
	taps(t, p, pad, 1)
	says(t, p, truth, "all 7 in the room")
}

// Whoever joined while the version was being taken counts on with the one before.
func TestAJoinWhileAVersionIsTaken(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	address, update := updated(t, r, "")
	p := keeping(t, 390, 844)
	ok(t, p.Before(`{ const post = ServiceWorker.prototype.postMessage;
		ServiceWorker.prototype.postMessage = function (m) { window.take = () => post.call(this, m); }; }`))
	ok(t, p.Open(address+"/"))
	ok(t, p.Until(`navigator.serviceWorker.controller !== null && document.querySelector(".join form")`))
	update()
	looks(t, p)
	ok(t, p.Until(`window.take`))
	room, err := r.API.Room(r.Ctx, r.Room)
	ok(t, err)
	ok(t, p.Type(".form .code", room.Code))
	ok(t, p.Type(`input[autocomplete="nickname"]`, "Ash"))
	ok(t, p.Click(".stations label:nth-child(2)"))
	ok(t, p.Click(".form button.first"))
	taps(t, p, ".four-up .pad:nth-child(1)", 2)
	ok(t, p.Inject(`window.change = 0; navigator.serviceWorker.addEventListener("controllerchange", () => setTimeout(() => window.change++)); window.take()`))
	ok(t, p.Until(`window.change === 1`))
	stays(t, p, "once its session runs")
	says(t, p, tally, "2")
}

// Over an update a page that counts goes on with its own parts, also those that
// it had not loaded: with a service worker even without the network, and else
// from the server. Other pages of its phone that are at rest wait for it, and
// when its session has ended it takes the new version.
func TestAPageOpenOverAnUpdate(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	address, update := updated(t, r, ender)
	g := gate(t, address[len("http://"):])
	p := joins(t, keeping(t, 390, 844), r, g.URL(), "Cedar", "sorting")
	ok(t, p.Until(`navigator.serviceWorker.controller !== null`))
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 3)
	says(t, p, truth, "all 3 in the room")
	plain := keeping(t, 390, 844)
	ok(t, plain.Before(rig.PlainAddress))
	ok(t, r.JoinPage(plain, g.URL(), "Ash", "sorting"))
	rest := map[string]*browser.Page{"/figures": nil, "/": nil}
	for at := range rest {
		tab, err := p.Tab(390, 844)
		ok(t, err)
		t.Cleanup(tab.Close)
		ok(t, tab.Open(g.URL()+at))
		ok(t, tab.Until(`document.querySelector("h1")?.innerText.length > 0`))
		rest[at] = tab
	}
	says(t, rest["/"], "h1", said("page.elsewhere"))

	update()
	looks(t, p)
	for _, tab := range rest {
		looks(t, tab)
	}
	ok(t, p.Until(aNewOneWaits))
	for at, tab := range rest {
		looks(t, tab)
		stays(t, tab, "while another one counts: "+at)
	}
	ok(t, p.Until(aNewOneWaits))
	_, err := browser.Eval[bool](rest["/figures"], `navigator.serviceWorker.getRegistration().then((r) => (r.waiting.postMessage({ take: true }), true))`)
	ok(t, err)
	for _, tab := range rest {
		ok(t, tab.Until(isNew))
	}
	practises := func(p *browser.Page) { // a part that it did not load before, and with it another worker
		t.Helper()
		ok(t, p.Inject(`history.pushState(null, "", "/practice"); dispatchEvent(new PopStateEvent("popstate"))`))
		says(t, p, "h1", said("practice.pick"))
		ok(t, p.Do(said("practice.leave")))
	}
	practises(plain)
	g.Shut()
	practises(p)
	ok(t, p.Inject(`{ const W = Worker; window.Worker = function (at) { window.replaced = true; return new W(at); }; }
		new BroadcastChannel("ender").postMessage("close")`))
	ok(t, p.Until(`window.replaced`))
	taps(t, p, pad, 2)
	says(t, p, tally, "5")
	stays(t, p, "while a session runs")
	g.Open()
	says(t, p, truth, "all 5 in the room")
	ok(t, r.Do(r.Office, &event.Ended{}))
	ok(t, p.Until(isNew))
}

// The service worker may take its first page over before that page listens: the
// version that is taken later is another one all the same.
func TestAVersionTakenWhereTheFirstCameEarly(t *testing.T) {
	r := opened(t, 400)
	address, update := updated(t, r, "")
	p := keeping(t, 390, 844)
	ok(t, p.Before(`{ const late = navigator.serviceWorker.ready.then((r) => new Promise((done) => setTimeout(done, 1500, r)));
		Object.defineProperty(navigator.serviceWorker, "ready", { get: () => late }); }`))
	ok(t, r.JoinPage(p, address, "Cedar", "sorting"))
	ok(t, p.Until(`navigator.serviceWorker.controller !== null`))
	ok(t, p.Until(`navigator.serviceWorker.ready`))
	update()
	looks(t, p)
	ok(t, p.Until(aNewOneWaits))
	menu(t, p)
	within(t, p, said("version.take"))
	ok(t, p.Until(isNew))
}
