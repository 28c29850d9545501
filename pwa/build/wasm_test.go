package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func TestSegmentsMakeTheSameMemory(t *testing.T) {
	far := func(zeros int) []byte {
		return append(append([]byte{7}, make([]byte, zeros)...), 9)
	}
	for name, one := range map[string]struct {
		memory []byte
		count  byte
	}{
		"nothing":              {nil, 0},
		"one byte":             {[]byte{5}, 1},
		"zeros before":         {append(make([]byte, 3*gap), 5), 1},
		"a short gap":          {far(gap - 1), 1},
		"a gap":                {far(gap), 2},
		"addresses of 2 bytes": {append(make([]byte, 64), 5), 1},
		"every byte":           {bytes.Repeat([]byte{0, 1, 0x40, 0x7f, 0x80, 0xff}, 9000), 1},
	} {
		body := segmentsOf(one.memory)
		if body[0] != one.count {
			t.Errorf("%s: got %d segments, want %d", name, body[0], one.count)
		}
		back := make([]byte, len(one.memory))
		got, err := memoryOf(body)
		copy(back, got)
		if err != nil || !bytes.Equal(back, one.memory) || len(got) > len(one.memory) {
			t.Errorf("%s: got back %d bytes, not the same %d: %v", name, len(got), len(one.memory), err)
		}
	}
	if body := segmentsOf(append([]byte{1}, make([]byte, 99)...)); len(body) != 7 {
		t.Errorf("zeros at the end: got %x, want none of them", body)
	}
}

func TestWhatIsNoEngineIsRefused(t *testing.T) {
	for name, text := range map[string]string{
		"nothing":            "",
		"a text":             "not a module",
		"a section cut":      wasmMagic + "\x0b\x05\x01",
		"no length":          wasmMagic + "\x0b",
		"a segment cut":      wasmMagic + "\x0b\x06\x01\x00\x41\x00\x0b\x05",
		"a passive segment":  wasmMagic + "\x0b\x04\x01\x01\x01\x00",
		"more than segments": wasmMagic + "\x0b\x02\x00\x00",
		"an address below 0": wasmMagic + "\x0b\x06\x01\x00\x41\x7f\x0b\x00",
		"no tables":          wasmMagic + "\x0b\x07\x01\x00\x41\x00\x0b\x01\x05",
	} {
		if _, err := slim([]byte(text), true); !errors.Is(err, errWASM) && !errors.Is(err, errTables) {
			t.Errorf("%s: got %v, want a refusal", name, err)
		}
	}
}

// program uses what the tables are for: stacks that grow and are moved, garbage
// found through pointers in them, calls put off, panics caught and not.
const program = `package main

import (
	"runtime/debug"
	"strings"
)

type node struct {
	next *node
	text string
}

var junk []byte

func grow(depth int) *node {
	if depth == 0 {
		return &node{text: "leaf"}
	}
	var pad [64]*node
	pad[depth%64] = grow(depth - 1)
	if depth%50 == 0 {
		junk = make([]byte, 1<<20)
	}
	return &node{pad[depth%64], strings.Repeat("x", depth%7)}
}

func held(text string) string {
	a := grow(200)
	junk = make([]byte, 1<<22)
	b := grow(300)
	junk = make([]byte, 1<<22)
	c := &node{text: strings.Repeat(text, len(a.text)+7)}
	junk = make([]byte, 1<<22)
	rest := ""
	for _, n := range []*node{a, b} {
		for ; n != nil; n = n.next {
			rest += n.text + c.text
		}
		junk = make([]byte, 1<<22)
	}
	return rest[len(rest)-20:]
}

func caught(a []int) (err error) {
	defer func() { err = recover().(error) }()
	println(a[5])
	return nil
}

func main() {
	debug.SetGCPercent(20)
	nodes, letters := 0, 0
	for n := grow(1500); n != nil; n = n.next {
		nodes, letters = nodes+1, letters+len(n.text)
	}
	println(nodes, letters, caught(nil).Error(), held("y"))
	done := make(chan *node)
	for i := range 20 {
		go func() { done <- grow(100 + i) }()
	}
	for range 20 {
		<-done
	}
	defer println("put off")
	println(strings.Repeat("x", nodes-letters))
}
`

func TestSlimProgramRunsTheSame(t *testing.T) {
	s := &site{root: t.TempDir(), quick: true}
	put(t, s, "go.mod", "module rootledger\n\ngo 1.26\n")
	put(t, s, "main.go", program)
	link := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", "linked.wasm", ".")
	link.Dir, link.Env = s.root, append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=", "GOWORK=off")
	if out, err := link.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	linked, err := os.ReadFile(filepath.Join(s.root, "linked.wasm"))
	if err != nil {
		t.Fatal(err)
	}
	want := ran(t, s, linked)
	holds(t, "as linked", want, "1501 4501 runtime error: index out of range [5] with length 0 yyyyyleafyyyyyyyyyyy\nput off\n",
		"panic: strings: negative Repeat count", "main.main()\n\trootledger/main.go:65 ", "\tstrings/strings.go:")
	smaller := len(linked)
	for _, known := range []bool{false, true} {
		module, err := slim(linked, known)
		if err != nil {
			t.Fatal(err)
		}
		p, err := s.packOne("engine.wasm", module)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.gz) > smaller*19/20 {
			t.Errorf("tables known %v: got %d bytes of gzip, before %d", known, len(p.gz), smaller)
		}
		smaller = len(p.gz)
		text := want
		if known {
			text = withoutLines(want)
		}
		if got := ran(t, s, module); got != text {
			t.Errorf("tables known %v: got %s\nwant %s", known, got, text)
		}
	}
}

// withoutLines is a trace that has no lines of the library.
func withoutLines(trace string) string {
	lines := strings.SplitAfter(trace, "\n")
	for i, line := range lines {
		if _, offset, ok := strings.Cut(line, " +0x"); ok && !strings.HasPrefix(line, "\trootledger/") {
			lines[i] = "\t?:0 +0x" + offset
		}
	}
	return strings.Join(lines, "")
}

// ran is what a program wrote that ends in a panic.
func ran(t *testing.T, s *site, module []byte) string {
	t.Helper()
	put(t, s, "program.wasm", string(module))
	start, err := wasmExec()
	if err != nil {
		t.Fatal(err)
	}
	run := exec.Command("node", strings.TrimSuffix(start, ".js")+"_node.js", filepath.Join(s.root, "program.wasm"))
	run.Env = []string{"PATH=" + os.Getenv("PATH")}
	out, err := run.CombinedOutput()
	var ended *exec.ExitError
	if !errors.As(err, &ended) || ended.ExitCode() != 2 {
		t.Fatalf("got %v, want a panic's exit code 2: %s", err, out)
	}
	return string(out)
}
