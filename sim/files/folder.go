package files

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"

	"millrace/sim/record"
)

// Names inside a run folder.
const (
	Inputs    = "inputs"
	Checksums = "checksums.txt"
	EventLog  = "events.ndjson.gz"
)

// Folder is a run folder under way. Its names use forward slashes.
type Folder struct {
	root   string
	sums   map[string]string // SHA-256 by name
	events *openLog
}

// WriteRunFolder makes the folder dir with what fill puts into it. The folder
// appears under its name when everything is written, or not at all: it is built
// beside dir and renamed. Something that is there already is never touched; that
// is an error.
func WriteRunFolder(dir string, fill func(*Folder) error) (err error) {
	if fill == nil {
		return errors.New("files: nothing to put into the run folder")
	}
	dir = filepath.Clean(dir)
	if err := free(dir); err != nil {
		return err
	}
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return fmt.Errorf("run folder: %w", err)
	}
	root, err := os.MkdirTemp(parent, "."+filepath.Base(dir)+".part-")
	if err != nil {
		return fmt.Errorf("run folder: %w", err)
	}
	f := &Folder{root: root, sums: map[string]string{}}
	defer func() {
		// Here too when fill panics: half a folder helps nobody.
		if f.root != "" {
			f.closeEvents()
			os.RemoveAll(root)
		}
	}()
	if err := os.Chmod(root, 0o755); err != nil {
		return fmt.Errorf("run folder: %w", err)
	}
	if err := fill(f); err != nil {
		return err
	}
	if err := f.closeEvents(); err != nil {
		return err
	}
	if err := f.checksums(); err != nil {
		return err
	}
	if err := syncDir(root); err != nil {
		return err
	}
	if err := free(dir); err != nil {
		return err
	}
	if err := os.Rename(root, dir); err != nil {
		return fmt.Errorf("run folder: %w", err)
	}
	f.root = ""
	return syncDir(parent)
}

// free says whether nothing is at dir.
func free(dir string) error {
	switch _, err := os.Lstat(dir); {
	case err == nil:
		return fmt.Errorf("run folder: %s is there already; give another name, nothing is overwritten", dir)
	case !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("run folder: %w", err)
	}
	return nil
}

func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return fmt.Errorf("run folder: %w", err)
	}
	defer d.Close()
	d.Sync() // some file systems cannot; the rename holds without
	return nil
}

// create opens a new file of the folder and says how to close it.
func (f *Folder) create(name string) (w io.Writer, done func() error, err error) {
	if f.root == "" {
		return nil, nil, errors.New("run folder: it is closed")
	}
	clean := path.Clean(name)
	if clean == "." || clean != name || !filepath.IsLocal(filepath.FromSlash(name)) || strings.ContainsAny(name, "\\\n\r") {
		return nil, nil, fmt.Errorf("run folder: %q is no name for a file inside it", name)
	}
	if _, twice := f.sums[name]; twice || name == Checksums {
		return nil, nil, fmt.Errorf("run folder: %s is written twice", name)
	}
	full := filepath.Join(f.root, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
		return nil, nil, fmt.Errorf("run folder: %w", err)
	}
	file, err := os.OpenFile(full, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return nil, nil, fmt.Errorf("run folder: %w", err)
	}
	f.sums[name] = "" // taken
	h := sha256.New()
	buf := bufio.NewWriterSize(file, 1<<16)
	done = func() error {
		err := errors.Join(buf.Flush(), file.Sync(), file.Close())
		if err != nil {
			return fmt.Errorf("run folder: %s: %w", name, err)
		}
		f.sums[name] = hex.EncodeToString(h.Sum(nil))
		return nil
	}
	return io.MultiWriter(buf, hashOnly{h}), done, nil
}

type hashOnly struct{ hash.Hash }

// Write puts a file into the folder.
func (f *Folder) Write(name string, data []byte) error {
	w, done, err := f.create(name)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return errors.Join(err, done())
}

// Input puts a file the run was made from into inputs.
// The name may lead outside where the run was started; in the folder it does not.
func (f *Folder) Input(name string, data []byte) error {
	return f.Write(Inputs+"/"+inside(name), data)
}

// inside makes a name that stays in its folder: a root is dropped, a step up is
// written as "up".
func inside(name string) string {
	name = strings.TrimPrefix(filepath.ToSlash(name), filepath.VolumeName(name))
	var out []string
	for _, e := range strings.Split(path.Clean(name), "/") {
		switch e {
		case "", ".":
		case "..":
			out = append(out, "up")
		default:
			out = append(out, e)
		}
	}
	return strings.Join(out, "/")
}

// JSON puts a value into the folder, indented.
func (f *Folder) JSON(name string, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("run folder: %s: %w", name, err)
	}
	return f.Write(name, b.Bytes())
}

// Table puts a table into the folder as CSV.
func (f *Folder) Table(name string, header []string, rows [][]string) error {
	var b bytes.Buffer
	if err := WriteCSV(&b, header, rows); err != nil {
		return fmt.Errorf("run folder: %s: %w", name, err)
	}
	return f.Write(name, b.Bytes())
}

// openLog is the event log of a folder under way.
type openLog struct {
	*EventWriter
	done func() error
}

// Events opens the event log of the folder. It is closed with the folder.
func (f *Folder) Events(route *record.Route) (record.Sink, error) {
	w, done, err := f.create(EventLog)
	if err != nil {
		return nil, err
	}
	e, err := NewEventWriter(w, route)
	if err != nil {
		return nil, errors.Join(err, done())
	}
	f.events = &openLog{e, done}
	return e, nil
}

func (f *Folder) closeEvents() error {
	if f.events == nil {
		return nil
	}
	l := f.events
	f.events = nil
	return errors.Join(l.Close(), l.done())
}

// checksums writes the checksums of all files, by name.
func (f *Folder) checksums() error {
	names := make([]string, 0, len(f.sums))
	for n := range f.sums {
		names = append(names, n)
	}
	sort.Strings(names)
	var b strings.Builder
	for _, n := range names {
		fmt.Fprintf(&b, "%s  %s\n", f.sums[n], n)
	}
	file, err := os.OpenFile(filepath.Join(f.root, Checksums), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return fmt.Errorf("run folder: %w", err)
	}
	_, err = file.WriteString(b.String())
	if err := errors.Join(err, file.Sync(), file.Close()); err != nil {
		return fmt.Errorf("run folder: %w", err)
	}
	return nil
}

// Checksum is the SHA-256 of data in hexadecimal.
func Checksum(data []byte) string {
	s := sha256.Sum256(data)
	return hex.EncodeToString(s[:])
}

// Verify reads a run folder again and compares every file with its checksum. A
// file that is missing, changed or not listed is an error.
func Verify(dir string) error {
	list, err := os.ReadFile(filepath.Join(dir, Checksums))
	if err != nil {
		return fmt.Errorf("run folder: %w", err)
	}
	listed := map[string]bool{Checksums: true}
	var errs []error
	for i, l := range strings.Split(strings.TrimSuffix(string(list), "\n"), "\n") {
		sum, name, ok := strings.Cut(l, "  ")
		if !ok || len(sum) != 64 || !filepath.IsLocal(filepath.FromSlash(name)) {
			return fmt.Errorf("run folder: %s line %d is no checksum: %q", Checksums, i+1, l)
		}
		listed[name] = true
		if have, err := fileSum(filepath.Join(dir, filepath.FromSlash(name))); err != nil {
			errs = append(errs, fmt.Errorf("run folder: %w", err))
		} else if have != sum {
			errs = append(errs, fmt.Errorf("run folder: %s is not what was written", name))
		}
	}
	err = filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, p)
		if err != nil {
			return err
		}
		if name := filepath.ToSlash(rel); !listed[name] {
			errs = append(errs, fmt.Errorf("run folder: %s was not written by the run", name))
		}
		return nil
	})
	return errors.Join(append(errs, err)...)
}

func fileSum(name string) (string, error) {
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
