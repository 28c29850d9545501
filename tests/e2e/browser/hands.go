package browser

import (
	"context"
	"fmt"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// Finger is a finger on the glass, in CSS pixels of the window.
type Finger struct {
	ID   int
	X, Y float64
}

// Touch has just these fingers on the glass at a time: those that were there
// and are not named are lifted, and new ones come down.
func (p *Page) Touch(at time.Time, fingers ...Finger) error {
	kind := input.DispatchTouchEventTypeTouchStart
	if len(fingers) == 0 {
		kind = input.DispatchTouchEventTypeTouchEnd
	}
	points := []*input.TouchPoint{}
	for _, f := range fingers {
		id := float64(f.ID)
		points = append(points, &input.TouchPoint{X: f.X, Y: f.Y, ID: &id})
	}
	return p.said("touch", func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points, Timestamp: since1970(at)})
		return err
	})
}

// Key is a key of a keyboard: where it lies, and what it writes.
type Key struct{ Code, Name string }

// KeyDown presses a key at a time; held says that it repeats.
func (p *Page) KeyDown(k Key, at time.Time, held bool) error {
	return p.key(input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeRawKeyDown, Code: k.Code, Key: k.Name, AutoRepeat: &held, Timestamp: since1970(at)})
}

// KeyUp lets it go.
func (p *Page) KeyUp(k Key, at time.Time) error {
	return p.key(input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyUp, Code: k.Code, Key: k.Name, Timestamp: since1970(at)})
}

func (p *Page) key(params input.DispatchKeyEventParams) error {
	return p.said("key "+params.Code, func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, params)
		return err
	})
}

// Slow has the page's own thread run slower by a factor. Its worker does not.
func (p *Page) Slow(factor float64) error {
	return p.said("slow", func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: factor})
		return err
	})
}

func since1970(at time.Time) input.TimeSinceEpoch {
	return input.TimeSinceEpoch(float64(at.UnixMicro()) / 1e6)
}

func (p *Page) said(what string, act func(context.Context, *chromedp.Target) error) error {
	_, err := run(p, what, chromedp.Func(act))
	return err
}

// Middle is the place of the n-th element of a selector, from 0, once it is there.
func (p *Page) Middle(selector string, n int) (x, y float64, err error) {
	find := fmt.Sprintf("document.querySelectorAll(%q)[%d]", selector, n)
	if err := p.Until(find); err != nil {
		return 0, 0, err
	}
	at, err := Eval[[]float64](p, fmt.Sprintf(`{ const r = %s.getBoundingClientRect(); [r.x + r.width / 2, r.y + r.height / 2] }`, find))
	if err != nil {
		return 0, 0, err
	}
	return at[0], at[1], nil
}

// lies is true once an element is seen, has stood at the same place for three
// frames and is what a pointer at its middle would hit, and tells the page to
// note what the next click hits. A page that is still being filled moves what
// a pointer aims at.
const lies = `new Promise((done) => {
	const frame = () => new Promise((next) => { requestAnimationFrame(next); setTimeout(next, 100); });
	const place = (of) => { const r = of.getBoundingClientRect(); return [r.x, r.y, r.width, r.height].join(); };
	(async () => {
		const aim = document.querySelector(%[1]q);
		if (!aim?.checkVisibility()) return done(false);
		aim.scrollIntoView({ block: "nearest", behavior: "instant" });
		const before = place(aim);
		for (let n = 0; n < 3; n++) await frame();
		const r = aim.getBoundingClientRect(), top = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
		if (before !== place(aim) || !(aim.contains(top) || top?.closest("label")?.control === aim)) return done(false);
		window.hitBy = "nothing";
		addEventListener("click", (e) => {
			if (aim.contains(e.target) || e.target.control === aim) window.hitBy = "";
			else if (!e.target.contains(aim)) window.hitBy = e.target.outerHTML.slice(0, 200); // else what holds both: it moved away in between
		}, { capture: true, once: true });
		done(true);
	})();
})`

// Click clicks the first element that a selector finds with a pointer, once it
// lies still, and says what it hit if that was something else. What moves away
// between press and lift is hit by nothing, and aimed at again.
func (p *Page) Click(selector string) error {
	hit := ""
	for range 3 {
		if err := p.Until(fmt.Sprintf(lies, selector)); err != nil {
			return err
		}
		if _, err := run(p, "click "+selector, chromedp.Click(selector, chromedp.NodeVisible)); err != nil {
			return err
		}
		var err error
		if hit, err = Eval[string](p, `window.hitBy ?? "a page that was left"`); err != nil || hit == "" {
			return err
		}
		if hit != "nothing" {
			break
		}
	}
	return fmt.Errorf("browser: a click on %s hit %s", selector, hit)
}
