package main

import (
	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// loader reads files from disk, and the shipped scenarios from the program.
func loader() scripting.Loader { return scripting.DiskThen(scenarios.FS) }

func loadWorks(file string, from quantity.Clock) (*works.Plant, *scripting.Works, error) {
	w, err := scripting.LoadWorks(file, loader(), from)
	if err != nil {
		return nil, nil, &inputError{err}
	}
	return w.Plant, w, nil
}
