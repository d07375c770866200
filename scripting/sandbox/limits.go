package sandbox

import (
	"time"

	lua "github.com/yuin/gopher-lua"
)

// Fixed limits of the language. They are far above what a work instruction
// needs and low enough that no single library call takes long.
const (
	MaxSource  = 64 << 10 // bytes of one script file
	maxNesting = 200      // levels of nested blocks, calls and operators
	maxText    = 1 << 20  // bytes of one text
	maxSubject = 64 << 10 // bytes searched with a pattern
	maxPattern = 200      // bytes of a pattern
	maxUnpack  = 4096     // values put on the stack by one call
	maxList    = 1<<20 - 1
)

// Limits bounds what a script may use. A zero field takes its default.
type Limits struct {
	// Steps is the number of instructions between two waits, and for the top
	// level of a file. Default 1,000,000.
	Steps int64
	// PrintLines is the number of lines a state may print. Default 200.
	PrintLines int
	// Heap is by how many bytes the heap of the whole process may grow over
	// what it was when the state was made. Default 1 GiB. A safety net.
	Heap uint64
	// Wall is the longest time one resumption may take. Default 10 s.
	// A safety net: Steps is what stops an endless loop.
	Wall time.Duration
}

func (l Limits) withDefaults() Limits {
	if l.Steps <= 0 {
		l.Steps = 1_000_000
	}
	if l.PrintLines <= 0 {
		l.PrintLines = 200
	}
	if l.Heap == 0 {
		l.Heap = 1 << 30
	}
	if l.Wall <= 0 {
		l.Wall = 10 * time.Second
	}
	return l
}

// Options says how a state meets the world.
type Options struct {
	Limits
	// Print gets each line the script prints, without its line end. Nil
	// drops them.
	Print func(line string)
	// Luck gives uniform numbers in [0, 1) for math.random. Nil makes
	// math.random an error.
	Luck func() float64
}

// The array part of a table grows to the largest index assigned, so the
// library's own bound (67 million) lets one instruction take a gigabyte.
func init() { lua.MaxArrayIndex = maxList + 1 }

func luaOptions() lua.Options {
	return lua.Options{
		SkipOpenLibs:        true,
		CallStackSize:       200,
		RegistrySize:        1024,
		RegistryMaxSize:     65536,
		RegistryGrowStep:    4096,
		MinimizeStackMemory: true,
	}
}
