package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"rootledger/shared/fault"
)

// browsers are those that can show a wall alone on a screen, and how each is told to.
var browsers = []struct {
	names []string
	flags func(profile, address string) []string
}{
	{[]string{"chromium", "chromium-browser", "google-chrome"}, func(profile, address string) []string {
		flags := []string{"--kiosk", "--app=" + address, "--user-data-dir=" + profile, "--no-first-run", "--noerrdialogs", "--disable-session-crashed-bubble",
			"--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars"}
		if os.Geteuid() == 0 {
			flags = append(flags, "--no-sandbox") // it starts without one only
		}
		return flags
	}},
	{[]string{"firefox", "firefox-esr"}, func(profile, address string) []string {
		return []string{"--kiosk", "--no-remote", "--profile", profile, address}
	}},
}

// findBrowser is the command that shows an address alone on this machine's screen.
func findBrowser(profile, address string) ([]string, error) {
	for _, b := range browsers {
		for _, name := range b.names {
			if path, err := exec.LookPath(name); err == nil {
				return append([]string{path}, b.flags(profile, address)...), nil
			}
		}
	}
	return nil, fault.New(fault.Missing, "browser-missing")
}

// Kiosk is a wall that stays on this machine's own screen.
type Kiosk struct {
	Server  string        // base address of the server
	Address string        // of the wall
	Browser []string      // the command that shows it
	Again   time.Duration // before a browser that ended is started again, and between two looks for the server
	Out     io.Writer
}

// A browser that ends sooner than soon after it was started so many times in a
// row does not work here.
const (
	soon      = 3 * time.Second
	soonTimes = 5
)

// Run waits for the server, shows the wall, and shows it again whenever the
// browser ends, until ctx ends. It fails when the browser can not be started or
// ends at once again and again.
func (k *Kiosk) Run(ctx context.Context) error {
	quick := 0
	for said := ""; ctx.Err() == nil; sleep(ctx, k.Again) {
		say := func(words string) {
			if words != said {
				fmt.Fprintln(k.Out, words)
				said = words
			}
		}
		if err := serves(ctx, k.Server); err != nil {
			say(fmt.Sprintf("Waiting for the server at %s: the wall comes up by itself.", k.Server))
			continue
		}
		say("Showing " + k.Address + ". End this command to take it from the screen.")
		browser := exec.CommandContext(ctx, k.Browser[0], k.Browser[1:]...)
		browser.Cancel = func() error { return browser.Process.Signal(syscall.SIGTERM) }
		browser.WaitDelay = 5 * time.Second
		started := time.Now()
		err := browser.Run()
		if quick++; time.Since(started) > soon {
			quick = 0
		}
		var ended *exec.ExitError
		if err != nil && ctx.Err() == nil && (!errors.As(err, &ended) || quick >= soonTimes) {
			return fault.New(fault.Unavailable, "browser-fails").With("command", k.Browser[0]).With("cause", err.Error())
		}
	}
	return nil
}

func sleep(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// serves is nil once a server answers.
func serves(ctx context.Context, base string) error {
	ctx, cancel := context.WithTimeout(ctx, 3*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, base+"/health", nil)
	if err != nil {
		return err
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return err
	}
	if answer.StatusCode != http.StatusOK {
		err = fmt.Errorf("status %d", answer.StatusCode)
	}
	return errors.Join(err, answer.Body.Close())
}

// wallAddress is the address of a room's wall, with what this screen asks for.
func wallAddress(server, room, theme string, inches, metres float64) string {
	asks := url.Values{}
	if theme != "" {
		asks.Set("theme", theme)
	}
	if inches > 0 && metres > 0 {
		asks.Set("inches", fmt.Sprint(inches))
		asks.Set("metres", fmt.Sprint(metres))
	}
	address := server + "/wall/" + url.PathEscape(room)
	if len(asks) > 0 {
		address += "?" + asks.Encode()
	}
	return address
}

func kioskCommand() *cobra.Command {
	var server, room, theme, profile string
	var inches, metres float64
	c := &cobra.Command{
		Use:   "kiosk",
		Short: "Show a room's wall alone on this machine's own screen",
		Long: "Show a room's wall alone on this machine's own screen, in a browser that is installed here.\n" +
			"It waits for the server, starts the browser again when it ends, and goes on until it is ended.",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			k := Kiosk{Server: strings.TrimSuffix(server, "/"), Again: 2 * time.Second, Out: c.OutOrStdout()}
			k.Address = wallAddress(k.Server, room, theme, inches, metres)
			if profile == "" {
				cache, err := os.UserCacheDir()
				if err != nil {
					return fault.New(fault.Missing, "profile-missing")
				}
				profile = filepath.Join(cache, "rootledger-kiosk")
			}
			var err error
			if k.Browser, err = findBrowser(profile, k.Address); err != nil {
				return err
			}
			return k.Run(ctx)
		},
	}
	c.Flags().StringVar(&server, "server", "http://localhost:8490", "address of the server")
	c.Flags().StringVar(&room, "room", "1", "room whose wall is shown")
	c.Flags().StringVar(&theme, "theme", "", "dark or light; as the machine is set otherwise")
	c.Flags().Float64Var(&inches, "inches", 0, "diagonal of this screen, with --metres, where it is not what the room is set to")
	c.Flags().Float64Var(&metres, "metres", 0, "from how far this screen is read")
	c.Flags().StringVar(&profile, "profile", "", "directory that the browser keeps its things in")
	return c
}
