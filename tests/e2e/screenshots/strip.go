package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html/template"
	"os"
	"path/filepath"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/session"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

const (
	stripPictures = 12
	stripSpeed    = 240 // a picture takes half a second, which is two minutes of the day then
	dayBegins     = 8   // o'clock of a practice day
	dayMinutes    = 480
)

// strip is a wall over one whole practice day.
type strip struct {
	out   string
	wall  *browser.Page
	taken []picture
}

// stripDay pictures the wall at twelve even moments of a practice day, and lays them out
// on one page.
func stripDay(out string, seed uint64) (err error) {
	dir, err := os.MkdirTemp("", "rootledger-strip-")
	if err != nil {
		return fmt.Errorf("screenshots: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	r, err := rig.Start(dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	chromium, err := browser.Start()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, chromium.Close()) }()
	s := &strip{out: out}
	if s.wall, err = chromium.Device(1920, 1080, false); err != nil {
		return err
	}
	if err := s.wall.Open(r.URL() + "/wall/practice"); err != nil {
		return err
	}
	ctx, cancel := context.WithCancelCause(r.Ctx)
	defer cancel(nil)
	_, err = practice.Run(ctx, practice.Config{Server: r.URL(), Office: r.API.Office, Seed: seed, Speed: stripSpeed,
		Progress: func(nowMs int64, _ session.View) {
			if err := s.due(nowMs); err != nil {
				cancel(err)
			}
		}})
	if err != nil {
		return errors.Join(err, context.Cause(ctx))
	}
	return errors.Join(s.see("the end"), s.write())
}

// due pictures the wall when its next moment has come: the last is after the end.
func (s *strip) due(nowMs int64) error {
	now := time.UnixMilli(nowMs).UTC()
	minute := (now.Hour()-dayBegins)*60 + now.Minute()
	if n := len(s.taken); n == stripPictures-1 || minute*stripPictures < dayMinutes*(n+1) {
		return nil
	}
	return s.see(now.Format("15:04"))
}

func (s *strip) see(when string) error {
	name := fmt.Sprintf("strip_%02d.png", len(s.taken)+1)
	s.taken = append(s.taken, picture{name, when})
	fmt.Println("  " + when)
	return s.wall.Picture(filepath.Join(s.out, name))
}

// stripPage has the pictures in a grid, in the order of the day.
var stripPage = template.Must(template.New("strip").Parse(`<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>A day on the wall</title>
<style>
  body { margin: 24px; font: 16px/1.4 system-ui, sans-serif; background: #d9dcd6; color: #14222a; }
  ul { list-style: none; margin: 0; padding: 0; display: grid; grid-template-columns: repeat(auto-fill, minmax(440px, 1fr)); gap: 16px; }
  img { display: block; inline-size: 100%; border: 1px solid #6a7974; }
</style>
<h1>A day on the wall</h1>
<p>The people, cases and counts are made up.</p>
<ul>
{{range .}}<li><a href="{{.File}}"><img src="{{.File}}" alt="The wall at {{.Words}}"></a>{{.Words}}</li>
{{end}}</ul>
</html>
`))

func (s *strip) write() error {
	var text bytes.Buffer
	if err := stripPage.Execute(&text, s.taken); err != nil {
		return fmt.Errorf("screenshots: %w", err)
	}
	return os.WriteFile(filepath.Join(s.out, "strip.html"), text.Bytes(), 0o644)
}
