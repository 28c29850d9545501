package command

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"net/netip"
	"os"
	"strings"

	"github.com/mdp/qrterminal/v3"
	"golang.org/x/term"

	"rootledger/pwa/words"
	"rootledger/server/lan"
)

// here is the server's address for this machine's own browser.
func (s *Serving) here() (base, port string, err error) {
	host, port, err := net.SplitHostPort(s.Addr)
	if err != nil {
		return "", "", fmt.Errorf("command: %w", err)
	}
	if ip, err := netip.ParseAddr(host); err != nil || ip.IsUnspecified() || ip.IsLoopback() {
		host = "localhost"
	}
	return "http://" + net.JoinHostPort(host, port), port, nil
}

// announce prints what to open, and where.
func announce(out io.Writer, s *Serving, withQR, practice bool) error {
	base, port, err := s.here()
	if err != nil {
		return err
	}
	room, err := lan.Bases(s.Addr)
	if err != nil {
		return err
	}
	if len(room) == 0 {
		room = []string{base}
	}
	wall := room[0] + "/wall/1"
	fmt.Fprintf(out, "Rootledger is running on port %s.\n\n", port)
	fmt.Fprintf(out, "Open first, on this machine, the office, which opens a session and keeps its sheet:\n  %s/office#%s\n", base, s.Office)
	fmt.Fprintf(out, "Then, on the screen that the room sees, the wall of room 1, which shows the figures and the join code:\n  %s\n", wall)
	fmt.Fprintf(out, "Then, on each phone, this address, and join with the code on the wall:\n")
	for _, address := range room {
		fmt.Fprintf(out, "  %s/\n", address)
	}
	if practice {
		fmt.Fprintf(out, "To see it work at once, watch a practice room: %s/wall/practice\n", base)
	}
	if withQR {
		fmt.Fprintf(out, "\nThe wall of room 1, for a device with a camera:\n%s", terminalQR(wall, isTerminal(out)))
	}
	fmt.Fprintf(out, "\n%s\n", words.English().Text("care"))
	return nil
}

// terminalQR is a QR code in half blocks; coloured, it is dark on light
// whatever the terminal's own colours are.
func terminalQR(text string, coloured bool) string {
	var drawn bytes.Buffer
	qrterminal.GenerateWithConfig(text, qrterminal.Config{Level: qrterminal.L, Writer: &drawn, HalfBlocks: true, QuietZone: 2,
		BlackChar: qrterminal.BLACK_BLACK, WhiteChar: qrterminal.WHITE_WHITE,
		BlackWhiteChar: qrterminal.BLACK_WHITE, WhiteBlackChar: qrterminal.WHITE_BLACK})
	if !coloured {
		return drawn.String()
	}
	var out strings.Builder
	for line := range strings.Lines(drawn.String()) {
		out.WriteString("\x1b[97;40m" + strings.TrimSuffix(line, "\n") + "\x1b[0m\n")
	}
	return out.String()
}

func isTerminal(out io.Writer) bool {
	f, ok := out.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
