package browser

import (
	"context"
	"fmt"
	"os"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// media is how the device draws: its theme, and nothing that moves by itself.
func media(dark bool) chromedp.Action[chromedp.Void] {
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{
				{Name: "prefers-color-scheme", Value: scheme},
				{Name: "prefers-reduced-motion", Value: "reduce"},
			}})
		return err
	})
}

// settle is true once the page has drawn what it is to draw.
const settle = `document.fonts.ready.then(() => new Promise((done) => {
	requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => requestAnimationFrame(() => done(true)))));
	setTimeout(() => done(true), 500);
}))`

// Look gives the device another size and theme, and waits until the page has
// drawn itself for it.
func (p *Page) Look(width, height int64, dark bool) error {
	if _, err := run(p, "look", chromedp.Steps(chromedp.EmulateViewport(width, height), media(dark))); err != nil {
		return err
	}
	_, err := Eval[bool](p, settle)
	return err
}

// Inject runs a script in the page.
func (p *Page) Inject(script string) error {
	_, err := run(p, "inject a script", chromedp.Evaluate[chromedp.Void](script))
	return err
}

// Press clicks the n-th element that a selector finds, from 0, without moving
// a pointer.
func (p *Page) Press(selector string, n int) error {
	return p.Until(fmt.Sprintf("(() => { const e = document.querySelectorAll(%q)[%d]; e?.click(); return e; })()", selector, n))
}

// Picture writes what is on the screen, compressed for speed.
func (p *Page) Picture(path string) error {
	fast := true
	shot, err := run(p, "picture", func(ctx context.Context, t *chromedp.Target) ([]byte, error) {
		r, err := cdp.Call(ctx, t, page.CaptureScreenshot, page.CaptureScreenshotParams{OptimizeForSpeed: &fast})
		if err != nil {
			return nil, err
		}
		return r.Data, nil
	})
	if err != nil {
		return err
	}
	return os.WriteFile(path, shot, 0o644)
}

// Downloads puts what this device downloads into a folder.
func (p *Page) Downloads(dir string) error {
	params := browser.SetDownloadBehaviorParams{Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir}
	if c := chromedp.FromContext(p.ctx); c != nil {
		params.BrowserContextID = c.BrowserContextID
	}
	if _, err := chromedp.CallBrowser(p.ctx, browser.SetDownloadBehavior, params); err != nil {
		return fmt.Errorf("browser: downloads: %w", err)
	}
	return nil
}

// Before has a script run in every page of this tab before the page's own.
func (p *Page) Before(script string) error {
	_, err := run(p, "a script before", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	}))
	return err
}

// Wipe leaves the page and takes away all that the browser keeps for its origin.
func (p *Page) Wipe() error { return p.wipe("all") }

// WipeDatabases is Wipe for databases alone: the page's own notes stay.
func (p *Page) WipeDatabases() error { return p.wipe("indexeddb") }

func (p *Page) wipe(types string) error {
	origin, err := Eval[string](p, "location.origin")
	if err != nil {
		return err
	}
	if err := p.Open("about:blank"); err != nil { // else its worker would write once more
		return err
	}
	_, err = run(p, "wipe", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, storage.ClearDataForOrigin, storage.ClearDataForOriginParams{Origin: origin, StorageTypes: types})
		return err
	}))
	return err
}

// Scroll moves the page down to a place, or to its end.
func (p *Page) Scroll(to int) error {
	_, err := Eval[bool](p, fmt.Sprintf("(scrollTo(0, %d), true)", to))
	return err
}
