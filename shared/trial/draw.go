// Package trial answers: which set-up comes next, and what did each give? It
// keeps the trials of a session, their turns, and the outcomes of their arms.
package trial

import (
	"math/bits"

	"rootledger/shared/event"
)

// gamma is the step of the generator: 2^64 / golden ratio, odd.
const gamma = 0x9e3779b97f4a7c15

// random is the n-th output, from 0, of the generator splitmix64 that was started
// with seed (Steele GL, Lea D, Flood CH, Fast splittable pseudorandom number
// generators, OOPSLA 2014; constants as in Vigna's public version, from memory).
// It is a function of a counter, so no state is kept.
func random(seed, n uint64) uint64 {
	z := seed + (n+1)*gamma
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Draw is which of arms set-ups, from 0, a turn takes, turns counting from 1.
// Turns go in rounds of one turn an arm, each round a random permutation
// (permuted blocks), so that after every round all arms have had as many turns.
// arms is 1..event.MaxArms and turn >= 1; otherwise it is 0. The same arguments
// give the same arm on every machine.
func Draw(seed uint32, arms, turn int64) int64 {
	if arms < 1 || arms > event.MaxArms || turn < 1 {
		return 0
	}
	order := round(seed, arms, (turn-1)/arms)
	return order[(turn-1)%arms]
}

// round is the order of arms in one round, from 0: Fisher and Yates's shuffle
// (Durstenfeld R, Algorithm 235, Commun ACM 1964;7:420). A number below n is
// taken from the high half of a product, whose bias is below n in 2^64.
func round(seed uint32, arms, number int64) (order [event.MaxArms]int64) {
	for i := range order {
		order[i] = int64(i)
	}
	n := uint64(number) * uint64(arms-1) // outputs that earlier rounds took
	for i := arms - 1; i > 0; i-- {
		j, _ := bits.Mul64(random(uint64(seed), n), uint64(i+1))
		order[i], order[j] = order[j], order[i]
		n++
	}
	return order
}

// turnsOf is how many of the turns 1..turn an arm has.
func turnsOf(seed uint32, arms, arm, turn int64) int64 {
	whole := turn / arms
	order := round(seed, arms, whole)
	for _, one := range order[:turn%arms] {
		if one == arm {
			return whole + 1
		}
	}
	return whole
}
