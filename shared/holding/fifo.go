package holding

// fifo is who waits and who left when the first that came is the first that
// leaves: grafts by their rank among those that came. What came back is the
// graft that was placed last, and goes first again; what was rejected never
// comes back. So ranks that were placed grow upwards, ranks that came back lie
// above them, and all that never left above those.
type fifo struct {
	done    int   // departures that were taken in
	next    int64 // the first rank that never left
	last    span  // the newest ranks that were placed
	below   *link // those placed before them, newest first
	back    *link // those that came back, lowest first
	longest int64 // that one had waited when it left, in ms
}

type span struct{ from, n int64 }

// link is never changed once it is made, so that a mark may keep it.
type link struct {
	span
	next *link
}

// markEvery is how many departures lie between two marks, from which what comes
// out of order is gone through again.
const markEvery = 16

// queue is the first-in-first-out of all departures so far.
func (t *Tally) queue() *fifo {
	if low := t.in.settle(); low != noKey && t.in.rank(low) < t.fifo.next {
		t.rewind(t.gone.find(low)) // departures before that moment have waited for nothing that changed
	}
	if low := t.gone.settle(); low != noKey {
		t.rewind(t.gone.find(low))
	}
	f := &t.fifo
	for ; f.done < len(t.gone.runs); f.done++ {
		if f.done%markEvery == 0 {
			t.marks = append(t.marks[:f.done/markEvery], *f)
		}
		r := &t.gone.runs[f.done]
		if Move(r.key&3) == backKey {
			f.giveBack(r.n)
		} else {
			f.take(&t.in, r.n, r.atMs(), Move(r.key&3) == placedKey)
		}
	}
	return f
}

// rewind goes back to the mark at or before a departure.
func (t *Tally) rewind(to int) {
	if to < t.fifo.done {
		t.fifo = t.marks[to/markEvery]
	}
}

// take lets n grafts leave; keep says that they may come back.
func (f *fifo) take(in *curve, n, atMs int64, keep bool) {
	for n > 0 {
		one := span{f.next, n}
		if b := f.back; b != nil {
			one = span{b.from, min(n, b.n)}
			f.back = b.next
			if one.n < b.n {
				f.back = &link{span{b.from + one.n, b.n - one.n}, b.next}
			}
		} else {
			f.next += n
		}
		if at := in.holds(one.from); at < len(in.runs) {
			f.longest = max(f.longest, atMs-in.runs[at].atMs())
		}
		if keep {
			f.place(one)
		}
		n -= one.n
	}
}

func (f *fifo) place(s span) {
	if f.last.n > 0 && f.last.from+f.last.n == s.from {
		f.last.n += s.n
		return
	}
	if f.last.n > 0 {
		f.below = &link{f.last, f.below}
	}
	f.last = s
}

// giveBack puts what was placed last in front of the queue. More than were
// placed can not come back: that is a finding of the stocks.
func (f *fifo) giveBack(n int64) {
	for n > 0 && f.last.n > 0 {
		one := min(n, f.last.n)
		f.last.n -= one
		s := span{f.last.from + f.last.n, one}
		if f.last.n == 0 && f.below != nil {
			f.last, f.below = f.below.span, f.below.next
		}
		if f.back != nil && s.from+s.n == f.back.from {
			f.back = &link{span{s.from, s.n + f.back.n}, f.back.next}
		} else {
			f.back = &link{s, f.back}
		}
		n -= one
	}
}

// front is the rank of the graft that has waited longest.
func (f *fifo) front() int64 {
	if f.back != nil {
		return f.back.from
	}
	return f.next
}
