// Command screenshots pictures every screen of the app with made-up data, in
// five sizes, light and dark, and lays the pictures out on one page. With -day it
// pictures the wall through a day.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rootledger/pwa/assets"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/scenes"
)

// sizes are those of a small phone, a phone, a laptop and a wall.
var sizes = []scenes.Size{{Width: 360, Height: 640}, {Width: 390, Height: 844}, {Width: 1024, Height: 768}, {Width: 1280, Height: 800}, {Width: 1920, Height: 1080}}

var themes = []string{"light", "dark"}

// album is the pictures taken so far.
type album struct {
	out    string
	scenes []string
	taken  int
}

func main() {
	var out, only string
	var day uint64
	flag.StringVar(&out, "out", "screenshots", "the folder for the pictures")
	flag.StringVar(&only, "only", "", "screens to picture, with commas between, of "+strings.Join(scenes.Screens(), ", ")+" (default all)")
	flag.Uint64Var(&day, "day", 0, "picture the wall through this made-up day instead, at twelve moments: strip.html")
	flag.Parse()
	if err := run(out, only, day); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(out, only string, day uint64) error {
	if _, err := assets.Files.ReadFile("app/index.html"); err != nil {
		return fmt.Errorf("screenshots: the app is not built into this copy; run make screenshots: %w", err)
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return fmt.Errorf("screenshots: %w", err)
	}
	if day > 0 {
		return stripDay(out, day)
	}
	chromium, err := browser.Start()
	if err != nil {
		return err
	}
	began, a := time.Now(), &album{out: out}
	tour := scenes.Tour{Browser: chromium, Want: wanted(only), See: a.see}
	err = tour.Walk()
	if closed := chromium.Close(); err == nil {
		err = closed
	}
	fmt.Printf("%d pictures of %d scenes in %.0f s\n", a.taken, len(a.scenes), time.Since(began).Seconds())
	if written := a.writePage(); err == nil {
		err = written
	}
	return err
}

// wanted says which screens to picture: all when none is named.
func wanted(only string) func(string) bool {
	if only == "" {
		return nil
	}
	names := strings.Split(only, ",")
	return func(screen string) bool {
		for _, name := range names {
			if name == screen {
				return true
			}
		}
		return false
	}
}

// see pictures one scene in every size and theme.
func (a *album) see(s scenes.Scene) error {
	a.scenes = append(a.scenes, s.Name())
	for _, size := range sizes {
		for _, theme := range themes {
			if err := s.Page.Look(size.Width, size.Height, theme == "dark"); err != nil {
				return err
			}
			if err := s.Page.Picture(filepath.Join(a.out, file(s.Name(), size, theme))); err != nil {
				return err
			}
			a.taken++
		}
	}
	fmt.Println("  " + s.Name())
	return nil
}

// file is what a picture is called.
func file(scene string, size scenes.Size, theme string) string {
	return fmt.Sprintf("%s_%s_%s.png", scene, size, theme)
}
