package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"runtime"
	"strings"
)

// A Go program knows of every function, for every call in it, the frame's size
// and pointers and what was inlined there, which it runs by (recover walks what
// was inlined, too), and the file and the line, which only stack traces print.
// The latter stay for the functions of this module alone. Of the library's a
// trace still has the name.
//
// The tables are those of Go 1.26: pcHeader and moduledata in
// runtime/symtab.go, _func in runtime/runtime2.go, the kinds of tables in
// internal/abi/symtab.go. Numbers are little-endian.
const (
	linesKnown = "go1.26"

	tablesMagic  = "\xf1\xff\xff\xff\x00\x00\x01\x08"
	headerBytes  = 72
	moduleGofunc = 320 // where moduledata has the address of what offsets in funcdata count from

	// The fields of a function, then as many tables of pcs, then funcdata.
	funcName, funcStack, funcFile, funcLine, funcTables = 4, 16, 20, 24, 28
	funcUnit, funcStartLine, funcData, funcBytes        = 32, 36, 43, 44

	tableUnsafe, tableArguments, mostTables = 0, 3, 5
	mostFuncData                            = 8
)

// own begins the names of functions whose lines stay.
var own = []string{"rootledger/", "main."}

var errTables = errors.New("build: the engine's tables of functions are not those of " + linesKnown)

// knowsTables says whether this is the Go whose tables are known.
func knowsTables() bool { return strings.HasPrefix(runtime.Version(), linesKnown) }

// tables is where the tables lie in a program's memory.
type tables struct {
	memory               []byte
	names, namesEnd, pcs int
	funcs                []int
	pcsUsed              []bool
}

// forgetLines makes zeros of the lines that are not kept.
func forgetLines(memory []byte) (err error) {
	// An offset that leads out of the memory comes from tables of another
	// shape, wherever it is met.
	defer func() {
		if recover() != nil {
			err = errTables
		}
	}()
	t, err := findTables(memory)
	if err != nil {
		return err
	}
	for _, f := range t.funcs {
		if !t.forget(f) {
			return errTables
		}
	}
	for i, used := range t.pcsUsed {
		if !used {
			memory[t.pcs+i] = 0
		}
	}
	return nil
}

func (t *tables) word(at int) int { return int(binary.LittleEndian.Uint32(t.memory[at:])) }

func (t *tables) zero(at int) { clear(t.memory[at : at+4]) }

func findTables(memory []byte) (*tables, error) {
	at := bytes.Index(memory, []byte(tablesMagic))
	if at < 0 {
		return nil, errTables
	}
	t := &tables{memory: memory}
	t.names, t.namesEnd, t.pcs = at+t.word(at+32), at+t.word(at+40), at+t.word(at+56)
	list := at + t.word(at+64)
	begin := binary.LittleEndian.AppendUint64(nil, uint64(at))
	begin = binary.LittleEndian.AppendUint64(begin, uint64(t.names))
	module := bytes.Index(memory, begin)
	if module < 0 || t.names != at+headerBytes || t.namesEnd <= t.names || t.pcs <= t.namesEnd || list <= t.pcs {
		return nil, errTables
	}
	data := t.word(module + moduleGofunc)
	t.pcsUsed = make([]bool, list-t.pcs)
	for i := range t.word(at + 8) {
		t.funcs = append(t.funcs, list+t.word(list+8*i+4))
	}
	if len(t.funcs) == 0 || data <= t.funcs[len(t.funcs)-1] {
		return nil, errTables
	}
	return t, nil
}

// forget drops what one function needs for traces only, and notes what it keeps.
func (t *tables) forget(f int) bool {
	n, m := t.word(f+funcTables), int(t.memory[f+funcData])
	if n > mostTables || m > mostFuncData {
		return false
	}
	pcs := f + funcBytes
	var drop []int
	if !t.own(f) {
		drop = []int{f + funcFile, f + funcLine, f + funcUnit, f + funcStartLine}
	}
	for kind := range n {
		if kind == tableUnsafe || kind == tableArguments {
			drop = append(drop, pcs+4*kind)
		}
	}
	for _, at := range drop {
		t.zero(at)
	}
	for _, at := range []int{f + funcStack, f + funcFile, f + funcLine} {
		if !t.use(t.word(at)) {
			return false
		}
	}
	for kind := range n {
		if !t.use(t.word(pcs + 4*kind)) {
			return false
		}
	}
	return true
}

// own says whether a function's lines stay.
func (t *tables) own(f int) bool {
	name := t.memory[t.names+t.word(f+funcName) : t.namesEnd]
	for _, begin := range own {
		if bytes.HasPrefix(name, []byte(begin)) {
			return true
		}
	}
	return false
}

// use notes that a table of pcs stays.
func (t *tables) use(at int) bool {
	if at == 0 { // there is none
		return true
	}
	end, _, ok := t.walk(at)
	for i := at; ok && i < end; i++ {
		t.pcsUsed[i] = true
	}
	return ok
}

// walk goes through a table of pcs, which is pairs of steps, of the value and
// of the pc, up to a step of no value. It returns the table's end and the
// largest value.
func (t *tables) walk(at int) (end, largest int, ok bool) {
	table := t.memory[t.pcs : t.pcs+len(t.pcsUsed)]
	value := -1
	largest = -1
	for first := true; ; first = false {
		step, n := binary.Uvarint(table[at:])
		if n <= 0 {
			return 0, 0, false
		}
		if step == 0 && !first {
			return at + n, largest, true
		}
		_, m := binary.Uvarint(table[at+n:])
		if m <= 0 {
			return 0, 0, false
		}
		value += int(int32(uint32(step)>>1) ^ -int32(step&1))
		largest = max(largest, value)
		at += n + m
	}
}
