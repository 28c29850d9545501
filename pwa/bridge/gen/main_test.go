package main

import (
	"bytes"
	"os"
	"testing"
)

func TestGeneratedIsUpToDate(t *testing.T) {
	for name, generate := range outputs {
		want, err := generate()
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile("../" + name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is older than what it is made from: run go generate ./pwa/bridge", name)
		}
	}
}
