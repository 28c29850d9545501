// Command build makes what browsers load: the engine as WebAssembly, the
// scripts, the styles, the service worker and the icons, named by their
// content, compressed, and held to budgets of bytes.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

// site is one build: where it reads and writes, and what it has made.
type site struct {
	root  string // the module
	app   string // where the result goes
	quick bool   // for trying things out: compressed lightly, budgets not enforced

	files    map[string][]byte // what the server will serve, by path
	firstJS  []string          // the scripts that a phone's first screen waits for
	fetched  []string          // scripts that a phone fetches when it needs them, and does not keep
	apart    []string          // scripts of the office and of walls alone
	script   string            // the entry's path
	style    string
	preload  []string // scripts that the entry imports
	icon     string
	iconTall []icon

	languages []spoken // beside English
}

func main() {
	var s site
	var table bool
	flag.StringVar(&s.root, "root", ".", "the module's directory")
	flag.BoolVar(&s.quick, "quick", false, "compress lightly and do not enforce the budgets")
	flag.BoolVar(&table, "bytes", false, "print the table of bytes also when nothing is to be built")
	flag.Parse()
	if err := s.run(table); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// errOver is a build over one of its budgets; the table says which.
var errOver = errors.New("build: over budget, see the table above")

// run builds unless the result of the same inputs lies there already.
func (s *site) run(table bool) error {
	s.app = filepath.Join(s.root, "pwa", "assets", "app")
	inputs, err := s.inputs()
	if err != nil {
		return err
	}
	if s.upToDate(inputs) {
		if table {
			text, err := os.ReadFile(filepath.Join(s.app, sizesFile))
			fmt.Print(string(text))
			return err
		}
		return nil
	}
	engine, err := s.compileEngine()
	if err != nil {
		return err
	}
	if err := s.assemble(engine); err != nil {
		return err
	}
	packed, err := s.pack()
	if err != nil {
		return err
	}
	text, over := s.budgets(packed)
	fmt.Print(text)
	if s.quick {
		fmt.Println("compressed lightly, to try things out: the budgets are for the whole build")
	}
	if over && !s.quick {
		return errors.Join(s.write(packed, text, ""), errOver)
	}
	return s.write(packed, text, inputs)
}
