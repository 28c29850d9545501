package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"regexp"
	"slices"
	"strconv"
)

// The mark, in a box of 64 by 64: straight lines only, each part closed, no two
// overlapping.
const (
	mark    = "M4 16.13L11.5 12V34H4ZM17 16.13L24.5 12V34H17ZM30 16.13L37.5 12V34H30ZM43.5 9.68L52 5V46L48.77 63L43.5 46ZM0 37.5H40.5V44H0ZM55 37.5H64V44H55Z"
	markBox = 64
)

var (
	ink    = color.RGBA{0x0b, 0x51, 0x47, 0xff}
	ground = color.RGBA{0xe4, 0xea, 0xdf, 0xff}
)

// markSVG is the mark on its ground, with air around it.
func markSVG() []byte {
	return fmt.Appendf(nil, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="-10 -10 84 84"><path fill="%s" d="M-10-10h84v84h-84z"/><path fill="#0b5147" d="%s"/></svg>`, colour, mark)
}

// markShare is how wide the mark is in a picture: a launcher may cut a circle
// out of it that leaves four fifths.
const markShare = 0.58

// markPNG draws the mark on its ground.
func markPNG(size int) ([]byte, error) {
	const fine = 4 // lines drawn for one of the picture
	scale := float64(size) * markShare / markBox
	from := float64(size) * (1 - markShare) / 2
	edges := markEdges()
	img := image.NewPaletted(image.Rect(0, 0, size, size), shades())
	for y := range size {
		covered := make([]float64, size)
		for part := range fine {
			at := (float64(y) + (float64(part)+0.5)/fine - from) / scale
			crossings := edges.at(at)
			for i := 0; i+1 < len(crossings); i += 2 {
				cover(covered, from+crossings[i]*scale, from+crossings[i+1]*scale)
			}
		}
		for x, c := range covered {
			img.SetColorIndex(x, y, uint8(c/fine*lastShade+0.5))
		}
	}
	var out bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, img)
	return out.Bytes(), err
}

// lastShade is the index of ink; 0 is the ground.
const lastShade = 31

func shades() color.Palette {
	mix := func(from, to uint8, i int) uint8 { return uint8((int(from)*(lastShade-i) + int(to)*i) / lastShade) }
	var p color.Palette
	for i := range lastShade + 1 {
		p = append(p, color.RGBA{mix(ground.R, ink.R, i), mix(ground.G, ink.G, i), mix(ground.B, ink.B, i), 0xff})
	}
	return p
}

// cover adds to each pixel of a line the share that lies between two places.
func cover(line []float64, from, to float64) {
	for x := max(0, int(from)); x < len(line) && float64(x) < to; x++ {
		line[x] += min(to, float64(x+1)) - max(from, float64(x))
	}
}

type point struct{ x, y float64 }

type edges [][2]point

// at are the places where a level crosses the edges, from left to right.
func (e edges) at(y float64) []float64 {
	var out []float64
	for _, one := range e {
		a, b := one[0], one[1]
		if (a.y <= y) != (b.y <= y) {
			out = append(out, a.x+(y-a.y)/(b.y-a.y)*(b.x-a.x))
		}
	}
	slices.Sort(out)
	return out
}

var markStep = regexp.MustCompile(`([MLHVZ])([0-9.]*) ?([0-9.]*)`)

// markEdges reads the mark's path.
func markEdges() edges {
	var out edges
	var at, began point
	for _, step := range markStep.FindAllStringSubmatch(mark, -1) {
		to := at
		first, _ := strconv.ParseFloat(step[2], 64)
		second, _ := strconv.ParseFloat(step[3], 64)
		switch step[1] {
		case "M":
			at, began = point{first, second}, point{first, second}
			continue
		case "L":
			to = point{first, second}
		case "H":
			to.x = first
		case "V":
			to.y = first
		case "Z":
			to = began
		}
		out = append(out, [2]point{at, to})
		at = to
	}
	return out
}
