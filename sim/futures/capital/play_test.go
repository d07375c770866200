package capital

import (
	"context"
	"runtime"
	"testing"
)

// A play that is over is let go, all but its sums: years of plays must not fill the memory.
func TestPlaysAreLetGo(t *testing.T) {
	in := load(t, head+`option "b" { pays = { what = "x", amount = "1 EUR" }, changes = { coilers = { in_use = 3 } } }`)
	c := &Case{Name: "x", SoldOut: true, Options: options(in), Seed: 5, Workers: 1}
	heap := func() int {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return int(m.HeapAlloc)
	}
	play := func(n int) []played {
		got := make([]played, n)
		var jobs []job
		for f := range got {
			jobs = append(jobs, job{plant: c.Options[1].Plant, sold: true, future: uint64(f), length: 10 * 86400, watch: true, option: 1, to: &got[f]})
		}
		if err := c.run(context.Background(), jobs, nil); err != nil {
			t.Fatal(err)
		}
		return got
	}
	kept := [][]played{play(1)} // tables are filled once
	before := heap()
	kept = append(kept, play(8))
	grown := heap() - before
	if each := grown / 8; each > 300_000 {
		t.Errorf("%d bytes are kept of each play", each)
	}
	t.Logf("%d bytes kept of each play, %d plays", grown/8, len(kept[1]))
	runtime.KeepAlive(kept)
}
