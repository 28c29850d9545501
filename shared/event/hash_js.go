package event

import "math/bits"

// On a phone the library's SHA-256 would bring its self-tests, clocks and files
// along: a third of the engine's bytes. This is FIPS 180-4, section 6.2, held
// to the library's by tests.

var roundConstants = [64]uint32{
	0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
	0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
	0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
	0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
	0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
	0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
	0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
	0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
}

// hashOf is the SHA-256 of a body.
func hashOf(body []byte) Hash {
	h := [8]uint32{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19}
	rest := body
	for ; len(rest) >= 64; rest = rest[64:] {
		hashBlock(&h, rest[:64])
	}
	var tail [128]byte
	n := copy(tail[:], rest)
	tail[n] = 0x80
	end := 64
	if n >= 56 {
		end = 128
	}
	for i, length := 0, uint64(len(body))*8; i < 8; i++ {
		tail[end-1-i] = byte(length >> (8 * i))
	}
	for at := 0; at < end; at += 64 {
		hashBlock(&h, tail[at:at+64])
	}
	var out Hash
	for i, word := range h {
		out[4*i], out[4*i+1], out[4*i+2], out[4*i+3] = byte(word>>24), byte(word>>16), byte(word>>8), byte(word)
	}
	return out
}

// hashBlock takes in one block. Eight rounds stand in a row, each with the
// letters one further on: Go's WebAssembly pays for every turn of a loop, and for
// moving eight words along it.
func hashBlock(h *[8]uint32, block []byte) {
	var w [64]uint32
	block = block[:64]
	for i := 0; i < 16; i++ {
		w[i] = uint32(block[4*i])<<24 | uint32(block[4*i+1])<<16 | uint32(block[4*i+2])<<8 | uint32(block[4*i+3])
	}
	for i := 16; i < 64; i += 2 {
		x, y := w[i-15], w[i-2]
		w[i] = w[i-16] + w[i-7] + (bits.RotateLeft32(x, -7) ^ bits.RotateLeft32(x, -18) ^ x>>3) + (bits.RotateLeft32(y, -17) ^ bits.RotateLeft32(y, -19) ^ y>>10)
		x, y = w[i-14], w[i-1]
		w[i+1] = w[i-15] + w[i-6] + (bits.RotateLeft32(x, -7) ^ bits.RotateLeft32(x, -18) ^ x>>3) + (bits.RotateLeft32(y, -17) ^ bits.RotateLeft32(y, -19) ^ y>>10)
	}
	a, b, c, d, e, f, g, k := h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7]
	for i := 0; i < 64; i += 8 {
		k += (bits.RotateLeft32(e, -6) ^ bits.RotateLeft32(e, -11) ^ bits.RotateLeft32(e, -25)) + (g ^ e&(f^g)) + roundConstants[i] + w[i]
		d, k = d+k, k+(bits.RotateLeft32(a, -2)^bits.RotateLeft32(a, -13)^bits.RotateLeft32(a, -22))+(a&b^c&(a^b))
		g += (bits.RotateLeft32(d, -6) ^ bits.RotateLeft32(d, -11) ^ bits.RotateLeft32(d, -25)) + (f ^ d&(e^f)) + roundConstants[i+1] + w[i+1]
		c, g = c+g, g+(bits.RotateLeft32(k, -2)^bits.RotateLeft32(k, -13)^bits.RotateLeft32(k, -22))+(k&a^b&(k^a))
		f += (bits.RotateLeft32(c, -6) ^ bits.RotateLeft32(c, -11) ^ bits.RotateLeft32(c, -25)) + (e ^ c&(d^e)) + roundConstants[i+2] + w[i+2]
		b, f = b+f, f+(bits.RotateLeft32(g, -2)^bits.RotateLeft32(g, -13)^bits.RotateLeft32(g, -22))+(g&k^a&(g^k))
		e += (bits.RotateLeft32(b, -6) ^ bits.RotateLeft32(b, -11) ^ bits.RotateLeft32(b, -25)) + (d ^ b&(c^d)) + roundConstants[i+3] + w[i+3]
		a, e = a+e, e+(bits.RotateLeft32(f, -2)^bits.RotateLeft32(f, -13)^bits.RotateLeft32(f, -22))+(f&g^k&(f^g))
		d += (bits.RotateLeft32(a, -6) ^ bits.RotateLeft32(a, -11) ^ bits.RotateLeft32(a, -25)) + (c ^ a&(b^c)) + roundConstants[i+4] + w[i+4]
		k, d = k+d, d+(bits.RotateLeft32(e, -2)^bits.RotateLeft32(e, -13)^bits.RotateLeft32(e, -22))+(e&f^g&(e^f))
		c += (bits.RotateLeft32(k, -6) ^ bits.RotateLeft32(k, -11) ^ bits.RotateLeft32(k, -25)) + (b ^ k&(a^b)) + roundConstants[i+5] + w[i+5]
		g, c = g+c, c+(bits.RotateLeft32(d, -2)^bits.RotateLeft32(d, -13)^bits.RotateLeft32(d, -22))+(d&e^f&(d^e))
		b += (bits.RotateLeft32(g, -6) ^ bits.RotateLeft32(g, -11) ^ bits.RotateLeft32(g, -25)) + (a ^ g&(k^a)) + roundConstants[i+6] + w[i+6]
		f, b = f+b, b+(bits.RotateLeft32(c, -2)^bits.RotateLeft32(c, -13)^bits.RotateLeft32(c, -22))+(c&d^e&(c^d))
		a += (bits.RotateLeft32(f, -6) ^ bits.RotateLeft32(f, -11) ^ bits.RotateLeft32(f, -25)) + (k ^ f&(g^k)) + roundConstants[i+7] + w[i+7]
		e, a = e+a, a+(bits.RotateLeft32(b, -2)^bits.RotateLeft32(b, -13)^bits.RotateLeft32(b, -22))+(b&c^d&(b^c))
	}
	h[0], h[1], h[2], h[3] = h[0]+a, h[1]+b, h[2]+c, h[3]+d
	h[4], h[5], h[6], h[7] = h[4]+e, h[5]+f, h[6]+g, h[7]+k
}
