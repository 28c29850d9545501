package main

import (
	"bytes"
	"fmt"
	"html/template"
	"os"
	"path/filepath"
)

// page lays the pictures out: a row for every scene, a column for every size
// and theme.
var page = template.Must(template.New("page").Parse(`<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Screens</title>
<style>
  body { margin: 24px; font: 16px/1.4 system-ui, sans-serif; background: #d9dcd6; color: #14222a; }
  h2 { font-size: 1.1rem; margin: 32px 0 8px; }
  ul { list-style: none; margin: 0; padding: 0; display: flex; flex-wrap: wrap; gap: 12px; align-items: flex-start; }
  img { display: block; block-size: 240px; inline-size: auto; border: 1px solid #6a7974; }
  small { display: block; }
</style>
<h1>Screens</h1>
<p>{{len .}} scenes. The people, cases and counts are made up.</p>
{{range .}}<section id="{{.Scene}}">
<h2>{{.Scene}}</h2>
<ul>
{{range .Pictures}}<li><a href="{{.File}}"><img src="{{.File}}" alt="{{.Words}}" loading="lazy"><small>{{.Words}}</small></a></li>
{{end}}</ul>
</section>
{{end}}</html>
`))

type picture struct{ File, Words string }

type row struct {
	Scene    string
	Pictures []picture
}

// writePage writes index.html beside the pictures of this run.
func (a *album) writePage() error {
	var rows []row
	for _, scene := range a.scenes {
		one := row{Scene: scene}
		for _, size := range sizes {
			for _, theme := range themes {
				one.Pictures = append(one.Pictures, picture{file(scene, size, theme), fmt.Sprintf("%s %s", size, theme)})
			}
		}
		rows = append(rows, one)
	}
	var text bytes.Buffer
	if err := page.Execute(&text, rows); err != nil {
		return fmt.Errorf("screenshots: %w", err)
	}
	return os.WriteFile(filepath.Join(a.out, "index.html"), text.Bytes(), 0o644)
}
