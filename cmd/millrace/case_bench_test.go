package main

import (
	"context"
	"runtime"
	"testing"
	"time"

	"millrace/scripting"
	"millrace/sim/futures/capital"
)

// BenchmarkCase plays a shipped case whole: three options, 20 futures, five years, then
// tornado, flips and tail shares. It takes minutes:
//
//	go test ./cmd/millrace -run xxx -bench Case -benchtime 1x -timeout 1h
func BenchmarkCase(b *testing.B) {
	in, err := scripting.LoadCase("scenarios/larkfell/cases/spare-stand-parts.lua", loader())
	if err != nil {
		b.Fatal(err)
	}
	c, err := capitalCase(in)
	if err != nil {
		b.Fatal(err)
	}
	c.Futures = in.Futures
	for b.Loop() {
		begin := time.Now()
		var main time.Duration
		_, err := capital.Decide(context.Background(), c, func(what string, done, total int) {
			if what == "years of operation" && done == total {
				main = time.Since(begin)
			}
		})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(main.Minutes(), "min-years")
		b.ReportMetric((time.Since(begin) - main).Minutes(), "min-sensitivities")
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(m.Sys)/1e6, "MB")
}
