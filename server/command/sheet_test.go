package command_test

import (
	"path/filepath"
	"testing"
)

func TestSheetIsWhatTheServerGives(t *testing.T) {
	dir := t.TempDir()
	s := serve(t, dir)
	d := afternoon(t, s, "C-1")
	other := afternoon(t, s, "C-2")
	want := map[string]string{}
	for _, one := range []*session{d, other} {
		for _, ext := range []string{"csv", "jsonl"} {
			text, err := one.api.Sheet(bounded(t), one.id, ext)
			if err != nil {
				t.Fatal(err)
			}
			want[one.code+ext] = string(text)
		}
	}
	check := func(when string) {
		for _, code := range []string{"C-1", "C-2"} {
			for flag, ext := range map[string]string{"--csv": "csv", "--jsonl": "jsonl", "--csv=true": "csv"} {
				status, out, errs := run("sheet", code, flag, "--data", dir)
				same(t, when+": status", status, 0)
				same(t, when+": errors", errs, "")
				same(t, when+": "+code+" "+ext, out, want[code+ext])
			}
		}
	}
	check("beside the server")
	stop(t, s)
	check("after it stopped")
}

func TestSheetOfWhatIsNotThere(t *testing.T) {
	dir := t.TempDir()
	s := serve(t, dir)
	defer stop(t, s)
	afternoon(t, s, "C-1")
	for _, code := range []string{"C-2", "c-1", "", "C-1 ", "%"} {
		refused(t, "There is no such session on this server", "sheet", code, "--data", dir)
	}
	missing := filepath.Join(dir, "missing")
	refused(t, "The data directory "+missing+" can not be used", "sheet", "C-1", "--data", missing)
}
