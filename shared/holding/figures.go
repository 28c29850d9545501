package holding

// Figures is how long grafts were, and are, out of the body. Times in ms.
type Figures struct {
	Came, Placed, Rejected, CameBack int64
	Left                             int64 // N: placed + rejected − came back

	MeanKnown bool // something left, no more than came, and as a whole after it
	MeanMs    int64
	LongestMs int64 // first-in-first-out; minutes in the skin of what came back count too

	Waiting    int64 // grafts still out: what came and did not leave, at most what the stocks say
	WaitedMs   int64 // their mean so far
	OldestAtMs int64 // since when the oldest of them is out, first-in-first-out, ms since 1970; 0 when none waits
	OldestMs   int64 // how long that is
}

// Read is the figures at nowMs. Stock is what the ledger says of bench and
// holding: it knows what was settled, which is taken for the latest that came.
func (t *Tally) Read(nowMs, stock int64) Figures {
	for i := range t.passes {
		t.passes[i].level(&t.in)
	}
	queue := t.queue()
	f := Figures{Came: t.in.total, Placed: t.moved[Placed], Rejected: t.moved[Rejected], CameBack: t.moved[CameBack]}
	f.Left = f.Placed + f.Rejected - f.CameBack
	if f.Left < 0 || f.Left > f.Came || !t.fits(f.Came) {
		return f // one tally is ahead of another: a finding of the stocks
	}
	gone := t.in.earliest(f.Left)
	if f.Left > 0 {
		if mean := nearest(t.leftMs-gone, f.Left); mean >= 0 {
			f.MeanKnown, f.MeanMs = true, mean
		}
		f.LongestMs = queue.longest
	}
	if f.Waiting = max(0, min(f.Came-f.Left, stock)); f.Waiting > 0 {
		f.WaitedMs = nowMs - nearest(t.in.earliest(f.Left+f.Waiting)-gone, f.Waiting)
		if at := t.in.holds(queue.front()); at < len(t.in.runs) {
			f.OldestAtMs = t.in.runs[at].atMs()
			f.OldestMs = nowMs - f.OldestAtMs
		}
	}
	return f
}

// fits says whether the sums of n grafts' times do. Those of a day do: 20,000
// grafts over 12 hours are a thousand millionth part of what fits.
func (t *Tally) fits(n int64) bool {
	const most = 1 << 62
	last := int64(0)
	for _, c := range [2]*curve{&t.in, &t.gone} {
		if len(c.runs) > 0 {
			last = max(last, c.runs[len(c.runs)-1].atMs())
		}
	}
	return n <= most/(last+1)
}

// Dish is what one dish tells of grafts in it: it knows when they were put in
// and not when they were taken, so they were out for longer than both say; where
// leaving is entered late, both are too long by that.
type Dish struct {
	OldestAtMs int64 // since when the oldest lies in it, first-in-first-out, ms since 1970; 0 when none does
	LeftKnown  bool  // something left it, no more than came into it, and as a whole after it
	Left       int64
	MeanMs     int64 // how long what left had been in it
}

// Dish reads one dish, counted from 0.
func (t *Tally) Dish(i int) (d Dish) {
	if i >= len(t.dishes) {
		return d
	}
	one := &t.dishes[i]
	one.in.settle()
	if at := one.in.holds(max(0, one.left)); at < len(one.in.runs) {
		d.OldestAtMs = one.in.runs[at].atMs()
	}
	if d.Left = one.left; d.Left > 0 && d.Left <= one.in.total {
		if mean := nearest(one.leftMs-one.in.earliest(d.Left), d.Left); mean >= 0 {
			d.LeftKnown, d.MeanMs = true, mean
		}
	}
	return d
}

// nearest is a / b rounded to the nearest whole number, halves up; b > 0.
func nearest(a, b int64) int64 {
	q := a / b
	if r := a - q*b; r < 0 {
		q--
	}
	if r := a - q*b; r >= b-r {
		q++
	}
	return q
}
