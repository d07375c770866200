package main

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/compose-spec/compose-go/v2/cli"
	"github.com/compose-spec/compose-go/v2/types"
)

// repository is the root of the repository, seen from this package.
const repository = "../.."

// loadCompose reads a compose file as the compose tool does, schema and all,
// without an engine and without the environment of whoever runs the test.
func loadCompose(t *testing.T, file string) (*types.Project, error) {
	t.Helper()
	o, err := cli.NewProjectOptions([]string{file}, cli.WithWorkingDirectory(filepath.Dir(file)), cli.WithResolvedPaths(true))
	if err != nil {
		t.Fatal(err)
	}
	return o.LoadProject(t.Context())
}

// openPorts are the published ports that more than this machine can reach.
func openPorts(p *types.Project) (open []string) {
	for name, s := range p.Services {
		for _, port := range s.Ports {
			if port.HostIP != "127.0.0.1" {
				open = append(open, name+" "+port.HostIP+":"+port.Published)
			}
		}
	}
	return open
}

func TestComposeFile(t *testing.T) {
	p, err := loadCompose(t, filepath.Join(repository, "docker-compose.yml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Services) != 1 {
		t.Errorf("%d services, want compare alone", len(p.Services))
	}
	s, ok := p.Services["compare"]
	if !ok {
		t.Fatal("there is no service compare")
	}
	if open := openPorts(p); len(open) > 0 {
		t.Errorf("published beyond this machine: %s", strings.Join(open, ", "))
	}
	if !s.ReadOnly {
		t.Error("the root file system can be written")
	}
	if user, _, _ := strings.Cut(s.User, ":"); user == "" || user == "0" || user == "root" {
		t.Errorf("user %q is, or may be, root", s.User)
	}
	if s.Privileged || len(s.CapAdd) > 0 {
		t.Error("the service has more rights than a program needs that reads and writes files")
	}

	// The one place it writes is runs/, which is where compare puts its reports.
	if len(s.Volumes) != 1 || s.Volumes[0].Type != types.VolumeTypeBind || filepath.Base(s.Volumes[0].Source) != "runs" {
		t.Fatalf("volumes %+v, want ./runs alone", s.Volumes)
	}

	// The command is the README's.
	readme, err := os.ReadFile(filepath.Join(repository, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	command := "go run ./cmd/millrace " + strings.Join(s.Command, " ")
	if !regexp.MustCompile(`(?m)^\s*` + regexp.QuoteMeta(command) + `\s*$`).Match(readme) {
		t.Errorf("the README has no line %q", command)
	}
	if i := slices.Index(s.Command, "compare"); i != 0 || len(s.Command) < 2 {
		t.Fatalf("command %q", s.Command)
	}
	if _, err := os.Stat(filepath.Join(repository, s.Command[1])); err != nil {
		t.Errorf("the command names a scenario that is not there: %v", err)
	}
}

// TestComposeImage holds the build in the compose file against the tree: every
// folder of packages that the program needs is copied, with a toolchain that is new
// enough.
func TestComposeImage(t *testing.T) {
	p, err := loadCompose(t, filepath.Join(repository, "docker-compose.yml"))
	if err != nil {
		t.Fatal(err)
	}
	b := p.Services["compare"].Build
	if b == nil || b.DockerfileInline == "" {
		t.Fatal("compare has no dockerfile_inline")
	}
	if root, _ := filepath.Abs(repository); b.Context != root {
		t.Errorf("the build context is %s, want the repository %s", b.Context, root)
	}
	lines := strings.Split(b.DockerfileInline, "\n")
	var from, copied []string
	for _, l := range lines {
		w := strings.Fields(l)
		switch {
		case len(w) > 1 && w[0] == "FROM":
			from = append(from, w[1])
		case len(w) > 2 && w[0] == "COPY" && !strings.HasPrefix(w[1], "--"):
			copied = append(copied, w[1:len(w)-1]...)
		}
	}
	mod, err := os.ReadFile(filepath.Join(repository, "go.mod"))
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`(?m)^go (\d+\.\d+)`).FindSubmatch(mod)
	if m == nil {
		t.Fatal("go.mod names no version of Go")
	}
	if len(from) != 2 || !regexp.MustCompile(`^golang:`+regexp.QuoteMeta(string(m[1]))+`\.\d+-\w+$`).MatchString(from[0]) {
		t.Errorf("images %q: want golang:%s.N-name, pinned, and a second stage", from, m[1])
	} else if from[1] != "scratch" && !strings.Contains(from[1], ":") {
		t.Errorf("image %s is not pinned", from[1])
	}
	for _, want := range []string{"go.mod", "go.sum"} {
		if !slices.Contains(copied, want) {
			t.Errorf("%s is not copied", want)
		}
	}
	for _, c := range copied {
		if _, err := os.Stat(filepath.Join(repository, c)); err != nil {
			t.Errorf("COPY %s: %v", c, err)
		}
	}
	// Every folder at the top that holds packages the program imports.
	need := map[string]bool{}
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	imports := regexp.MustCompile(`"millrace/(\w+)`)
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range imports.FindAllStringSubmatch(string(text), -1) {
			need[m[1]] = true
		}
	}
	need["cmd"] = true
	if len(need) < 3 {
		t.Fatalf("only %d folders are imported: the pattern finds nothing", len(need))
	}
	for dir := range need {
		if !slices.Contains(copied, dir) {
			t.Errorf("the program imports from %s, which is not copied", dir)
		}
	}
	if !strings.Contains(b.DockerfileInline, "CGO_ENABLED=0 go build") {
		t.Error("the program must be linked statically for an empty image")
	}
}

// TestComposeFaults shows that the reader refuses what is wrong, and that a port
// open to the network is seen.
func TestComposeFaults(t *testing.T) {
	good := "services:\n  a:\n    image: x:1\n"
	for _, c := range []struct{ add, want string }{
		{"    portz: []\n", "portz"},
		{"    depends_on: [b]\n", `depends on undefined service "b"`},
		{"    ports: [\"127.0.0.1:99999:80\"]\n", "99999"},
		{"    volumes: [\"data:/d\"]\n", "undefined volume data"},
	} {
		file := filepath.Join(t.TempDir(), "docker-compose.yml")
		if err := os.WriteFile(file, []byte("name: t\n"+good+c.add), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := loadCompose(t, file); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: error %v, want one with %q", c.add, err, c.want)
		}
	}
	for ports, open := range map[string]int{`["127.0.0.1:8080:80"]`: 0, `["8080:80"]`: 1, `["0.0.0.0:8080:80", "127.0.0.1:8081:81"]`: 1} {
		file := filepath.Join(t.TempDir(), "docker-compose.yml")
		if err := os.WriteFile(file, []byte("name: t\n"+good+"    ports: "+ports+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		p, err := loadCompose(t, file)
		if err != nil {
			t.Fatal(err)
		}
		if got := openPorts(p); len(got) != open {
			t.Errorf("ports %s: %d open to the network (%v), want %d", ports, len(got), got, open)
		}
	}
}
