package main

import (
	"bytes"
	"compress/gzip"
	"image/png"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
)

// small is an app of few lines, with the same seams as the real one.
var small = map[string]string{
	"pwa/ui/index.html":          `<html data-build="{{.Build}}"><link rel="stylesheet" href="{{.Style}}"><link rel="icon" href="{{.Icon}}">{{range .Preload}}<link href="/{{.}}">{{end}}<script type="module" src="{{.Script}}"></script>`,
	"pwa/ui/main.tsx":            `import { say } from "./say"; say(__WORKER_URL__, __BUILD__); location.pathname === "/wall" ? import("./wall/wall") : import("./phone/phone-app");`,
	"pwa/ui/say.ts":              `export function say(...what: string[]) { console.log(what); } export const shared = "heard by all";`,
	"pwa/ui/phone/phone-app.tsx": `import { shared } from "../say"; console.log("the phone", shared);`,
	"pwa/ui/wall/wall.ts":        `import { shared } from "../say"; console.log("the wall", shared);`,
	"pwa/worker/main.ts":         `console.log("the worker", __ENGINE_URL__, new Go());`,
	"pwa/styles/all.css":         `@import "./tokens.css"; p { color: red }`,
	"pwa/styles/tokens.css":      `@font-face { font-family: "E"; src: url("encode-sans.woff2") }`,
	"pwa/sw/sw.ts":               `console.log("the keeper", __BUILD__, __SHELL__, __APART__);`,
	"pwa/" + fontFile:            "a font",
	"go.mod":                     "module rootledger\n", "go.sum": "", "shared/a.go": "package a\n", "shared/a_test.go": "package a\n",
	"syncengine/a.go": "package a\n", "pwa/package-lock.json": "{}", "pwa/build/a.go": "package a\n", "pwa/bridge/a.go": "package a\n", "pwa/words/en.json": "{}",
}

// smallSite writes the small app, with changes, and returns a site to build it.
func smallSite(t *testing.T, changes map[string]string) *site {
	t.Helper()
	s := &site{root: t.TempDir(), quick: true}
	s.app = filepath.Join(s.root, "pwa", "assets", "app")
	texts := maps.Clone(small)
	maps.Copy(texts, changes)
	texts["pwa/assets/assets.go"] = "package assets\n"
	for name, text := range texts {
		put(t, s, name, text)
	}
	return s
}

func put(t *testing.T, s *site, name, text string) {
	t.Helper()
	where := filepath.Join(s.root, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(where), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(where, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func assembled(t *testing.T, changes map[string]string, engine string) *site {
	t.Helper()
	s := smallSite(t, changes)
	if err := s.assemble([]byte(engine)); err != nil {
		t.Fatal(err)
	}
	return s
}

// named finds the file whose name begins so, and fails unless it is one.
func (s *site) named(t *testing.T, begin, end string) (name, text string) {
	t.Helper()
	for one, content := range s.files {
		if strings.HasPrefix(one, begin) && strings.HasSuffix(one, end) {
			if name != "" {
				t.Fatalf("both %s and %s begin with %s", name, one, begin)
			}
			name, text = one, string(content)
		}
	}
	if name == "" {
		t.Fatalf("nothing begins with %s among %v", begin, slices.Sorted(maps.Keys(s.files)))
	}
	return name, text
}

func holds(t *testing.T, what, text string, parts ...string) {
	t.Helper()
	for _, part := range parts {
		if !strings.Contains(text, part) {
			t.Errorf("%s: got %q, want %q in it", what, text, part)
		}
	}
}

func TestEachPartKnowsTheOthers(t *testing.T) {
	s := assembled(t, nil, "wasm")
	engine, _ := s.named(t, "static/engine-", ".wasm")
	worker, workerText := s.named(t, "static/worker-", ".js")
	holds(t, "worker", workerText, "the worker", "/"+engine, "globalThis.Go")
	style, styleText := s.named(t, "static/style-", ".css")
	font, fontText := s.named(t, "static/encode-sans", ".woff2")
	holds(t, "style", styleText, "/"+font, "color:red")
	if fontText != "a font" {
		t.Errorf("font: got %q", fontText)
	}
	main, mainText := s.named(t, "static/main-", ".js")
	chunk, _ := s.named(t, "static/chunk-", ".js")
	page := string(s.files["index.html"])
	icon, _ := s.named(t, "static/icon-", ".svg")
	holds(t, "page", page, `src="/`+main+`"`, `href="/`+style+`"`, `href="/`+icon+`"`, `href="/`+chunk+`"`)
	_, build, _ := strings.Cut(page, `data-build="`)
	build, _, _ = strings.Cut(build, `"`)
	if build == noBuild || len(build) != 12 {
		t.Errorf("build: got %q", build)
	}
	holds(t, "main", mainText, "/"+worker, build)
	keeper := string(s.files["sw.js"])
	holds(t, "keeper", keeper, build, `["/","/manifest.webmanifest"`)
	for name := range s.files {
		if name != "sw.js" && name != "index.html" {
			holds(t, "keeper", keeper, `"/`+name+`"`)
		}
	}
	holds(t, "manifest", string(s.files["manifest.webmanifest"]), `"Rootledger"`, `"standalone"`, `"#e4eadf"`, "/"+icon, `"192x192"`, `"512x512"`)
}

func TestFirstScreenIsWhatAPhoneLoads(t *testing.T) {
	s := assembled(t, nil, "wasm")
	first := strings.Join(s.firstJS, " ")
	holds(t, "first screen", first, "static/main-", "static/chunk-", "static/phone-")
	if len(s.firstJS) != 3 {
		t.Errorf("first screen: got %v, want three scripts", s.firstJS)
	}
}

// What is of use only beside the room's server is served and not kept.
func TestWhatIsFetchedOnlyIsNotKept(t *testing.T) {
	s := assembled(t, map[string]string{
		"pwa/ui/phone/phone-app.tsx": `import("../join/decode"); console.log("the phone");`,
		fetchedSource:                `console.log("reads codes");`,
	}, "wasm")
	if len(s.fetched) != 1 || !strings.Contains(string(s.files[s.fetched[0]]), "reads codes") {
		t.Fatalf("fetched only: %q", s.fetched)
	}
	if keeper := string(s.files["sw.js"]); strings.Contains(keeper, s.fetched[0]) || !strings.Contains(keeper, s.firstJS[0]) {
		t.Errorf("the keeper keeps %s, or not %s:\n%s", s.fetched[0], s.firstJS[0], keeper)
	}
}

// What the office or walls alone show is kept where one of them is opened.
func TestWhatOneFaceAloneShowsIsKeptApart(t *testing.T) {
	s := assembled(t, map[string]string{
		"pwa/ui/main.tsx":              `console.log(__WORKER_URL__, __BUILD__); import("./wall/wall-app"); import("./office/office-app"); import("./phone/phone-app");`,
		"pwa/ui/wall/wall-app.tsx":     `import { shared } from "../say"; console.log("the wall", shared);`,
		"pwa/ui/office/office-app.tsx": `import("./tables"); import("../figures"); console.log("the office");`,
		"pwa/ui/office/tables.tsx":     `console.log("its tables");`,
		"pwa/ui/figures.tsx":           `console.log("figures for all");`,
		"pwa/ui/phone/phone-app.tsx":   `import { shared } from "../say"; import("../figures"); console.log("the phone", shared);`,
	}, "wasm")
	said := map[string]bool{}
	for _, name := range s.apart {
		for _, what := range []string{"the wall", "the office", "its tables"} {
			said[what] = said[what] || strings.Contains(string(s.files[name]), what)
		}
	}
	if len(s.apart) != 3 || len(said) != 3 || !said["the wall"] || !said["the office"] || !said["its tables"] {
		t.Errorf("apart: %q, they say %v", s.apart, said)
	}
	for _, name := range s.apart {
		holds(t, "keeper", string(s.files["sw.js"]), `"/`+name+`"`)
	}
}

const fetchedSource = "pwa/ui/join/decode.ts"

func TestSameAppHasSameNames(t *testing.T) {
	names := func(s *site) string { return strings.Join(slices.Sorted(maps.Keys(s.files)), " ") }
	base := assembled(t, nil, "wasm")
	if a, b := names(base), names(assembled(t, nil, "wasm")); a != b {
		t.Errorf("got %s and %s", a, b)
	}
	for what, other := range map[string]*site{
		"a comment":      assembled(t, map[string]string{"pwa/ui/say.ts": "// hm\n" + small["pwa/ui/say.ts"]}, "wasm"),
		"another engine": assembled(t, nil, "wasm2"),
		"another style":  assembled(t, map[string]string{"pwa/styles/all.css": `@import "./tokens.css"; p { color: blue }`}, "wasm"),
		"another keeper": assembled(t, map[string]string{"pwa/sw/sw.ts": `console.log("a keeper", __BUILD__, __SHELL__);`}, "wasm"),
	} {
		same := bytes.Equal(other.files["sw.js"], base.files["sw.js"])
		if same != (what == "a comment") {
			t.Errorf("%s: the keeper stayed the same: %v", what, same)
		}
	}
}

func TestBrokenSourcesFailTheBuild(t *testing.T) {
	for what, changes := range map[string]map[string]string{
		"screens": {"pwa/ui/main.tsx": "import './none'"}, "worker": {"pwa/worker/main.ts": "("},
		"styles": {"pwa/styles/all.css": "@import './none.css';"}, "keeper": {"pwa/sw/sw.ts": "("}, "page": {"pwa/ui/index.html": "{{"},
	} {
		if err := smallSite(t, changes).assemble([]byte("wasm")); err == nil {
			t.Errorf("%s: no error", what)
		}
	}
}

func unpack(t *testing.T, r io.Reader, err error) string {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestPackAndWrite(t *testing.T) {
	s := assembled(t, nil, strings.Repeat("wasm ", 1000))
	files, err := s.pack()
	if err != nil {
		t.Fatal(err)
	}
	text, over := s.budgets(files)
	holds(t, "table", text, "the engine", "a phone's first screen", "everything a phone keeps")
	if over {
		t.Errorf("over budget: %s", text)
	}
	put(t, s, "pwa/assets/app/old", "old")
	if err := s.write(files, text, "inputs"); err != nil {
		t.Fatal(err)
	}
	for name, raw := range s.files {
		where := filepath.Join(s.app, filepath.FromSlash(name))
		if got, err := os.ReadFile(where); err != nil || !bytes.Equal(got, raw) {
			t.Errorf("%s: %v", name, err)
		}
		if strings.HasSuffix(name, ".png") || strings.HasSuffix(name, ".woff2") {
			continue
		}
		gz, err := os.Open(where + ".gz")
		if err != nil {
			t.Fatal(err)
		}
		unzip, err := gzip.NewReader(gz)
		if got := unpack(t, unzip, err); got != string(raw) {
			t.Errorf("%s.gz: got %q", name, got)
		}
		gz.Close()
		br, err := os.Open(where + ".br")
		if got := unpack(t, brotli.NewReader(br), err); got != string(raw) {
			t.Errorf("%s.br: got %q", name, got)
		}
		br.Close()
	}
	for _, gone := range []string{filepath.Join(s.app, "old"), s.app + "-new", filepath.Join(s.root, "pwa", "assets", ".app-old")} {
		if _, err := os.Stat(gone); !os.IsNotExist(err) {
			t.Errorf("%s is still there: %v", gone, err)
		}
	}
}

// What the engine is squeezed to unpacks to the engine, and is smaller than the
// library's gzip.
func TestSqueeze(t *testing.T) {
	if _, err := os.Stat("../node_modules/@gfx/zopfli"); err != nil && os.Getenv("CI") != "true" {
		t.Skip("the packer is not here; run make build, which fetches it")
	}
	raw, err := os.ReadFile("build_test.go")
	if err != nil {
		t.Fatal(err)
	}
	s := &site{root: filepath.Join("..", "..")}
	small, err := s.squeeze(raw)
	if err != nil {
		t.Fatal(err)
	}
	unzip, err := gzip.NewReader(bytes.NewReader(small))
	if got := unpack(t, unzip, err); got != string(raw) {
		t.Error("it unpacks to something else")
	}
	if usual, err := zip(raw); err != nil || len(small) >= len(usual) {
		t.Errorf("%d bytes, the library makes %d (%v)", len(small), len(usual), err)
	}
}

func TestWhatIsPackedIsNotPackedAgain(t *testing.T) {
	s := assembled(t, nil, "wasm")
	engine, _ := s.named(t, "static/engine-", ".wasm")
	files := map[string]packed{engine: {raw: []byte("wasm"), gz: []byte("g"), br: []byte("b")}}
	if err := s.write(files, "", ""); err != nil {
		t.Fatal(err)
	}
	if p, ok := s.packedBefore(engine); !ok || string(p.br) != "b" || string(p.gz) != "g" {
		t.Errorf("got %v, %v", p, ok)
	}
	s.files[engine] = []byte("other")
	if _, ok := s.packedBefore(engine); ok {
		t.Error("took what is not the same")
	}
	s.files[engine], s.quick = []byte("wasm"), false
	if _, ok := s.packedBefore(engine); ok {
		t.Error("took what was compressed lightly")
	}
}

func TestBudgetsBite(t *testing.T) {
	form := make([]byte, engineGzip)
	s := &site{firstJS: []string{"static/main.js"}, fetched: []string{"static/read.js"}, apart: []string{"static/office.js"}}
	for what, one := range map[string]struct {
		files map[string]packed
		over  bool
	}{
		"nothing":        {map[string]packed{}, false},
		"just":           {map[string]packed{"static/engine.wasm": {gz: form[:engineGzip], br: form[:engineBrotli]}}, false},
		"engine, brotli": {map[string]packed{"static/engine.wasm": {gz: form[:engineGzip], br: form[:engineBrotli+1]}}, true},
		"engine, gzip":   {map[string]packed{"static/engine.wasm": {gz: append(form, 0), br: form[:engineBrotli]}}, true},
		"first":          {map[string]packed{"static/main.js": {gz: form[:firstGzip+1], br: form[:9]}}, true},
		"not the first":  {map[string]packed{"static/wall.js": {gz: form[:firstGzip+1], br: form[:9]}}, false},
		"all":            {map[string]packed{"a.js": {gz: form, br: form[:shellBrotli-9]}, "b.png": {raw: form[:10]}}, true},
		"fetched":        {map[string]packed{"static/read.js": {gz: form, br: form[:fetchedBrotli+1]}}, true},
		"apart":          {map[string]packed{"static/office.js": {gz: form, br: form[:apartBrotli+1]}}, true},
		"kept apart":     {map[string]packed{"a.js": {gz: form, br: form[:shellBrotli]}, "static/office.js": {gz: form, br: form[:apartBrotli]}}, false},
		"not kept":       {map[string]packed{"a.js": {gz: form, br: form[:shellBrotli]}, "static/read.js": {gz: form, br: form[:fetchedBrotli]}}, false},
		"the keeper":     {map[string]packed{"a.js": {gz: form, br: form[:shellBrotli]}, "sw.js": {raw: form[:10]}}, false},
	} {
		if text, over := s.budgets(one.files); over != one.over {
			t.Errorf("%s: over is %v, want %v\n%s", what, over, one.over, text)
		}
	}
}

func TestInputsNoticeWhatMatters(t *testing.T) {
	s := smallSite(t, nil)
	before, err := s.inputs()
	if err != nil {
		t.Fatal(err)
	}
	if s.upToDate(before) {
		t.Error("up to date without a result")
	}
	if err := s.write(nil, "", before); err != nil {
		t.Fatal(err)
	}
	if !s.upToDate(before) {
		t.Error("not up to date after writing")
	}
	for name, matters := range map[string]bool{
		"pwa/ui/main.tsx": true, "shared/a.go": true, "shared/deep/b.go": true, "pwa/build/a.go": true, "pwa/words/en.json": true, "go.sum": true,
		"shared/a_test.go": false, "shared/testdata/a.txt": false, "server/a.go": false, "README.md": false,
	} {
		last, err := s.inputs()
		if err != nil {
			t.Fatal(err)
		}
		put(t, s, name, "changed")
		if now, err := s.inputs(); err != nil || (now != last) != matters {
			t.Errorf("%s: noticed %v, want %v (%v)", name, now != last, matters, err)
		}
	}
}

func TestMark(t *testing.T) {
	for _, size := range []int{192, 512} {
		drawn, err := markPNG(size)
		if err != nil {
			t.Fatal(err)
		}
		picture, err := png.Decode(bytes.NewReader(drawn))
		if err != nil {
			t.Fatal(err)
		}
		if got := picture.Bounds().Dx(); got != size {
			t.Errorf("width: got %d, want %d", got, size)
		}
		in := func(x, y float64) bool { // in the mark's own box
			at := func(v float64) int { return int(float64(size) * ((1-markShare)/2 + markShare*v/markBox)) }
			r, _, _, _ := picture.At(at(x), at(y)).RGBA()
			return r>>8 == uint32(ink.R)
		}
		for _, p := range []point{{8, 25}, {20, 25}, {33, 25}, {48, 30}, {48, 55}, {20, 41}, {60, 41}} {
			if !in(p.x, p.y) {
				t.Errorf("%d: %v is not inked", size, p)
			}
		}
		for _, p := range []point{{-5, -5}, {14, 25}, {27, 25}, {40.5, 25}, {20, 36}, {53.5, 41}, {20, 50}, {5, 12}, {69, 69}} {
			if in(p.x, p.y) {
				t.Errorf("%d: %v is inked", size, p)
			}
		}
	}
	holds(t, "drawing", string(markSVG()), mark, colour)
}
