package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html/template"
	"maps"
	"slices"
)

// staticDir holds the files whose names say what is in them.
const staticDir = "static"

// colour is the ground that the app lies on.
const colour = "#e4eadf"

// noBuild stands for the build's hash while that is worked out.
const noBuild = "000000000000"

// assemble makes every file twice: the second time the scripts know the hash
// over all that the first time made.
func (s *site) assemble(engine []byte) error {
	if err := s.pass(engine, noBuild); err != nil {
		return err
	}
	var parts [][]byte
	for _, name := range slices.Sorted(maps.Keys(s.files)) {
		parts = append(parts, []byte(name), s.files[name])
	}
	return s.pass(engine, digest(parts...))
}

func (s *site) pass(engine []byte, build string) error {
	s.files = map[string][]byte{}
	constants := map[string]any{"__BUILD__": build, "__ENGINE_URL__": s.add("engine", ".wasm", engine)}
	worker, err := s.bundleWorker(constants)
	if err != nil {
		return err
	}
	constants["__WORKER_URL__"] = "/" + worker
	if err := s.bundleUI(constants); err != nil {
		return err
	}
	if err := s.bundleStyles(); err != nil {
		return err
	}
	if err := s.addIcons(); err != nil {
		return err
	}
	if err := s.addManifest(); err != nil {
		return err
	}
	if err := s.addLanguages(); err != nil {
		return err
	}
	if err := s.addIndex(build); err != nil {
		return err
	}
	shell, apart := []string{"/"}, []string{}
	for _, name := range slices.Sorted(maps.Keys(s.files)) {
		switch {
		case name == "index.html", slices.Contains(s.fetched, name):
		case slices.Contains(s.apart, name):
			apart = append(apart, "/"+name)
		default:
			shell = append(shell, "/"+name)
		}
	}
	return s.bundleServiceWorker(build, shell, apart)
}

// add takes a file in under a name with its hash, and returns its address.
func (s *site) add(name, ext string, content []byte) string {
	at := staticDir + "/" + name + "-" + digest(content) + ext
	s.files[at] = content
	return "/" + at
}

// icon is one picture as the manifest names it.
type icon struct {
	Src     string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose"`
}

func (s *site) addIcons() error {
	s.icon = s.add("icon", ".svg", markSVG())
	s.iconTall = nil
	for _, size := range []int{192, 512} {
		picture, err := markPNG(size)
		if err != nil {
			return err
		}
		name := fmt.Sprintf("icon-%d", size)
		s.iconTall = append(s.iconTall, icon{s.add(name, ".png", picture), fmt.Sprintf("%dx%d", size, size), "image/png", "any maskable"})
	}
	return nil
}

func (s *site) addManifest() error {
	text, err := json.Marshal(map[string]any{
		"name": "Rootledger", "short_name": "Rootledger", "id": "/", "start_url": "/", "scope": "/",
		"display": "standalone", "background_color": colour, "theme_color": colour,
		"icons": append([]icon{{s.icon, "any", "image/svg+xml", "any"}}, s.iconTall...),
	})
	s.files["manifest.webmanifest"] = text
	return err
}

// addIndex fills the page in which everything happens.
func (s *site) addIndex(build string) error {
	text, err := s.read("ui", "index.html")
	if err != nil {
		return err
	}
	page, err := template.New("index.html").Parse(string(text))
	if err != nil {
		return fmt.Errorf("build: %w", err)
	}
	var out bytes.Buffer
	err = page.Execute(&out, map[string]any{
		"Build": build, "Colour": colour, "Script": "/" + s.script, "Style": "/" + s.style,
		"Preload": s.preload, "Languages": s.languages, "Icon": s.icon, "TouchIcon": s.iconTall[0].Src,
	})
	s.files["index.html"] = out.Bytes()
	return err
}
