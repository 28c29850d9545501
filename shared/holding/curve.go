package holding

// curve is how many grafts did something by when, in runs of one moment: what
// came, or what left. Sums of times wrap round at 64 bits, and so do differences
// of them, which come out right as long as they fit themselves.
type curve struct {
	runs  []run
	loose []run // what came out of order since, not in runs yet; below zero it takes out
	total int64 // grafts of runs and loose
	sum   int64 // their times, in ms
	low   int64 // the lowest key that changed since the last settle; noKey for none
}

// run is n grafts in one moment, and all that was before.
type run struct {
	key    int64 // 4 × ms since 1970, and which of the things that a moment can hold
	n      int64
	before int64 // grafts of the runs before
	sum    int64 // the sum of their times, in ms
}

func (r *run) atMs() int64 { return r.key >> 2 }

const noKey = 1<<63 - 1

// add takes n grafts in at a key, or out when n is below zero. In order that
// costs the same at any length; what is out of order waits for settle.
func (c *curve) add(key, n int64) {
	before, sum := c.total, c.sum
	c.total, c.sum = before+n, sum+n*(key>>2)
	if c.low > key || c.low == 0 {
		c.low = key
	}
	last := len(c.runs) - 1
	switch {
	case len(c.loose) > 0 || n < 0 && (last < 0 || c.runs[last].key != key) || last >= 0 && c.runs[last].key > key:
		c.loose = append(c.loose, run{key: key, n: n})
	case last >= 0 && c.runs[last].key == key:
		if c.runs[last].n += n; c.runs[last].n == 0 {
			c.runs = c.runs[:last]
		}
	default:
		c.runs = append(c.runs, run{key, n, before, sum})
	}
}

// settle puts everything in its place, and says from which key on something is
// another than at the settle before.
func (c *curve) settle() (low int64) {
	low, c.low = c.low, noKey
	if low == 0 {
		low = noKey
	}
	if len(c.loose) == 0 {
		return low
	}
	sort(c.loose)
	from := c.find(c.loose[0].key)
	tail := append([]run(nil), c.runs[from:]...)
	c.runs = c.runs[:from]
	for i, k := 0, 0; i < len(tail) || k < len(c.loose); {
		if k == len(c.loose) || i < len(tail) && tail[i].key <= c.loose[k].key {
			c.push(tail[i])
			i++
		} else {
			c.push(c.loose[k])
			k++
		}
	}
	c.loose = c.loose[:0]
	if cap(c.loose) > spare {
		c.loose = nil
	}
	return low
}

// spare is the longest list that is kept for what comes out of order next.
const spare = 64

// push appends a run, or adds it to the last one when that is of the same moment.
func (c *curve) push(r run) {
	last := len(c.runs) - 1
	r.before, r.sum = 0, 0
	if last >= 0 {
		at := &c.runs[last]
		if at.key == r.key {
			if at.n += r.n; at.n == 0 {
				c.runs = c.runs[:last]
			}
			return
		}
		r.before, r.sum = at.before+at.n, at.sum+at.n*at.atMs()
	}
	if r.n != 0 {
		c.runs = append(c.runs, r)
	}
}

// find is the place of the first run that does not come before a key.
func (c *curve) find(key int64) int {
	from, to := 0, len(c.runs)
	for from < to {
		if middle := int(uint(from+to) >> 1); c.runs[middle].key < key {
			from = middle + 1
		} else {
			to = middle
		}
	}
	return from
}

// holds is the place of the run that the graft of a rank is of, counted from 0;
// one behind the last for a rank that nothing has.
func (c *curve) holds(rank int64) int {
	from, to := 0, len(c.runs)
	for from < to {
		if middle := int(uint(from+to) >> 1); c.runs[middle].before+c.runs[middle].n <= rank {
			from = middle + 1
		} else {
			to = middle
		}
	}
	return from
}

// rank is how many grafts of the runs come before a key.
func (c *curve) rank(key int64) int64 {
	if at := c.find(key); at < len(c.runs) {
		return c.runs[at].before
	} else if at > 0 {
		return c.runs[at-1].before + c.runs[at-1].n
	}
	return 0
}

// earliest is the sum of the times of the n first grafts, 0 <= n <= total.
func (c *curve) earliest(n int64) int64 {
	at := c.holds(n)
	if at == len(c.runs) {
		return c.sum
	}
	r := &c.runs[at]
	return r.sum + (n-r.before)*r.atMs()
}

// part calls each for what the ranks from..to are made of, in order.
func (c *curve) part(from, to int64, each func(key, n int64)) {
	for at := c.holds(from); from < to; at++ {
		r := &c.runs[at]
		n := min(to, r.before+r.n) - from
		each(r.key, n)
		from += n
	}
}

// sort puts runs in order of their keys. It is Shell's with gaps of Knuth's (The
// Art of Computer Programming 3, 5.2.1): that of the library would weigh more on
// a phone than it saves.
func sort(list []run) {
	gap := 1
	for gap < len(list)/3 {
		gap = 3*gap + 1
	}
	for ; gap > 0; gap /= 3 {
		for i := gap; i < len(list); i++ {
			r, at := list[i], i
			for ; at >= gap && list[at-gap].key > r.key; at -= gap {
				list[at] = list[at-gap]
			}
			list[at] = r
		}
	}
}
