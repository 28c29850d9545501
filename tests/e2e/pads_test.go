package e2e

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/evanw/esbuild/pkg/api"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
)

// touch is one contact of a finger or key with a pad: where, and from when to
// when, in ms.
type touch struct {
	Finger   any
	X        float64
	From, To float64
}

// The guard against bounces, held to touches of every kind. Gaps and places of
// hands are common practice, no source.
func TestBounceGuard(t *testing.T) {
	built := api.Build(api.BuildOptions{EntryPoints: []string{"../../pwa/ui/parts/bounce.ts"}, Bundle: true, Format: api.FormatIIFE, GlobalName: "guard"})
	if len(built.Errors) > 0 {
		t.Fatal(built.Errors)
	}
	p := device(t)
	ok(t, p.Inject(string(built.OutputFiles[0].Contents)))
	const side = 120 // two fingers, 19 mm apart
	one := func(from, to float64) touch { return touch{1, 50, from, to} }
	for _, c := range []struct {
		name    string
		touches []touch
		held    []int // which, and how many ms after the touch before
		after   []int
	}{
		{"one tap", []touch{one(0, 70)}, nil, nil},
		{"one finger, seven a second", []touch{one(0, 70), one(143, 213), one(286, 356)}, nil, nil},
		{"glove that chatters as it lifts", []touch{one(0, 180), {2, 58, 210, 230}}, []int{1}, []int{30}},
		{"a train of chatter is one count", []touch{one(0, 80), {2, 52, 100, 110}, {3, 54, 130, 140}, {4, 50, 160, 170}}, []int{1, 2, 3}, []int{20, 20, 20}},
		{"glove that skids as it lands", []touch{one(0, 10), {2, 60, 75, 160}}, []int{1}, []int{65}},
		{"two fingers down at once", []touch{one(0, 90), {2, side, 10, 95}}, nil, nil},
		{"two fingertips side by side at once", []touch{one(0, 90), {2, 50 + 88, 10, 95}}, nil, nil}, // 14 mm
		{"one contact that splits into two", []touch{one(0, 90), {2, 55, 10, 95}}, []int{1}, []int{10}},
		{"a split that ends first, and chatter after both", []touch{one(0, 300), {2, 85, 10, 40}, {3, 52, 330, 350}}, []int{1, 2}, []int{10, 30}},
		{"a finger on one whose lift was never heard", []touch{one(0, 9000), {2, 50, 1200, 1270}}, nil, nil},
		{"another finger 5 ms after the first", []touch{one(0, 60), {2, side, 65, 120}, {1, 50, 166, 226}}, nil, nil},
		{"a finger that stays is no chatter of its neighbour", []touch{one(0, 400), {2, side, 20, 80}, {3, side, 200, 260}}, nil, nil},
		{"a finger that only chatters counts again", []touch{one(0, 80), {2, 50, 100, 140}, {3, 50, 160, 300}, {4, 50, 320, 380}}, []int{1, 2}, []int{20, 20}},
		{"one key, eight a second", []touch{{"Numpad1", 0, 0, 50}, {"Numpad1", 0, 125, 175}}, nil, nil},
		{"a pedal whose contact bounces", []touch{{"KeyB", 0, 0, 200}, {"KeyB", 0, 212, 300}}, []int{1}, []int{12}},
		{"two keys for one pad", []touch{{"Numpad1", 0, 0, 30}, {"Numpad2", 0, 40, 70}}, nil, nil},
	} {
		text, err := json.Marshal(c.touches)
		ok(t, err)
		got, err := browser.Eval[[]int](p, fmt.Sprintf(`{
			const touches = %s, bounce = new guard.Bounce(), after = [];
			const happens = touches.flatMap((t, i) => [[t.From, i, true], [t.To, i, false]]).sort((a, b) => a[0] - b[0]);
			const called = (i) => typeof touches[i].Finger === "string" ? touches[i].Finger : 100 + i; // the glass gives every contact a number of its own
			for (const [at, i, comes] of happens)
				if (comes) after[i] = bounce.press(called(i), touches[i].X, 0, at); else bounce.lift(called(i), at);
			after }`, text))
		ok(t, err)
		want := make([]int, len(c.touches))
		for i, at := range c.held {
			want[at] = c.after[i]
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s: got %v, want %v", c.name, got, want)
		}
	}
}

// Two fingers on one pad, twelve taps a second: every tap is in the room, and
// none was held back. SOAK makes it five minutes.
func TestTwoFingersTwelveASecond(t *testing.T) {
	t.Parallel()
	lasts := 20 * time.Second
	if os.Getenv("SOAK") != "" {
		lasts = 5 * time.Minute
	}
	const every, stays = time.Second / 12, 70 * time.Millisecond
	r := opened(t, 9000)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	x, y, err := p.Middle(".four-up .pad", 1)
	ok(t, err)
	fingers := []browser.Finger{{ID: 0, X: x - 50, Y: y}, {ID: 1, X: x + 50, Y: y}}
	n := int64(lasts / every)
	tick := time.NewTicker(every)
	defer tick.Stop()
	for i := range n {
		at := <-tick.C
		ok(t, p.Touch(at, fingers[i%2]))
		ok(t, p.Touch(at.Add(stays)))
	}
	says(t, p, tally, groups(n))
	says(t, p, truth, fmt.Sprintf("all %s in the room", groups(n)))
	if _, sorted, _ := settled(t, r, exactly(0, n, 0)); sorted != n {
		t.Errorf("the room has %d, want %d", sorted, n)
	}
	held, err := browser.Eval[string](p, `localStorage.getItem("rootledger.held") ?? "nothing"`)
	ok(t, err)
	if held != "nothing" {
		t.Errorf("held back: %s", held)
	}
}

// groups writes a number of at most six digits as screens do.
func groups(n int64) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%d,%03d", n/1000, n%1000)
}

// Two fingers that are down at once are two counts. A bounce is none: it is
// said, survives a reload, and can be counted after all.
func TestBounceIsShownAndCanBeCounted(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	x, y, err := p.Middle(".four-up .pad", 1)
	ok(t, err)
	left, right := browser.Finger{ID: 0, X: x - 40, Y: y}, browser.Finger{ID: 1, X: x + 40, Y: y}
	at := time.Now()
	after := func(ms int) time.Time { return at.Add(time.Duration(ms) * time.Millisecond) }
	ok(t, p.Touch(after(0), left))
	ok(t, p.Touch(after(20), left, right))
	ok(t, p.Touch(after(300)))
	says(t, p, tally, "2")
	ok(t, p.Touch(after(340), browser.Finger{ID: 3, X: x - 35, Y: y + 5}))
	ok(t, p.Touch(after(360)))
	says(t, p, ".held", "held back 1 after 40 ms touched again after 40 ms")
	says(t, p, tally, "2")
	swap := func(was, is string) {
		t.Helper()
		ok(t, p.Inject(fmt.Sprintf(`localStorage.setItem("rootledger.held", localStorage.getItem("rootledger.held").replace(%q, %q))`, was, is)))
		ok(t, p.Reload())
	}
	swap("Cedar", "Alder") // whoever had this phone before
	menu(t, p)
	ok(t, p.Do("held back 1"))
	ok(t, p.Until(`document.querySelector(".heldlist li")?.innerText.includes("Alder") && !document.querySelector(".heldlist button") && !document.querySelector(".held")`))
	swap("Alder", "Cedar")
	says(t, p, ".held", "held back 1 after 40 ms touched again after 40 ms")
	ok(t, p.Do("Count it after all"))
	says(t, p, tally, "3")
	ok(t, p.Until(`!document.querySelector(".held")`))
	if _, sorted, _ := settled(t, r, exactly(0, 3, 0)); sorted != 3 {
		t.Errorf("the room has %d, want 3", sorted)
	}
	menu(t, p)
	ok(t, p.Do(said("set.open"))) // what was counted is not held back any more
}

// What a phone holds back before the room told it of the session's opening is of
// that session.
func TestBounceBeforeTheSessionIsToldOf(t *testing.T) {
	r := opened(t, 400)
	server := spoiled(t, r.URL(), `{
		const Real = WebSocket;
		let told = false;
		new BroadcastChannel("test.network").onmessage = () => { told = true; dispatchEvent(new Event("online")); };
		self.WebSocket = class extends Real { constructor(url, ...a) { super(told ? url : url.replace("/sync", "/nowhere"), ...a); } };
	}`)
	p := joined(t, r, server.URL, "Cedar", "sorting")
	x, y, err := p.Middle(".four-up .pad", 1)
	ok(t, err)
	at := time.Now()
	for i, on := range []browser.Finger{{ID: 0, X: x, Y: y}, {ID: 1, X: x + 5, Y: y}} {
		ok(t, p.Touch(at.Add(time.Duration(300*i)*time.Millisecond), on))
		ok(t, p.Touch(at.Add(time.Duration(260+100*i)*time.Millisecond)))
	}
	says(t, p, tally, "1")
	says(t, p, ".held", "held back 1 after 40 ms touched again after 40 ms")
	says(t, p, ".who .case", "")
	ok(t, p.Inject(`new BroadcastChannel("test.network").postMessage(0)`))
	says(t, p, truth, "all 1 in the room")
	says(t, p, ".who .case", "A-12 · Room 1")
	ok(t, p.Do("Count it after all"))
	says(t, p, tally, "2")
}

// hands press keys of a number pad on a page, a second apart.
type hands struct {
	t  *testing.T
	p  *browser.Page
	at time.Time
}

var two, plus = browser.Key{Code: "Numpad2", Name: "2"}, browser.Key{Code: "NumpadAdd", Name: "+"}

// hit presses a key and holds it until it has repeated some times.
func (h *hands) hit(k browser.Key, repeats int) {
	h.t.Helper()
	h.at = h.at.Add(time.Second)
	ok(h.t, h.p.KeyDown(k, h.at, false))
	for i := range repeats {
		ok(h.t, h.p.KeyDown(k, h.at.Add(time.Duration(500+30*i)*time.Millisecond), true))
	}
	h.at = h.at.Add(900 * time.Millisecond)
	ok(h.t, h.p.KeyUp(k, h.at))
}

// learn has a pad learn a key, in the open sheet.
func (h *hands) learn(pad string, k browser.Key) {
	h.t.Helper()
	ok(h.t, h.p.Do("learn "+pad))
	says(h.t, h.p, ".asks-key h3", "Press the key you want for "+pad)
	h.hit(k, 2)
}

// settings opens those of the phone.
func settings(t *testing.T, p *browser.Page) {
	t.Helper()
	menu(t, p)
	ok(t, p.Do(said("set.open")))
}

// away closes the open sheet.
func away(t *testing.T, p *browser.Page) {
	t.Helper()
	ok(t, p.Do("Close"))
	closed(t, p)
}

// Keys are learned, count once however long they are held, are asked about when
// they count another pad, are held back in a sheet and type in a field. With
// another key they are the browser's, and one that comes again was lifted.
func TestLearnedKeys(t *testing.T) {
	r := opened(t, 400)
	p := joined(t, r, r.URL(), "Cedar", "sorting")
	h := hands{t, p, time.Now()}
	settings(t, p)
	ok(t, p.Do(said("set.keys")))
	h.learn("2 hairs", two)
	says(t, p, ".learn li:nth-child(2) kbd", "2")
	ok(t, p.Do("learn 3 hairs"))
	for _, k := range []browser.Key{{Code: "ShiftLeft", Name: "Shift"}, {Code: "AltRight", Name: "AltGraph"}} {
		h.hit(k, 0)
		says(t, p, ".asks-key .wrong", said("learn.not"))
	}
	ok(t, p.Do(said("learn.stop")))
	h.learn("3 hairs", two)
	says(t, p, ".asks-key h3", "2 counts 2 hairs so far.")
	ok(t, p.Do("Take another key"))
	h.hit(plus, 0)
	says(t, p, ".learn li:nth-child(3) kbd", "+")
	h.hit(two, 3) // in the sheet
	away(t, p)
	says(t, p, tally, "0")
	says(t, p, ".held", "held back 1 sheet open sheet open")
	for range 2 {
		h.hit(two, 12)
		h.hit(plus, 0)
	}
	says(t, p, tally, "4")
	left, err := browser.Eval[bool](p, `["ctrlKey", "altKey", "metaKey"].every((held) => dispatchEvent(new KeyboardEvent("keydown", { code: "Numpad2", key: "2", [held]: true, cancelable: true })))`)
	ok(t, err)
	if !left {
		t.Error("a key that was held with another was kept from the browser")
	}
	h.at = h.at.Add(time.Second)
	ok(t, p.KeyDown(two, h.at, false)) // and its end is not heard
	h.at = h.at.Add(time.Second)       // for longer than a page takes it for held
	h.hit(two, 0)
	says(t, p, tally, "6")
	menu(t, p)
	ok(t, p.Click("dialog[open] .field input"))
	h.hit(two, 0)
	ok(t, p.Do(said("set.open")))
	ok(t, p.Do(said("set.keys")))
	ok(t, p.Do("forget 2 hairs"))
	away(t, p)
	h.hit(two, 0)
	h.hit(plus, 0)
	says(t, p, tally, "7")
	if _, sorted, _ := settled(t, r, exactly(0, 7, 0)); sorted != 7 {
		t.Errorf("the room has %d, want 7", sorted)
	}
}

// What a phone is set to is applied at once, and is there after a reload
// without a network.
func TestSettingsStay(t *testing.T) {
	r := opened(t, 400)
	g := gate(t, r.Serving.Addr)
	p := joins(t, keeping(t, 390, 844), r, g.URL(), "Cedar", "sorting")
	h := hands{t, p, time.Now()}
	settings(t, p)
	for _, n := range []int{0, 2, 3} { // sound, large text, left hand
		ok(t, p.Press(".switches input", n))
	}
	wears := `document.documentElement.className === "large left" && parseFloat(getComputedStyle(document.documentElement).fontSize) > 18`
	ok(t, p.Until(wears))
	ok(t, p.Do(said("set.keys")))
	h.learn("2 hairs", two)
	away(t, p)
	ok(t, p.Until(`navigator.serviceWorker?.controller`))
	g.Shut()
	ok(t, p.Reload())
	says(t, p, ".four-up .pad:nth-child(2) kbd", "2")
	ok(t, p.Until(wears))
	undo := `document.querySelector(".undo").getBoundingClientRect()`
	ok(t, p.Until(undo+`.left < 100`)) // at the other side
	ok(t, p.Until(`document.querySelector(".truth.here")`))
	h.hit(two, 5)
	says(t, p, tally, "1")
	settings(t, p)
	on, err := browser.Eval[[]bool](p, `[...document.querySelectorAll(".switches input")].map((e) => e.checked)`)
	ok(t, err)
	if fmt.Sprint(on) != "[true true true true]" {
		t.Errorf("sound, vibration, large, left: got %v", on)
	}
}

// Whatever is said above the pads, they stay where they are.
func TestPadsStayUnderTheFinger(t *testing.T) {
	r := opened(t, 9000)
	ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each}))
	for _, station := range []string{"extraction", "sorting", "sites", "placing"} {
		p := joined(t, r, r.URL(), "Cedar", station)
		for _, size := range phoneSizes {
			ok(t, p.Look(size.Width, size.Height, false))
			places := `JSON.stringify([...document.querySelectorAll(".pads :is(.pad, .pad2), .under .pad2")].map((e) => Math.round(e.getBoundingClientRect().top)))`
			ok(t, p.Until(`document.querySelector(".pads .pad") && !document.querySelector(".pads.begin")`))
			before, err := browser.Eval[string](p, places)
			ok(t, err)
			count, err := browser.Eval[string](p, fmt.Sprintf("document.querySelector(%q).innerText", tally))
			ok(t, err)
			taps(t, p, ".pads .pad", 3)
			ok(t, p.Until(fmt.Sprintf("document.querySelector(%q).innerText !== %q", tally, count)))
			ok(t, p.Inject(`(document.querySelector(".station > .line") ?? document.createElement("p")).append(" and more, and more, and more, and more, and more")`))
			after, err := browser.Eval[string](p, places)
			ok(t, err)
			if before != after {
				t.Errorf("%s at %s: the pads moved from %s to %s", station, size, before, after)
			}
		}
	}
}
