package crash

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
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
	if len(w.commits) < 20 {
		return w, fmt.Errorf("only %d commits are in the log", len(w.commits))
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

// damage is a damaged log, and up to where it must still count.
type damage struct {
	name string
	log  []byte
	keep int
}

func (w writeAhead) cutAt(n int) damage {
	return damage{fmt.Sprintf("cut to %d bytes", n), w.bytes[:n:n], w.before(n)}
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
		zeros := append([]byte(nil), w.bytes...)
		clear(zeros[from:])
		out = append(out, damage{fmt.Sprintf("zeros from %d", from), zeros, w.before(from)})
		rubbish := append([]byte(nil), w.bytes...)
		for i := from; i < len(rubbish); i++ {
			rubbish[i] = byte(random.Uint32())
		}
		out = append(out, damage{fmt.Sprintf("rubbish from %d", from), rubbish, w.before(from)})
	}
	return out
}

// flips turn one bit over: once in the log's header, else anywhere in a frame.
func (w writeAhead) flips(random *rand.Rand) (out []damage) {
	for i := range 10 {
		at, keep := random.IntN(logHeader), 0
		if i > 0 {
			nth := random.IntN(w.frames)
			at, keep = logHeader+nth*w.frame+random.IntN(w.frame), w.before(logHeader+nth*w.frame)
		}
		flipped := append([]byte(nil), w.bytes...)
		bit := random.IntN(8)
		flipped[at] ^= 1 << bit
		out = append(out, damage{fmt.Sprintf("bit %d of byte %d", bit, at), flipped, keep})
	}
	return out
}
