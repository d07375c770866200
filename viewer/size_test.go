package viewer

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"strings"
	"testing"
)

// TestSize: the whole page is under 150 kB, brings nothing from elsewhere and has
// nothing inline that its policy would refuse.
func TestSize(t *testing.T) {
	total, packed := 0, 0
	err := fs.WalkDir(embedded, "page", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := embedded.ReadFile(path)
		if err != nil {
			return err
		}
		total += len(b)
		var z bytes.Buffer
		w := gzip.NewWriter(&z)
		if _, err := w.Write(b); err != nil {
			return err
		}
		if err := w.Close(); err != nil {
			return err
		}
		packed += z.Len()
		s := strings.ReplaceAll(string(b), "http://www.w3.org/2000/svg", "")
		for _, bad := range []string{"http://", "https://", "innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "new Function", " style=", "setAttribute('style'"} {
			if strings.Contains(s, bad) {
				t.Errorf("%s contains %q", path, bad)
			}
		}
		if strings.HasSuffix(path, ".html") && (strings.Contains(s, "<style") || strings.Contains(s, "onclick") || strings.Count(s, "<script") != 1) {
			t.Errorf("%s has something inline", path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if total > 150_000 {
		t.Errorf("the page is %d bytes, more than 150 kB", total)
	}
	t.Logf("%d bytes, %d packed one by one", total, packed)
}
