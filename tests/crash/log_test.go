package crash

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
)

// The layout of SQLite's write-ahead log: a header, then frames, each with a
// header of its own before one page. Numbers are big-endian.
const (
	logHeader   = 32
	frameHeader = 24
)

// writeAhead is a write-ahead log as a killed server left it.
type writeAhead struct {
	bytes   []byte
	frame   int   // bytes of one frame
	frames  int   // of the newest round; what is behind them is older
	commits []int // where each commit ends, in bytes from the start
}

func readLog(path string) (w writeAhead, err error) {
	if w.bytes, err = os.ReadFile(path); err != nil {
		return w, err
	}
	if len(w.bytes) < logHeader {
		return w, errors.New("the log has no header")
	}
	salt := string(w.bytes[16:24])
	w.frame = frameHeader + int(binary.BigEndian.Uint32(w.bytes[8:]))
	for at := logHeader; at+w.frame <= len(w.bytes) && string(w.bytes[at+8:at+16]) == salt; at += w.frame {
		w.frames++
		if binary.BigEndian.Uint32(w.bytes[at+4:]) != 0 { // the database's size: a commit
			w.commits = append(w.commits, at+w.frame)
		}
	}
	return w, nil
}

// before is the end of the last commit within the first n bytes, 0 for none.
func (w writeAhead) before(n int) int {
	last := 0
	for _, end := range w.commits {
		if end <= n {
			last = end
		}
	}
	return last
}

// damage is what happened to a log, and up to where it must still count.
type damage struct {
	name  string
	keep  int
	bytes func(writeAhead) []byte // what is left of the log
}

// damages are some damages of each sort, and when soaking a cut at every byte of
// the last commit, and a bit turned over in every byte of its last frame.
func (w writeAhead) damages(random *rand.Rand) []damage {
	all := slices.Concat(w.cuts(), w.tornInPlace(random), w.flips(random))
	end := w.commits[len(w.commits)-1]
	begin := w.commits[len(w.commits)-2]
	if soaking() {
		for at := begin; at < end; at++ {
			all = append(all, w.cutAt(at))
			if at >= end-w.frame {
				all = append(all, w.flipAt(at, random.IntN(8)))
			}
		}
		return all
	}
	for range 20 {
		all = append(all, w.cutAt(begin+random.IntN(end-begin)))
	}
	return all
}

func (w writeAhead) cutAt(n int) damage {
	return damage{fmt.Sprintf("cut to %d bytes", n), w.before(n), func(w writeAhead) []byte { return w.bytes[:n:n] }}
}

// changed is a damage that leaves a log as long as it is.
func (w writeAhead) changed(name string, from int, change func(log []byte)) damage {
	return damage{name, w.before(from), func(w writeAhead) []byte {
		log := bytes.Clone(w.bytes)
		change(log)
		return log
	}}
}

// cuts are the beginning, and around the ends of the last commits: behind one,
// a byte short of it, in the middle of its last page, in the header before that
// page, and in front of the frame.
func (w writeAhead) cuts() (out []damage) {
	for _, n := range []int{0, logHeader / 2, logHeader, logHeader + w.frame/2, w.commits[0]} {
		out = append(out, w.cutAt(n))
	}
	for _, end := range w.commits[len(w.commits)-5:] {
		for _, short := range []int{w.frame, w.frame - frameHeader/2, w.frame / 2, 1, 0} {
			out = append(out, w.cutAt(end-short))
		}
	}
	return out
}

// tornInPlace are last commits of which only a beginning reached the disk, with
// zeros or rubbish in the place of the rest.
func (w writeAhead) tornInPlace(random *rand.Rand) (out []damage) {
	for _, end := range w.commits[len(w.commits)-3:] {
		from := end - w.frame + 16 // the checksum of the commit's last frame
		out = append(out,
			w.changed(fmt.Sprintf("zeros from %d", from), from, func(log []byte) { clear(log[from:]) }),
			w.changed(fmt.Sprintf("rubbish from %d", from), from, func(log []byte) {
				for i := from; i < len(log); i++ {
					log[i] = byte(random.Uint32())
				}
			}))
	}
	return out
}

// flips turn one bit over: once in the log's header, else anywhere in a frame.
func (w writeAhead) flips(random *rand.Rand) []damage {
	out := []damage{w.flipAt(random.IntN(logHeader), random.IntN(8))}
	for range 9 {
		out = append(out, w.flipAt(logHeader+random.IntN(w.frames*w.frame), random.IntN(8)))
	}
	return out
}

// flipAt turns one bit over: the frame that it is in and all behind it are lost.
func (w writeAhead) flipAt(at, bit int) damage {
	return w.changed(fmt.Sprintf("bit %d of byte %d", bit, at), at, func(log []byte) { log[at] ^= 1 << bit })
}
