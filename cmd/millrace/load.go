package main

import (
	"bytes"
	"errors"
	"io/fs"

	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// loader reads files from disk, and the shipped scenarios from the program.
func loader() scripting.Loader { return scripting.DiskThen(scenarios.FS) }

// readInput reads a file that the user named.
func readInput(file string) ([]byte, error) {
	data, err := loader()(file)
	switch {
	case err == nil:
		return data, nil
	case errors.Is(err, fs.ErrNotExist):
		return nil, badInput("there is no file %q; check the path", file)
	}
	var at *fs.PathError
	if errors.As(err, &at) {
		err = at.Err
	}
	return nil, badInput("%s cannot be read: %v", file, err)
}

// opens says whether a line of a file begins with a word of the language and a name,
// as scenario "..." and works "..." do.
func opens(data []byte, word string) bool {
	for _, l := range bytes.Split(data, []byte("\n")) {
		if rest, ok := bytes.CutPrefix(bytes.TrimSpace(l), []byte(word)); ok && bytes.IndexAny(bytes.TrimSpace(rest), "\"'(") == 0 {
			return true
		}
	}
	return false
}

func loadWorks(file string, from quantity.Clock) (*works.Plant, *scripting.Works, error) {
	data, err := readInput(file)
	if err != nil {
		return nil, nil, err
	}
	if opens(data, "scenario") && !opens(data, "works") {
		return nil, nil, badInput("%s is a scenario, and a works is needed here; give the file that begins with: works \"name\"", file)
	}
	w, err := scripting.LoadWorks(file, loader(), from)
	if err != nil {
		return nil, nil, &inputError{err}
	}
	return w.Plant, w, nil
}
