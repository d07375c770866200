package scripting

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// Loader gives the bytes of a file. A file that is not there is fs.ErrNotExist.
type Loader func(name string) ([]byte, error)

// File is one input of a run, as it was read.
type File struct {
	Name   string
	Data   []byte
	SHA256 string
}

// Bundle is every file that a scenario was made from, in the order they were
// asked for. What is read from a bundle's own Load is the same scenario.
type Bundle struct{ Files []File }

// Load gives a file of the bundle.
func (b *Bundle) Load(name string) ([]byte, error) {
	for i := range b.Files {
		if b.Files[i].Name == name {
			return b.Files[i].Data, nil
		}
	}
	return nil, fmt.Errorf("%s: %w", name, fs.ErrNotExist)
}

// read gets a file once and keeps it.
func (b *Bundle) read(name string, load Loader) ([]byte, error) {
	if data, err := b.Load(name); err == nil {
		return data, nil
	}
	data, err := load(name)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	b.Files = append(b.Files, File{name, data, hex.EncodeToString(sum[:])})
	return data, nil
}

// DiskThen loads files from disk, and those that are not there from the scenarios
// that come with the program: "scenarios/larkfell/works.lua" is larkfell/works.lua
// of shipped.
func DiskThen(shipped fs.FS) Loader {
	return func(name string) ([]byte, error) {
		data, err := os.ReadFile(name)
		if err == nil || !errors.Is(err, fs.ErrNotExist) {
			return data, err
		}
		clean := path.Clean(filepath.ToSlash(name))
		if i := strings.LastIndex("/"+clean, "/scenarios/"); i >= 0 {
			clean = ("/" + clean)[i+len("/scenarios/"):]
		}
		if shipped != nil && fs.ValidPath(clean) {
			if data, err := fs.ReadFile(shipped, clean); err == nil {
				return data, nil
			}
		}
		return nil, err
	}
}

// besides is the name of a file that another file names.
func besides(file, name string) string {
	if path.IsAbs(name) || filepath.IsAbs(name) {
		return name
	}
	dir := path.Dir(filepath.ToSlash(file))
	if dir == "." {
		return path.Clean(name)
	}
	return path.Join(dir, name)
}

// worksFile is the file a scenario means by works = "...": a name alone is a works
// that lies under scenarios, anything else a path beside the scenario.
func worksFile(file, name string) string {
	if !strings.ContainsAny(name, `/\.`) {
		return "scenarios/" + name + "/works.lua"
	}
	return besides(file, name)
}

// notRead says why a file could not be read, without the system's own words where
// they say nothing more.
func notRead(name string, err error) string {
	if errors.Is(err, fs.ErrNotExist) {
		return `there is no file "` + name + `"`
	}
	return err.Error()
}
