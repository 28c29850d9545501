package rig

import (
	"bytes"
	"fmt"
	"os"

	"rsc.io/qr"
)

// The pictures that a camera shows, in pixels, and how large a code stands in them.
const (
	cameraWide, cameraHigh = 640, 480
	module                 = 8
)

// Film writes what a camera sees that is held before a QR code of a text: grey,
// and in the middle the code on its white ground, as Y4M.
func Film(path, text string) error {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return fmt.Errorf("rig: film: %w", err)
	}
	const quiet = 4
	side := (code.Size + 2*quiet) * module
	if side > cameraHigh {
		return fmt.Errorf("rig: film: %d pixels do not fit", side)
	}
	light := bytes.Repeat([]byte{110}, cameraWide*cameraHigh)
	left, top := (cameraWide-side)/2, (cameraHigh-side)/2
	for y := range side {
		for x := range side {
			light[(top+y)*cameraWide+left+x] = 225
			if code.Black(x/module-quiet, y/module-quiet) {
				light[(top+y)*cameraWide+left+x] = 30
			}
		}
	}
	var film bytes.Buffer
	fmt.Fprintf(&film, "YUV4MPEG2 W%d H%d F10:1 Ip A1:1 C420jpeg\n", cameraWide, cameraHigh)
	colour := bytes.Repeat([]byte{128}, cameraWide*cameraHigh/2)
	for range 2 {
		film.WriteString("FRAME\n")
		film.Write(light)
		film.Write(colour)
	}
	return os.WriteFile(path, film.Bytes(), 0o600)
}
