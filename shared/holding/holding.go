// Package holding answers: how long are grafts out of the body? From pooled
// counts nobody knows which graft is which; the mean is known all the same, and
// how long the oldest waits when the first that came is the first that leaves.
//
//	came   out (intact, partly cut, retrieved), and at a split the pieces less one, then
//	left   placed, and all rejects, less what came back
//	mean   (Σ times of what left − Σ times of what came back − Σ times of the
//	       N first that came) / N, with N = placed + rejected − came back: the area
//	       between the two curves over N (Little JDC, Oper Res 1961;9:383-387),
//	       whichever graft left when
//
// A time is when an entry was made. So a graft that was told late, or was there
// before counting began, was out at the latest then, and a piece of a split has
// only waited since; one that was placed and told late was out for as long as that
// took to tell: times go by entries, and may be too short or too long. What the lead
// settled has no time; where counters count, it takes shots in the air from what came.
package holding

import "rootledger/shared/event"

// Move is what happened to grafts.
type Move uint8

// The moves.
const (
	Placed Move = iota
	Rejected
	CameBack
	Came    // out of the body, or a piece of a split
	Derived // out, as counters say of a pass by exception
	Less    // such a pass had an outcome that is not out: its latest are taken away
	IntoDish
	OutOfDish
	BackIntoDish
)

// The keys of departures of one moment.
const (
	placedKey = Placed
	backKey   = CameBack
)

// Entry is n grafts that moved at one time.
type Entry struct {
	Move Move
	AtMs int64 // ms since 1970 by the room's clock
	N    int64 // of Derived it may be below zero: a counter went backwards, and its pass's latest are taken away
	Of   int   // which pass or dish, counted from 0
}

// Tally is the coming and going of one session. The zero value is empty. It is a
// function of the set of entries that are in. What comes in order of time costs
// the same at any length; what does not is put in its place at the next read, in
// one go for all that came since the last.
type Tally struct {
	in     curve
	gone   curve    // keys hold the move
	moved  [3]int64 // grafts placed, rejected, came back
	leftMs int64    // Σ times of what left − Σ times of what came back

	fifo  fifo
	marks []fifo // before each sixteenth departure

	passes []pass
	dishes []dish
	edits  event.Register[*event.Keeping]
	limits Limits
}

// pass is one pass by exception. Of what its counters say came, the latest are
// taken away for every outcome that is not out, and for steps backwards.
type pass struct {
	said  curve // by counters
	keep  int64 // how many came after all; below zero is a finding
	given int64 // so many of said, from its beginning, are in the tally
}

// dish is what one dish knows: what came into it and what left it.
type dish struct {
	in     curve
	left   int64
	leftMs int64
}

// Add takes an entry in (sign 1), or one that is in out again (sign -1).
func (t *Tally) Add(e Entry, sign int64) {
	atMs, n := min(max(e.AtMs, 1), event.MaxMs), sign*e.N
	switch e.Move {
	case Came:
		t.in.add(atMs<<2, n)
	case Placed, Rejected, CameBack:
		t.gone.add(atMs<<2|int64(e.Move), n)
		t.moved[e.Move] += n
		t.leftMs += n * atMs * side(e.Move == CameBack)
	case Derived:
		p := t.pass(e.Of)
		p.keep += n
		if e.N > 0 {
			p.retract(&t.in, atMs<<2)
			p.said.add(atMs<<2, n)
		}
	case Less:
		t.pass(e.Of).keep -= n
	case IntoDish:
		t.dish(e.Of).in.add(atMs<<2, n)
	case OutOfDish, BackIntoDish:
		d := t.dish(e.Of)
		n *= side(e.Move == BackIntoDish)
		d.left, d.leftMs = d.left+n, d.leftMs+n*atMs
	}
}

func side(back bool) int64 {
	if back {
		return -1
	}
	return 1
}

// Clear forgets all entries, and keeps the limits: times are told anew.
func (t *Tally) Clear() { *t = Tally{edits: t.edits, limits: t.limits} }

func (t *Tally) pass(i int) *pass {
	for len(t.passes) <= i {
		t.passes = append(t.passes, pass{})
	}
	return &t.passes[i]
}

func (t *Tally) dish(i int) *dish {
	for len(t.dishes) <= i {
		t.dishes = append(t.dishes, dish{})
	}
	return &t.dishes[i]
}

// retract takes back what was given from a key on, for that changes its ranks.
func (p *pass) retract(in *curve, key int64) {
	if rank := p.said.rank(key); rank < p.given {
		p.said.part(rank, p.given, func(key, n int64) { in.add(key, -n) })
		p.given = rank
	}
}

// level gives as many as came after all, the earliest that the counters say.
func (p *pass) level(in *curve) {
	p.said.settle()
	want := min(max(p.keep, 0), p.said.total)
	if p.given < want {
		p.said.part(p.given, want, in.add)
	} else if p.given > want {
		p.said.part(want, p.given, func(key, n int64) { in.add(key, -n) })
	}
	p.given = want
}
