package dose

import "math/bits"

// Fraction is an exact rational: an amount of a limit, both in ng. Den is above
// zero, Num not below.
type Fraction struct{ Num, Den int64 }

// compare is a sum of fractions against n/d: negative, zero or positive. It is
// exact, whatever the limits are, for it decides what is past one.
func compare(sum []Fraction, n, d uint64) int {
	// Both sides times d and every Den: d × Σ Num × Π other Den, and n × Π Den.
	whole, total := wide{1}, wide{}
	for _, f := range sum {
		total = total.times(uint64(f.Den)).plus(whole.times(uint64(f.Num)))
		whole = whole.times(uint64(f.Den))
	}
	return total.times(d).compare(whole.times(n))
}

// more says whether num/den is above a fraction.
func more(num, den int64, than Fraction) bool {
	return wide{uint64(num)}.times(uint64(than.Den)).compare(wide{uint64(than.Num)}.times(uint64(den))) > 0
}

// parts is a sum of fractions in parts per 10,000, halves up; at most mostParts.
func parts(sum []Fraction) int64 {
	var halves uint64 // in parts of 20,000, at first too few
	for _, f := range sum {
		if f.Num/f.Den >= mostParts/10_000 {
			return mostParts
		}
		high, low := bits.Mul64(uint64(f.Num), 20_000)
		n, _ := bits.Div64(high, low, uint64(f.Den))
		halves += n
	}
	for compare(sum, halves+1, 20_000) >= 0 {
		halves++
	}
	return min(mostParts, int64(halves+1)/2)
}

// mostParts is where a share stops: a million times the limit is a slip.
const mostParts = 10_000 * 1_000_000

// wide is a whole number of any size, its lowest word first and none of its
// highest words zero.
type wide []uint64

func (w wide) times(n uint64) wide {
	out := make(wide, 0, len(w)+1)
	carry := uint64(0)
	for _, word := range w {
		high, low := bits.Mul64(word, n)
		low, over := bits.Add64(low, carry, 0)
		out, carry = append(out, low), high+over
	}
	return append(out, carry).trimmed()
}

func (w wide) plus(v wide) wide {
	if len(v) > len(w) {
		w, v = v, w
	}
	out := make(wide, 0, len(w)+1)
	carry := uint64(0)
	for i, word := range w {
		other := uint64(0)
		if i < len(v) {
			other = v[i]
		}
		word, carry = bits.Add64(word, other, carry)
		out = append(out, word)
	}
	return append(out, carry).trimmed()
}

func (w wide) trimmed() wide {
	for len(w) > 0 && w[len(w)-1] == 0 {
		w = w[:len(w)-1]
	}
	return w
}

func (w wide) compare(v wide) int {
	if len(w) != len(v) {
		return len(w) - len(v)
	}
	for i := len(w) - 1; i >= 0; i-- {
		if w[i] != v[i] {
			if w[i] < v[i] {
				return -1
			}
			return 1
		}
	}
	return 0
}
