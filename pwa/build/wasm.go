package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// The parts of WebAssembly's binary format that are needed here: WebAssembly
// Core Specification, "Binary Format", "Modules" and "Values".
const (
	wasmMagic   = "\x00asm\x01\x00\x00\x00"
	dataSection = 11
	opConst     = 0x41 // i32.const
	opEnd       = 0x0b
)

// gap is how many zeros end a segment of data. Go's linker begins a new one
// wherever eight zeros lie. That makes 36,000 segments, each with an address
// and a length that no compressor foresees; zeros cost it next to nothing.
const gap = 4096

// mostData is how much data is read here at most, in bytes.
const mostData = 64 << 20

var errWASM = errors.New("build: the engine is not WebAssembly as Go writes it")

// section is one part of a module.
type section struct {
	id   byte
	body []byte
}

// slim makes a module as Go links it smaller once it is compressed. What runs
// is the same. Where the tables are not known, their lines stay.
func slim(module []byte, known bool) ([]byte, error) {
	all, err := sections(module)
	if err != nil {
		return nil, err
	}
	for i, s := range all {
		if s.id != dataSection {
			continue
		}
		memory, err := memoryOf(s.body)
		if err != nil {
			return nil, err
		}
		if known {
			if err := forgetLines(memory); err != nil {
				return nil, err
			}
		}
		all[i].body = segmentsOf(memory)
	}
	return joined(all), nil
}

// sections takes a module apart.
func sections(module []byte) ([]section, error) {
	rest, ok := bytes.CutPrefix(module, []byte(wasmMagic))
	if !ok {
		return nil, errWASM
	}
	var out []section
	for len(rest) > 0 {
		n, used := binary.Uvarint(rest[1:])
		from := 1 + used
		if used <= 0 || n > uint64(len(rest)-from) {
			return nil, errWASM
		}
		out = append(out, section{rest[0], rest[from : from+int(n)]})
		rest = rest[from+int(n):]
	}
	return out, nil
}

// joined puts a module together.
func joined(all []section) []byte {
	out := []byte(wasmMagic)
	for _, s := range all {
		out = binary.AppendUvarint(append(out, s.id), uint64(len(s.body)))
		out = append(out, s.body...)
	}
	return out
}

// memoryOf is what a data section makes of a memory of zeros.
func memoryOf(body []byte) ([]byte, error) {
	r := bytes.NewReader(body)
	var out []byte
	count, err := binary.ReadUvarint(r)
	for ; count > 0 && err == nil; count-- {
		var head [2]byte
		_, err1 := io.ReadFull(r, head[:])
		at, err2 := readSigned(r)
		end, err3 := r.ReadByte()
		n, err4 := binary.ReadUvarint(r)
		if err := errors.Join(err1, err2, err3, err4); err != nil {
			return nil, fmt.Errorf("%w: %w", errWASM, err)
		}
		if head != [2]byte{0, opConst} || end != opEnd || at < 0 || at > mostData || n > uint64(r.Len()) {
			return nil, errWASM
		}
		from, to := int(at), int(at)+int(n)
		out = append(out, make([]byte, max(0, to-len(out)))...)
		_, err = io.ReadFull(r, out[from:to])
	}
	if err != nil || r.Len() > 0 {
		return nil, errWASM
	}
	return out, nil
}

// segmentsOf is the data section that makes such a memory.
func segmentsOf(memory []byte) []byte {
	var out []byte
	count := uint64(0)
	for at := 0; ; count++ {
		for at < len(memory) && memory[at] == 0 {
			at++
		}
		if at == len(memory) {
			return append(binary.AppendUvarint(nil, count), out...)
		}
		end := at
		for next := at; next < len(memory) && next-end < gap; next++ {
			if memory[next] != 0 {
				end = next + 1
			}
		}
		out = appendSigned(append(out, 0, opConst), at)
		out = binary.AppendUvarint(append(out, opEnd), uint64(end-at))
		out = append(out, memory[at:end]...)
		at = end
	}
}

// readSigned reads a signed LEB128 number.
func readSigned(r io.ByteReader) (int64, error) {
	var n int64
	for shift := 0; shift < 35; shift += 7 {
		b, err := r.ReadByte()
		if err != nil {
			return 0, err
		}
		n |= int64(b&0x7f) << shift
		if b < 0x40 {
			return n, nil
		}
		if b < 0x80 {
			return n - 1<<(shift+7), nil
		}
	}
	return 0, errWASM
}

// appendSigned writes a number that is not negative as signed LEB128.
func appendSigned(out []byte, n int) []byte {
	for ; n >= 0x40; n >>= 7 {
		out = append(out, byte(n)|0x80)
	}
	return append(out, byte(n))
}
