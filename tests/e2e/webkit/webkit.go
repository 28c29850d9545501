// Package webkit drives WebKitGTK, the nearest thing to an iPhone's browser that
// runs on a Linux machine, by the W3C's WebDriver over loopback.
package webkit

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

const (
	patience = 30 * time.Second
	driver   = "WebKitWebDriver"
	screen   = "Xvfb"
)

// Missing says what is not installed, "" when all is.
func Missing() string {
	for _, name := range []string{driver, screen} {
		if _, err := exec.LookPath(name); err != nil {
			return name
		}
	}
	if browser() == "" {
		return "MiniBrowser of WebKitGTK"
	}
	return ""
}

// browser is the path of WebKitGTK's own small browser, which the driver starts.
func browser() string {
	found, _ := filepath.Glob("/usr/lib*/*/webkit2gtk-4*/MiniBrowser") // the pattern is well formed
	if len(found) == 0 {
		return ""
	}
	return found[0]
}

// Page is the one page of a browser of its own.
type Page struct {
	session string // its address at the driver
	dir     string
	started []*exec.Cmd
}

// Start starts a screen that nobody sees, the driver, and a browser.
func Start() (*Page, error) {
	dir, err := os.MkdirTemp("", "rootledger-webkit-")
	if err != nil {
		return nil, fmt.Errorf("webkit: %w", err)
	}
	p := &Page{dir: dir}
	if err := p.start(); err != nil {
		return nil, errors.Join(fmt.Errorf("webkit: %w", err), p.Close())
	}
	return p, nil
}

func (p *Page) start() error {
	display, err := p.startScreen()
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	port := l.Addr().(*net.TCPAddr).Port
	drive := exec.Command(driver, "-p", fmt.Sprint(port))
	drive.Env = append(os.Environ(), "DISPLAY="+display, "HOME="+p.dir, "XDG_RUNTIME_DIR="+p.dir, "GDK_BACKEND=x11", "NO_AT_BRIDGE=1", "LIBGL_ALWAYS_SOFTWARE=1",
		"GST_PLUGIN_SYSTEM_PATH_1_0="+p.dir) // else a new home has every plug-in for films scanned
	if err := errors.Join(l.Close(), p.run(drive)); err != nil {
		return err
	}
	base := fmt.Sprintf("http://127.0.0.1:%d/session", port)
	want := map[string]any{"capabilities": map[string]any{"alwaysMatch": map[string]any{
		"webkitgtk:browserOptions": map[string]any{"binary": browser(), "args": []string{"--automation"}}}}}
	for deadline := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		p.session = base
		var made struct{ SessionID string }
		if err = p.call("POST", "", want, &made); err == nil {
			p.session += "/" + made.SessionID
			return nil
		}
		if time.Now().After(deadline) {
			return err
		}
	}
}

// startScreen starts the screen and says which display it is.
func (p *Page) startScreen() (string, error) {
	read, write, err := os.Pipe()
	if err != nil {
		return "", err
	}
	defer read.Close()
	show := exec.Command(screen, "-displayfd", "3", "-screen", "0", "1280x1024x24", "-nolisten", "tcp")
	show.ExtraFiles = []*os.File{write}
	if err := errors.Join(p.run(show), write.Close()); err != nil {
		return "", err
	}
	if err := read.SetReadDeadline(time.Now().Add(patience)); err != nil {
		return "", err
	}
	number, err := bufio.NewReader(read).ReadString('\n') // to its end: who is not heard out ends
	return ":" + strings.TrimSpace(number), err
}

func (p *Page) run(c *exec.Cmd) error {
	c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} // with what it starts
	if err := c.Start(); err != nil {
		return err
	}
	p.started = append(p.started, c)
	return nil
}

// Close ends the browser, then the driver and the screen.
func (p *Page) Close() error {
	var failed error
	if strings.Count(p.session, "/") > 3 {
		failed = p.call("DELETE", "", nil, nil)
	}
	for i := len(p.started) - 1; i >= 0; i-- {
		end(p.started[i])
	}
	return errors.Join(failed, os.RemoveAll(p.dir))
}

// end ends a process and what it started.
func end(c *exec.Cmd) {
	_ = syscall.Kill(-c.Process.Pid, syscall.SIGKILL) // it may have ended
	_ = c.Wait()                                      // it was killed
}

// call asks the driver for something.
func (p *Page) call(method, path string, body, value any) error {
	var sent io.Reader
	if method == "POST" {
		if body == nil {
			body = struct{}{}
		}
		text, err := json.Marshal(body)
		if err != nil {
			return err
		}
		sent = bytes.NewReader(text)
	}
	request, err := http.NewRequest(method, p.session+path, sent)
	if err != nil {
		return err
	}
	client := http.Client{Timeout: 2 * patience}
	response, err := client.Do(request)
	if err != nil {
		return err
	}
	defer response.Body.Close()
	var got struct{ Value json.RawMessage }
	if err := json.NewDecoder(response.Body).Decode(&got); err != nil {
		return fmt.Errorf("webkit: %s: %w", path, err)
	}
	if response.StatusCode != http.StatusOK {
		return fmt.Errorf("webkit: %s: %s: %.300s", path, response.Status, got.Value)
	}
	if value == nil {
		return nil
	}
	return json.Unmarshal(got.Value, value)
}

// Look gives the window another size.
func (p *Page) Look(width, height int) error {
	return p.call("POST", "/window/rect", map[string]any{"width": width, "height": height}, nil)
}

// Open goes to an address.
func (p *Page) Open(url string) error {
	return p.call("POST", "/url", map[string]any{"url": url}, nil)
}

// Reload loads the page again, with or without a network.
func (p *Page) Reload() error { return p.call("POST", "/refresh", nil, nil) }

// Eval evaluates an expression in the page.
func Eval[T any](p *Page, expression string) (T, error) {
	var got T
	err := p.call("POST", "/execute/sync", map[string]any{"script": "return (" + expression + ");", "args": []any{}}, &got)
	return got, err
}

// Until waits until an expression is true.
func (p *Page) Until(expression string) error {
	for deadline := time.Now().Add(patience); ; time.Sleep(30 * time.Millisecond) {
		ok, err := Eval[bool](p, "Boolean("+expression+")")
		if ok && err == nil {
			return nil
		}
		if time.Now().After(deadline) {
			text, textErr := Eval[string](p, "document.body.innerText")
			return fmt.Errorf("webkit: never true: %s; the page says %.600q (%w)", expression, text, errors.Join(err, textErr))
		}
	}
}

// Click clicks the first element that a selector finds, once it is there.
func (p *Page) Click(selector string) error {
	find := fmt.Sprintf("document.querySelector(%q)", selector)
	if err := p.Until(find); err != nil {
		return err
	}
	_, err := Eval[bool](p, find+".click() || true")
	return err
}

// Type puts text into a field, as if it had been typed.
func (p *Page) Type(selector, text string) error {
	find := fmt.Sprintf("document.querySelector(%q)", selector)
	if err := p.Until(find); err != nil {
		return err
	}
	_, err := Eval[bool](p, fmt.Sprintf(`((e) => { e.value = %q; return e.dispatchEvent(new Event("input", { bubbles: true })); })(%s)`, text, find))
	return err
}

// Picture writes what is on the screen.
func (p *Page) Picture(path string) error {
	var text string
	if err := p.call("GET", "/screenshot", nil, &text); err != nil {
		return err
	}
	picture, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		return fmt.Errorf("webkit: %w", err)
	}
	return os.WriteFile(path, picture, 0o644)
}
