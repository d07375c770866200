package files

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"millrace/sim/record"
)

// entries are the names in a folder, hidden ones too.
func entries(t *testing.T, dir string) []string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range list {
		out = append(out, e.Name())
	}
	return out
}

func fillGood(f *Folder) error {
	log, err := f.Events(testRoute())
	if err != nil {
		return err
	}
	log.Put(testEvents())
	return errors.Join(
		f.Input("works.lua", []byte("works {}\n")),
		f.Input("../larkfell/orders.csv", []byte("order\n")),
		f.Input("/plant//costs.csv", []byte("cost\n")),
		f.JSON("comparison.json", map[string]any{"verdict": "a < b"}),
		f.Table("measures.csv", []string{"plan", "mean"}, [][]string{{"=1+1", "-2.5"}}),
		f.Write("report.html", []byte("<p>")),
	)
}

func TestRunFolderIsWhole(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "runs", "wreck")
	if err := WriteRunFolder(dir, fillGood); err != nil {
		t.Fatal(err)
	}
	if got := entries(t, filepath.Dir(dir)); len(got) != 1 || got[0] != "wreck" {
		t.Errorf("beside the folder lies %v", got)
	}
	if err := Verify(dir); err != nil {
		t.Error(err)
	}
	for _, name := range []string{"works.lua", "up/larkfell/orders.csv", "plant/costs.csv"} {
		if _, err := os.Stat(filepath.Join(dir, Inputs, name)); err != nil {
			t.Error(err)
		}
	}
	if b, _ := os.ReadFile(filepath.Join(dir, "measures.csv")); string(b) != "plan,mean\r\n'=1+1,-2.5\r\n" {
		t.Errorf("measures.csv is %q", b)
	}
	b, _ := os.ReadFile(filepath.Join(dir, "comparison.json"))
	if !strings.Contains(string(b), "a < b") {
		t.Errorf("JSON was escaped for HTML: %s", b)
	}
	if path, err := exec.LookPath("sha256sum"); err == nil { // an independent reader of the checksums
		c := exec.Command(path, "-c", "--strict", Checksums)
		c.Dir = dir
		if out, err := c.CombinedOutput(); err != nil || strings.Count(string(out), ": OK") != 7 {
			t.Errorf("sha256sum: %v\n%s", err, out)
		}
	}
	f, err := os.Open(filepath.Join(dir, EventLog))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var m record.Memory
	if _, err := ReadEvents(f, &m); err != nil || len(m.Events) != len(testEvents()) {
		t.Errorf("the log in the folder has %d events: %v", len(m.Events), err)
	}
}

func TestRunFolderOrNothing(t *testing.T) {
	broken := errors.New("the report failed")
	for name, fill := range map[string]func(*Folder) error{
		"an error at the end": func(f *Folder) error { return errors.Join(fillGood(f), broken) },
		"a name twice":        func(f *Folder) error { return errors.Join(f.Write("a", nil), f.Write("a", nil)) },
		"a name outside":      func(f *Folder) error { return f.Write("../a", nil) },
		"an absolute name":    func(f *Folder) error { return f.Write("/a", nil) },
		"a name with a turn":  func(f *Folder) error { return f.Write("a/../b", nil) },
		"a line break":        func(f *Folder) error { return f.Write("a\nb", nil) },
		"the checksums":       func(f *Folder) error { return f.Write(Checksums, nil) },
		"no name":             func(f *Folder) error { return f.Write("", nil) },
		"JSON that is none":   func(f *Folder) error { return f.JSON("a.json", func() {}) },
		"a short row":         func(f *Folder) error { return f.Table("a.csv", []string{"a", "b"}, [][]string{{"1"}}) },
		"no route":            func(f *Folder) error { _, err := f.Events(nil); return err },
	} {
		parent := t.TempDir()
		if err := WriteRunFolder(filepath.Join(parent, "run"), fill); err == nil {
			t.Errorf("%s: no error", name)
		}
		if got := entries(t, parent); len(got) != 0 {
			t.Errorf("%s: left behind %v", name, got)
		}
	}
	parent := t.TempDir()
	func() {
		defer func() { recover() }()
		WriteRunFolder(filepath.Join(parent, "run"), func(f *Folder) error { f.Write("a", nil); panic("boom") })
	}()
	if got := entries(t, parent); len(got) != 0 {
		t.Errorf("a panic left behind %v", got)
	}
}

func TestRunFolderOverwritesNothing(t *testing.T) {
	parent := t.TempDir()
	file, empty, link := filepath.Join(parent, "file"), filepath.Join(parent, "empty"), filepath.Join(parent, "link")
	if err := errors.Join(os.WriteFile(file, []byte("mine"), 0o644), os.Mkdir(empty, 0o755), os.Symlink("nowhere", link)); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, empty, link, parent} {
		called := false
		err := WriteRunFolder(dir, func(*Folder) error { called = true; return nil })
		if err == nil || called || !strings.Contains(err.Error(), "is there already") {
			t.Errorf("%s: %v, called %v", dir, err, called)
		}
	}
	if b, _ := os.ReadFile(file); string(b) != "mine" {
		t.Errorf("the file was changed: %q", b)
	}
	// Somebody else takes the name while the folder is built.
	dir := filepath.Join(parent, "late")
	err := WriteRunFolder(dir, func(f *Folder) error {
		return errors.Join(f.Write("a", nil), os.Mkdir(dir, 0o755), os.WriteFile(filepath.Join(dir, "theirs"), nil, 0o644))
	})
	if err == nil {
		t.Error("a folder that came in between was overwritten")
	}
	if got := entries(t, dir); len(got) != 1 || got[0] != "theirs" {
		t.Errorf("theirs now holds %v", got)
	}
}

func TestVerifyFindsWhatIsWrong(t *testing.T) {
	for name, harm := range map[string]func(dir string) error{
		"changed": func(d string) error { return os.WriteFile(filepath.Join(d, "report.html"), []byte("<q>"), 0o644) },
		"missing": func(d string) error { return os.Remove(filepath.Join(d, Inputs, "works.lua")) },
		"added":   func(d string) error { return os.WriteFile(filepath.Join(d, "extra"), nil, 0o644) },
		"no list": func(d string) error { return os.Remove(filepath.Join(d, Checksums)) },
		"a list that leads outside": func(d string) error {
			return os.WriteFile(filepath.Join(d, Checksums), []byte(strings.Repeat("0", 64)+"  ../x\n"), 0o644)
		},
	} {
		dir := filepath.Join(t.TempDir(), "run")
		if err := WriteRunFolder(dir, fillGood); err != nil {
			t.Fatal(err)
		}
		if err := harm(dir); err != nil {
			t.Fatal(err)
		}
		if err := Verify(dir); err == nil {
			t.Errorf("%s: not found", name)
		}
	}
}
