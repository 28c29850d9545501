package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// font is the one font file, and what styles call it.
const (
	fontName = "encode-sans.woff2"
	fontFile = "node_modules/@fontsource-variable/encode-sans/files/encode-sans-latin-wdth-normal.woff2"
)

// phoneScreen is what a phone loads first.
const phoneScreen = "ui/phone/phone-app.tsx"

// fetchedOnly are the sources of what is only of use beside the room's server:
// a phone fetches it there and keeps no copy.
var fetchedOnly = []string{"ui/join/decode.ts"}

// apart are the faces that few phones ever show: their own parts are kept where
// one of them is opened.
var apart = []string{"ui/office/office-app.tsx", "ui/wall/wall-app.tsx"}

// cssEngines are the oldest browsers that styles are written down for.
var cssEngines = []api.Engine{{Name: api.EngineChrome, Version: "100"}, {Name: api.EngineSafari, Version: "15.4"}, {Name: api.EngineFirefox, Version: "100"}}

func (s *site) pwa(names ...string) string {
	return filepath.Join(append([]string{s.root, "pwa"}, names...)...)
}

// options are what every bundle has in common.
func (s *site) options(constants map[string]any) (api.BuildOptions, error) {
	dir, err := filepath.Abs(s.pwa())
	if err != nil {
		return api.BuildOptions{}, err
	}
	define := map[string]string{}
	for name, value := range constants {
		text, err := json.Marshal(value)
		if err != nil {
			return api.BuildOptions{}, err
		}
		define[name] = string(text)
	}
	return api.BuildOptions{
		AbsWorkingDir: dir, Outdir: filepath.Join(dir, "assets", "app", staticDir), PublicPath: "/" + staticDir,
		Bundle: true, MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true,
		Target: api.ES2022, Define: define, TsconfigRaw: "{}", JSX: api.JSXAutomatic, JSXImportSource: "preact",
		EntryNames: "[name]-[hash]", ChunkNames: "[name]-[hash]", AssetNames: "[name]-[hash]",
		Loader: map[string]api.Loader{".woff2": api.LoaderFile}, LogLevel: api.LogLevelWarning, Metafile: true,
		Plugins: []api.Plugin{fontPlugin(dir), s.wordsPlugin()},
	}, nil
}

// fontPlugin finds the font where its package lies.
func fontPlugin(dir string) api.Plugin {
	return api.Plugin{Name: "font", Setup: func(b api.PluginBuild) {
		b.OnResolve(api.OnResolveOptions{Filter: "^" + strings.ReplaceAll(fontName, ".", `\.`) + "$"},
			func(api.OnResolveArgs) (api.OnResolveResult, error) {
				return api.OnResolveResult{Path: filepath.Join(dir, filepath.FromSlash(fontFile))}, nil
			})
	}}
}

// bundle runs esbuild, takes what it wrote into the site, and returns its
// account of it.
func (s *site) bundle(options api.BuildOptions) (account, error) {
	result := api.Build(options)
	if len(result.Errors) > 0 {
		return account{}, errors.New("build: the bundle has errors, see above")
	}
	for _, f := range result.OutputFiles {
		s.files[staticDir+"/"+filepath.Base(f.Path)] = f.Contents
	}
	var a account
	if err := json.Unmarshal([]byte(result.Metafile), &a); err != nil {
		return account{}, fmt.Errorf("build: metafile: %w", err)
	}
	return a, nil
}

// account is the part of esbuild's metafile that is used here.
type account struct {
	Outputs map[string]struct {
		EntryPoint string
		Imports    []struct{ Path, Kind string }
	}
}

// entry is the output of a source file; "" when there is none.
func (a account) entry(source string) string {
	for name, out := range a.Outputs {
		if out.EntryPoint == source {
			return name
		}
	}
	return ""
}

// needs are the outputs that load before one runs, itself first.
func (a account) needs(output string) []string {
	return a.from(output, func(kind, _ string) bool { return kind == "import-statement" })
}

// reach are the outputs that may ever load from one, itself first, but through
// some others.
func (a account) reach(output string, but ...string) []string {
	return a.from(output, func(_, imported string) bool { return !slices.Contains(but, imported) })
}

func (a account) from(output string, follow func(kind, imported string) bool) []string {
	out := []string{output}
	for i := 0; i < len(out); i++ {
		for _, imported := range a.Outputs[out[i]].Imports {
			if follow(imported.Kind, imported.Path) && !slices.Contains(out, imported.Path) {
				out = append(out, imported.Path)
			}
		}
	}
	return out
}

// served turns outputs into paths of the site.
func served(outputs []string) []string {
	var out []string
	for _, o := range outputs {
		out = append(out, staticDir+"/"+path.Base(o))
	}
	return out
}

// bundleWorker makes the worker one classic script that begins with Go's own.
func (s *site) bundleWorker(constants map[string]any) (string, error) {
	options, err := s.options(constants)
	if err != nil {
		return "", err
	}
	start, err := wasmExec()
	if err != nil {
		return "", err
	}
	options.Format, options.Platform = api.FormatIIFE, api.PlatformBrowser
	options.Stdin = &api.StdinOptions{ResolveDir: options.AbsWorkingDir, Sourcefile: "worker.js",
		Contents: "import " + strconv.Quote(filepath.ToSlash(start)) + ";import './worker/main.ts'"}
	options.EntryNames = "worker-[hash]"
	made, err := s.bundle(options)
	if err != nil {
		return "", err
	}
	return served([]string{made.entry("worker.js")})[0], nil
}

// bundleUI makes the screens, in pieces that load when they are needed.
func (s *site) bundleUI(constants map[string]any) error {
	options, err := s.options(constants)
	if err != nil {
		return err
	}
	options.Format, options.Splitting, options.Platform = api.FormatESModule, true, api.PlatformBrowser
	options.EntryPoints = []string{"ui/main.tsx"}
	made, err := s.bundle(options)
	if err != nil {
		return err
	}
	first := made.needs(made.entry("ui/main.tsx"))
	s.script, s.preload = served(first)[0], served(first)[1:]
	main, faces := first[0], make([]string, 0, len(apart))
	for _, source := range apart {
		faces = append(faces, made.entry(source))
	}
	phone := made.reach(main, faces...)
	s.apart = served(slices.DeleteFunc(made.reach(main), func(output string) bool { return slices.Contains(phone, output) }))
	slices.Sort(s.apart)
	first = append(first, made.needs(made.entry(phoneScreen))...)
	slices.Sort(first)
	s.firstJS, s.fetched = served(slices.Compact(first)), nil
	for _, source := range fetchedOnly {
		if output := made.entry(source); output != "" {
			s.fetched = append(s.fetched, served([]string{output})...)
		}
	}
	return nil
}

// bundleStyles makes the one stylesheet and the font beside it.
func (s *site) bundleStyles() error {
	options, err := s.options(nil)
	if err != nil {
		return err
	}
	options.Target, options.Engines = api.DefaultTarget, cssEngines
	options.EntryPoints, options.EntryNames = []string{"styles/all.css"}, "style-[hash]"
	made, err := s.bundle(options)
	if err == nil {
		s.style = served([]string{made.entry("styles/all.css")})[0]
	}
	return err
}

// bundleServiceWorker makes sw.js. It has no hash in its name: browsers look at
// that one address for a new version.
func (s *site) bundleServiceWorker(build string, shell, apart []string) error {
	options, err := s.options(map[string]any{"__BUILD__": build, "__SHELL__": shell, "__APART__": apart})
	if err != nil {
		return err
	}
	options.Format = api.FormatIIFE
	options.EntryPoints = []string{"sw/sw.ts"}
	result := api.Build(options)
	if len(result.Errors) > 0 {
		return errors.New("build: sw.ts has errors, see above")
	}
	s.files["sw.js"] = result.OutputFiles[0].Contents
	return nil
}

// read is a source file of the app.
func (s *site) read(names ...string) ([]byte, error) {
	text, err := os.ReadFile(s.pwa(names...))
	if err != nil {
		return nil, fmt.Errorf("build: %w", err)
	}
	return text, nil
}
