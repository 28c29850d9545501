package stats

import (
	"math"
	"testing"
)

// gridBits is the hash of every bit of every result over the grid. A server and
// a phone must both find it:
//
//	go test ./shared/stats
//	GOOS=js GOARCH=wasm go test -exec="$(go env GOROOT)/lib/wasm/go_js_wasm_exec" ./shared/stats
const gridBits uint64 = 0x7d9d35ae9e01b4e

// hash is FNV-1a over the bits of floats.
type hash uint64

func (h *hash) add(values ...float64) {
	for _, v := range values {
		bits := math.Float64bits(v)
		for range 8 {
			*h = (*h ^ hash(bits&0xff)) * 1099511628211
			bits >>= 8
		}
	}
}

func TestSameBitsEverywhere(t *testing.T) {
	h := hash(14695981039346656037)
	for x := -40.0; x < 40; x += 0.173 {
		h.add(exp(x), log(math.Abs(x)+0.01))
	}
	for n := int64(0); n < 140; n++ {
		h.add(pair(Garwood(n * n * n))...)
		h.add(stirling(float64(n + 1)))
	}
	for _, n := range []int64{1, 2, 3, 7, 20, 101, 997, 10_007, 250_000} {
		for i := int64(0); i <= 12; i++ {
			x := n * i / 12
			h.add(pair(Wilson(x, n))...)
			h.add(pair(ClopperPearson(x, n))...)
			h.add(pair(Newcombe(x, n, 12-i, 12))...)
			h.add(Binomial(x, n, 0.07), Binomial(x, n, 0.61), Rates(x, 1700+i, n-x, 1800))
		}
	}
	if uint64(h) != gridBits {
		t.Errorf("got %#x, want %#x", uint64(h), gridBits)
	}
}

func pair(lo, hi float64) []float64 { return []float64{lo, hi} }
