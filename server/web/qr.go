package web

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
	"rsc.io/qr"
)

// longestQR is how many bytes a QR code may say; more can not be read off a wall.
const longestQR = 300

// qrCode draws a text, an address to open, as a picture for the wall and the
// office.
func (s *Server) qrCode(c echo.Context) error {
	text := c.QueryParam("text")
	if text == "" || len(text) > longestQR {
		return damagedRequest("text")
	}
	picture, err := drawQR(text)
	if err != nil {
		return err
	}
	h := c.Response().Header()
	h.Set(echo.HeaderCacheControl, "no-store") // it may say a join code
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	return c.Blob(http.StatusOK, types[".svg"], []byte(picture))
}

// quiet is the empty border, in modules, that readers need.
const quiet = 4

// drawQR is a QR code as SVG, one path of runs in the colour of the text around.
func drawQR(text string) (string, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return "", fmt.Errorf("web: %w", err)
	}
	var d strings.Builder
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			from := x
			for x < code.Size && code.Black(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&d, "M%d %dh%dv1h-%dz", from+quiet, y+quiet, x-from, x-from)
			}
		}
	}
	side := code.Size + 2*quiet
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" shape-rendering="crispEdges">`+
		`<path fill="currentColor" d="%s"/></svg>`, side, side, d.String()), nil
}
