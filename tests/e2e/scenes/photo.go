package scenes

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"

	"rootledger/tests/e2e/browser"
)

// Photo draws a picture of 1200 × 900 points into dir: a ruler of 100 mm, 500
// points long from (100, 800), and a rectangle of 60 × 40 mm from (400, 200).
func Photo(dir string) (string, error) {
	im := image.NewRGBA(image.Rect(0, 0, 1200, 900))
	fill := func(r image.Rectangle, c color.Color) { draw.Draw(im, r, &image.Uniform{c}, image.Point{}, draw.Src) }
	fill(im.Bounds(), color.RGBA{214, 196, 182, 255})
	fill(image.Rect(100, 780, 600, 840), color.RGBA{250, 250, 240, 255})
	for mm := range 101 {
		high := 16
		if mm%10 == 0 {
			high = 36
		}
		fill(image.Rect(100+5*mm, 780, 102+5*mm, 780+high), color.Black)
	}
	fill(image.Rect(400, 200, 700, 400), color.RGBA{170, 120, 110, 255})
	path := filepath.Join(dir, "head.png")
	f, err := os.Create(path)
	if err != nil {
		return "", fmt.Errorf("photo: %w", err)
	}
	if err := png.Encode(f, im); err != nil {
		return "", fmt.Errorf("photo: %w", err)
	}
	return path, f.Close()
}

// Spot taps a place of the photo that is traced, in its own units.
func Spot(p *browser.Page, x, y int) error {
	_, err := browser.Eval[bool](p, fmt.Sprintf(`(() => {
		const svg = document.querySelector(".trace svg");
		svg.scrollIntoView({ block: "center" });
		const box = svg.getBoundingClientRect();
		const at = { clientX: box.left + (%d * box.width) / 1200, clientY: box.top + (%d * box.height) / 900, pointerId: 1, button: 0, bubbles: true, isPrimary: true };
		svg.setPointerCapture = () => {}; // a made-up pointer can not be captured
		document.elementFromPoint(at.clientX, at.clientY).dispatchEvent(new PointerEvent("pointerdown", at));
		svg.dispatchEvent(new PointerEvent("pointerup", at));
		return true;
	})()`, x, y))
	return err
}

// photographed chooses the photo.
func photographed(p *browser.Page) error {
	dir, err := os.MkdirTemp("", "rootledger-photo-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	path, err := Photo(dir)
	if err != nil {
		return err
	}
	if err := p.Choose(".trace-file input", path); err != nil {
		return err
	}
	return p.Until(`document.querySelector(".trace svg")`)
}

// traced marks the ruler and goes round the rectangle.
func traced(p *browser.Page) error {
	for i, at := range [][2]int{{100, 800}, {600, 800}, {400, 200}, {560, 170}, {700, 210}, {710, 390}, {400, 400}} {
		if err := Spot(p, at[0], at[1]); err != nil {
			return err
		}
		if err := p.Until(fmt.Sprintf(`document.querySelectorAll(".trace-spot").length === %d`, i+1)); err != nil {
			return err
		}
	}
	return nil
}
