// Package browser drives real Chromium. It is the only package that knows the
// browser's own protocol.
package browser

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"sync"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// patience bounds every wait.
const patience = 20 * time.Second

// Browser is one Chromium process.
type Browser struct {
	ctx    context.Context
	cancel []context.CancelFunc
	dir    string
}

// Find returns the path of Chromium, "" when there is none. The one without any
// windows needs half the time for the same pages.
func Find() string {
	for _, name := range []string{"chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// Start starts Chromium without a window, with a profile of its own.
func Start() (*Browser, error) {
	dir, err := os.MkdirTemp("", "rootledger-chromium-")
	if err != nil {
		return nil, fmt.Errorf("browser: %w", err)
	}
	return StartIn(dir)
}

// StartIn starts Chromium with the profile in dir, which Close removes.
func StartIn(dir string) (*Browser, error) { return start(dir) }

// StartWithCamera starts Chromium with a camera that shows a file of pictures,
// in Y4M, over and over, and that every page may use.
func StartWithCamera(dir, pictures string) (*Browser, error) {
	return start(dir, chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("use-fake-ui-for-media-stream", true),
		chromedp.Flag("use-file-for-fake-video-capture", pictures))
}

func start(dir string, more ...chromedp.ExecAllocatorOption) (*Browser, error) {
	path := Find()
	if path == "" {
		return nil, errors.New("browser: Chromium is not installed: apt-get install chromium")
	}
	flags := []chromedp.ExecAllocatorOption{chromedp.ExecPath(path), chromedp.UserDataDir(dir), chromedp.Headless,
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-background-timer-throttling", true), chromedp.Flag("disable-renderer-backgrounding", true),
		chromedp.Flag("disable-backgrounding-occluded-windows", true)}
	flags = append(flags, more...)
	allocated, stop := chromedp.NewExecAllocator(context.Background(), flags...)
	ctx, cancel := chromedp.NewContext(allocated)
	b := &Browser{ctx: ctx, cancel: []context.CancelFunc{cancel, stop}, dir: dir}
	if err := chromedp.Do(ctx); err != nil {
		return nil, errors.Join(fmt.Errorf("browser: start: %w", err), b.Close())
	}
	return b, nil
}

// Quit ends the process as a person would, and leaves its profile.
func (b *Browser) Quit() error {
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := chromedp.Cancel(ctx); err != nil {
		return fmt.Errorf("browser: quit: %w", err)
	}
	return nil
}

// Close ends the process and removes its profile.
func (b *Browser) Close() error {
	for _, cancel := range b.cancel {
		cancel()
	}
	var err error
	for range 50 { // the process lets go of its files a moment after it ended
		if err = os.RemoveAll(b.dir); err == nil {
			return nil
		}
		time.Sleep(20 * time.Millisecond)
	}
	return fmt.Errorf("browser: %w", err)
}

// Page is one page. Pages of one device share storage, as tabs do.
type Page struct {
	ctx    context.Context
	cancel context.CancelFunc
	thrown *thrown
	traced *traced
}

// thrown is what the page's own scripts threw.
type thrown struct {
	mu   sync.Mutex
	list []string
}

// Device returns the first page of a new device, with storage of its own.
func (b *Browser) Device(width, height int64, dark bool) (*Page, error) {
	return open(b.ctx, width, height, dark, chromedp.WithNewBrowserContext())
}

// First returns a page of the profile itself, whose storage outlives the process.
func (b *Browser) First(width, height int64) (*Page, error) { return open(b.ctx, width, height, false) }

// Tab returns another page of the same device.
func (p *Page) Tab(width, height int64) (*Page, error) { return open(p.ctx, width, height, false) }

func open(parent context.Context, width, height int64, dark bool, options ...chromedp.ContextOption) (*Page, error) {
	p := &Page{thrown: new(thrown), traced: new(traced)}
	options = append(options, chromedp.WithListener(func(ev any) {
		p.traced.hear(ev)
		if e, ok := ev.(*runtime.EventExceptionThrown); ok {
			p.thrown.mu.Lock()
			defer p.thrown.mu.Unlock()
			p.thrown.list = append(p.thrown.list, fmt.Sprintf("%s %+v", e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
		}
	}))
	p.ctx, p.cancel = chromedp.NewContext(parent, options...)
	if err := chromedp.Do(p.ctx, chromedp.EmulateViewport(width, height), media(dark)); err != nil {
		p.cancel()
		return nil, fmt.Errorf("browser: page: %w", err)
	}
	return p, nil
}

// Thrown is what the page's own scripts threw so far.
func (p *Page) Thrown() []string {
	p.thrown.mu.Lock()
	defer p.thrown.mu.Unlock()
	return append([]string(nil), p.thrown.list...)
}

// Close closes the page.
func (p *Page) Close() { p.cancel() }

func run[T any](p *Page, what string, action chromedp.Action[T]) (T, error) {
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	got, err := chromedp.Run(ctx, action)
	if err != nil {
		return got, fmt.Errorf("browser: %s: %w", what, err)
	}
	return got, nil
}

// Open goes to an address.
func (p *Page) Open(url string) error {
	_, err := run(p, "open "+url, chromedp.Navigate(url))
	return err
}

// Reload loads the page again, as a person would, with or without a network.
func (p *Page) Reload() error {
	_, err := run(p, "reload", chromedp.Reload())
	return err
}

// Back goes back one page, as a person would.
func (p *Page) Back() error {
	_, err := run(p, "back", chromedp.NavigateBack())
	return err
}

// Type types into a field, after what stands in it.
func (p *Page) Type(selector, text string) error {
	_, err := run(p, "type into "+selector, chromedp.SendKeys(selector, text, chromedp.NodeVisible))
	return err
}

// Eval evaluates an expression, awaiting a promise.
func Eval[T any](p *Page, expression string) (T, error) {
	return run(p, "evaluate "+expression, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// Until waits until an expression, or what it promises, is true.
func (p *Page) Until(expression string) error {
	for deadline := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		ok, err := Eval[bool](p, "Promise.resolve("+expression+").then(Boolean)")
		if ok && err == nil {
			return nil
		}
		if time.Now().After(deadline) {
			text, textErr := Eval[string](p, "document.body.innerText")
			return fmt.Errorf("browser: never true: %s; the page says %.600q; it threw %q (%w)", expression, text, p.Thrown(), errors.Join(err, textErr))
		}
	}
}

// Wait waits until a condition outside of the page holds.
func Wait(holds func() bool) error {
	for deadline := time.Now().Add(patience); !holds(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(deadline) {
			return errors.New("browser: waited in vain")
		}
	}
	return nil
}

// Shot writes a picture of what is on the screen.
func (p *Page) Shot(path string) error {
	png, err := run(p, "picture", chromedp.CaptureScreenshot())
	if err != nil {
		return err
	}
	return os.WriteFile(path, png, 0o644)
}
