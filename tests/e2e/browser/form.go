package browser

import (
	"context"
	"fmt"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/chromedp"
)

// named finds, in the page, the first element of a selector that is shown and
// called so: by its label for assistive tools, or else by what it says.
const named = `[...document.querySelectorAll(%q)].find((e) => e.checkVisibility() && !e.disabled &&
	(e.getAttribute("aria-label") ?? e.innerText).replace(/\s+/g, " ").trim() === %q)`

// labelled finds the shown field of a label; the label may also hold the field,
// and its error.
const labelled = `[...document.querySelectorAll("label")].find((e) => e.checkVisibility() &&
	(e.querySelector("span") ?? e).innerText.trim() === %q)?.control`

// Do presses the button that is called so; one that was drawn anew after it was
// found is found again.
func (p *Page) Do(name string) error {
	find := fmt.Sprintf(named, "button, summary", name)
	for {
		if err := p.Until(find); err != nil {
			return err
		}
		pressed, err := Eval[bool](p, "((e) => (e?.click(), Boolean(e)))("+find+")")
		if pressed || err != nil {
			return err
		}
	}
}

// Fill types text into the field of a label, instead of what stands in it.
func (p *Page) Fill(label, text string) error {
	find := fmt.Sprintf(labelled, label)
	if err := p.Until(find); err != nil {
		return err
	}
	const mark = "data-filled-now"
	if _, err := Eval[bool](p, fmt.Sprintf(`{ const e = %s; e.setAttribute(%q, ""); e.select(); true }`, find, mark)); err != nil {
		return err
	}
	if text == "" {
		text = "\b" // takes out what is selected
	}
	if err := p.Type("["+mark+"]", text); err != nil {
		return err
	}
	_, err := Eval[bool](p, fmt.Sprintf(`{ const e = document.querySelector("[%s]"); e.removeAttribute(%q); true }`, mark, mark))
	return err
}

// Choose gives a file to the field for files that a selector finds.
func (p *Page) Choose(selector, path string) error {
	_, err := run(p, "choose "+path, chromedp.QueryAfter(selector, func(ctx context.Context, t *chromedp.Target, nodes []*chromedp.Node) (cdp.Empty, error) {
		return cdp.Call(ctx, t, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{path}, NodeID: nodes[0].NodeID})
	}))
	return err
}

// Field is what stands in the field of a label.
func (p *Page) Field(label string) (string, error) {
	return Eval[string](p, fmt.Sprintf(labelled, label)+"?.value ?? ''")
}

// Holds presses a button that is held to confirm, for as long as until is not true.
func (p *Page) Holds(selector, until string) error {
	event := func(types ...string) string {
		return fmt.Sprintf(`for (const type of ["%s"]) document.querySelector(%q)?.dispatchEvent(
			new PointerEvent(type, { bubbles: true, button: 0, pointerId: 5, isPrimary: true })); true`, strings.Join(types, `", "`), selector)
	}
	if err := p.Until(fmt.Sprintf("document.querySelector(%q)", selector)); err != nil {
		return err
	}
	if _, err := Eval[bool](p, event("pointerdown")); err != nil {
		return err
	}
	if err := p.Until(until); err != nil {
		return err
	}
	_, err := Eval[bool](p, event("pointerup"))
	return err
}
