package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// runningDrill is the program in a process of its own.
type runningDrill struct {
	cmd   *exec.Cmd
	links map[string]string
	base  string
	errs  *bytes.Buffer
}

func startDrill(t *testing.T, program, state string, args ...string) *runningDrill {
	t.Helper()
	d := &runningDrill{links: map[string]string{}, errs: &bytes.Buffer{}}
	d.cmd = exec.Command(program, append([]string{"drill", "scenarios/larkfell/stand-wreck.lua", "--listen", "127.0.0.1:0", "--state", state, "--no-open", "--json", "--futures", "2"}, args...)...)
	d.cmd.Stderr = d.errs
	out, err := d.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := d.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = d.cmd.Process.Kill(); _ = d.cmd.Wait() })
	line, err := bufio.NewReader(out).ReadBytes('\n')
	var ready struct{ Links []link }
	if err != nil || json.Unmarshal(line, &ready) != nil || len(ready.Links) < 4 {
		_ = d.cmd.Wait()
		t.Fatalf("ready line %q, %v, %s", line, err, d.errs)
	}
	for _, l := range ready.Links {
		d.links[string(l.Role)] = l.URL
		d.base, _, _ = strings.Cut(l.URL, "/at/")
	}
	return d
}

func get(t *testing.T, url string) (int, string) {
	t.Helper()
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(body)
}

// The program of the drill: ready, its page, ended by a signal in order, back with the
// same links, killed, back again; a second one in the same folder is refused.
func TestDrillProgram(t *testing.T) {
	program := filepath.Join(t.TempDir(), "millrace")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	state := filepath.Join(t.TempDir(), "night-shift")
	d := startDrill(t, program, state, "--pace", "60")
	key := func(url string) string { return url[strings.Index(url, "/at/"):] }
	first := key(d.links["controller"])
	for path, want := range map[string]string{"/healthz": "alive", "/readyz": "ready"} {
		if code, body := get(t, d.base+path); code != 200 || strings.TrimSpace(body) != want {
			t.Errorf("%s: %d %q", path, code, body)
		}
	}
	for role, url := range d.links {
		if code, body := get(t, url); code != 200 || !strings.Contains(body, "<html") {
			t.Errorf("%s: %d", role, code)
		}
	}
	if code, _ := get(t, d.base+"/at/guess/"); code != 404 {
		t.Errorf("a guessed link: %d", code)
	}
	// The whole links are kept beside the keys, as they were printed.
	var kept []struct{ Key, Role, Name, URL string }
	if data, err := os.ReadFile(filepath.Join(state, "links.json")); err != nil || json.Unmarshal(data, &kept) != nil || len(kept) < 4 {
		t.Errorf("links.json: %v", err)
	}
	for _, l := range kept {
		if l.URL != d.links[l.Role] || !strings.HasSuffix(l.URL, "/at/"+l.Key+"/") {
			t.Errorf("kept %+v, said %s", l, d.links[l.Role])
		}
	}
	var second bytes.Buffer
	other := exec.Command(program, "drill", "scenarios/larkfell/stand-wreck.lua", "--listen", "127.0.0.1:0", "--state", state, "--no-open")
	other.Stderr = &second
	if err := other.Run(); err == nil || other.ProcessState.ExitCode() != exitInput || !strings.Contains(second.String(), "in use by another millrace") {
		t.Errorf("a second program in one folder: %v %s", err, second.String())
	}
	time.Sleep(300 * time.Millisecond)
	if err := d.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := d.cmd.Wait(); err != nil {
		t.Errorf("ended by a signal: %v %s", err, d.errs)
	}
	for _, end := range []os.Signal{os.Kill, os.Interrupt} {
		d = startDrill(t, program, state)
		if key(d.links["controller"]) != first {
			t.Error("the links changed when the program came back")
		}
		if code, _ := get(t, d.base+"/readyz"); code != 200 {
			t.Errorf("back: %d", code)
		}
		if err := d.cmd.Process.Signal(end); err != nil {
			t.Fatal(err)
		}
		_ = d.cmd.Wait()
	}
	// Another scenario does not go on with this one's actions.
	second.Reset()
	other = exec.Command(program, "drill", "scenarios/larkfell/breakout.lua", "--listen", "127.0.0.1:0", "--state", state, "--no-open")
	other.Stderr = &second
	if err := other.Run(); err == nil || !strings.Contains(second.String(), "give another state folder") {
		t.Errorf("another scenario in the folder: %v %s", err, second.String())
	}
}
