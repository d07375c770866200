package scripting

import (
	"testing"

	"millrace/scenarios"
)

func TestLarkfellLoads(t *testing.T) {
	w, err := LoadWorks("scenarios/larkfell/works.lua", DiskThen(scenarios.FS), 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", w.Spec.Upsets[0])
	t.Log(len(w.Spec.Orders), w.Files[0].SHA256)
}
