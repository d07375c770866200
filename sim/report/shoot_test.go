package report

import (
	"os"
	"testing"
)

func TestWriteSample(t *testing.T) {
	dir := os.Getenv("REPORT_OUT")
	if dir == "" {
		t.Skip()
	}
	for name, c := range map[string]any{"a": nil} {
		_ = c
		b, err := HTML(sample(), extra())
		if err != nil {
			t.Fatal(err)
		}
		os.WriteFile(dir+"/"+name+".html", b, 0o644)
	}
}
