package propseed

import (
	"flag"
	"os"

	_ "pgregory.net/rapid" // its flags are there before init
)

// Seed is the one that gates.
const Seed = "20260301"

func init() {
	if os.Getenv("MILLRACE_NIGHTLY") != "" {
		return
	}
	if err := flag.Set("rapid.seed", Seed); err != nil {
		panic("propseed: rapid has no flag rapid.seed any more: " + err.Error())
	}
}
