package main

import (
	"fmt"
	"io"
	"maps"
	"net"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/compose-spec/compose-go/v2/cli"
	"github.com/compose-spec/compose-go/v2/types"
	"github.com/nats-io/nats-server/v2/server"
)

// repository is the root of the repository, seen from this package.
const repository = "../.."

// loadCompose reads a compose file as the compose tool does, schema and all,
// without an engine and without the environment of whoever runs the test.
func loadCompose(t *testing.T, file string, profiles ...string) (*types.Project, error) {
	t.Helper()
	o, err := cli.NewProjectOptions([]string{file}, cli.WithWorkingDirectory(filepath.Dir(file)), cli.WithResolvedPaths(true), cli.WithProfiles(profiles))
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

// theCompose is the repository's compose file with all its services.
func theCompose(t *testing.T) *types.Project {
	t.Helper()
	p, err := loadCompose(t, filepath.Join(repository, "docker-compose.yml"), "drill")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// goodCommand says why a command line would be refused before anything is run; nil
// when it would not.
func goodCommand(args []string) error {
	root := newRoot(io.Discard, io.Discard)
	if err := firstWord(root, args); err != nil {
		return err
	}
	c, rest, err := root.Find(args)
	if err != nil {
		return err
	}
	if err := c.ParseFlags(rest); err != nil {
		return err
	}
	if err := c.ValidateArgs(c.Flags().Args()); err != nil {
		return err
	}
	if c.Name() == "drill" {
		var f drillFlags
		f.listen, _ = c.Flags().GetString("listen")
		f.hosts, _ = c.Flags().GetStringArray("host")
		return f.checkListen()
	}
	return nil
}

// The program refuses none of the command lines, and the test can tell.
func TestComposeCommands(t *testing.T) {
	p := theCompose(t)
	n := 0
	for name, s := range p.Services {
		if s.Image != "millrace:local" {
			continue
		}
		n++
		if err := goodCommand(s.Command); err != nil {
			t.Errorf("%s: %q: %v", name, s.Command, err)
		}
		if _, err := os.Stat(filepath.Join(repository, s.Command[1])); err != nil {
			t.Errorf("%s names a scenario that is not there: %v", name, err)
		}
	}
	if n != 2 {
		t.Errorf("%d services of millrace, want compare and drill", n)
	}
	for _, bad := range [][]string{{"dril", "x.lua"}, {"drill"}, {"drill", "x.lua", "--port=1"}, {"drill", "x.lua", "--pace=fast"}, {"drill", "x.lua", "--listen=0.0.0.0:1"}} {
		if goodCommand(bad) == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}

// The services of the drill: the page for this machine alone, the bus for nobody
// outside, nothing with more rights than it needs.
func TestComposeDrill(t *testing.T) {
	p := theCompose(t)
	if got := slices.Sorted(maps.Keys(p.Services)); !slices.Equal(got, []string{"broker", "compare", "drill"}) {
		t.Fatalf("services %q", got)
	}
	if open := openPorts(p); len(open) > 0 {
		t.Errorf("published beyond this machine: %s", strings.Join(open, ", "))
	}
	for name, s := range p.Services {
		if user, _, _ := strings.Cut(s.User, ":"); user == "" || user == "0" || user == "root" {
			t.Errorf("%s: user %q is, or may be, root", name, s.User)
		}
		if s.Privileged || len(s.CapAdd) > 0 || !slices.Equal(s.CapDrop, []string{"ALL"}) || !slices.Contains(s.SecurityOpt, "no-new-privileges:true") {
			t.Errorf("%s has rights it does not need", name)
		}
		if !s.ReadOnly {
			t.Errorf("%s can write its root file system", name)
		}
		if s.NetworkMode == "host" || s.Pid == "host" {
			t.Errorf("%s shares the machine's network or processes", name)
		}
	}
	drill, broker := p.Services["drill"], p.Services["broker"]
	if len(p.Services["compare"].DependsOn) > 0 {
		t.Error("compare needs a service")
	}
	if _, ok := drill.DependsOn["broker"]; !ok {
		t.Error("drill does not need the broker")
	}

	// The page: the port that is published is the one it listens on.
	flags := newDrill().Flags()
	if err := flags.Parse(drill.Command[1:]); err != nil {
		t.Fatal(err)
	}
	listen, _ := flags.GetString("listen")
	_, port, err := net.SplitHostPort(listen)
	if err != nil {
		t.Fatal(err)
	}
	if len(drill.Ports) != 1 || strconv.Itoa(int(drill.Ports[0].Target)) != port || drill.Ports[0].Published != port {
		t.Errorf("ports %+v, the page listens on %s and its links say so", drill.Ports, port)
	}
	state, _ := flags.GetString("state")
	if v := drill.Volumes; len(v) != 1 || !strings.HasPrefix(path.Join("/srv", state), v[0].Target+"/") {
		t.Errorf("the state %s is not kept in %+v", state, v)
	}

	// The bus: on a network without a way out, by the name and port that drill asks for.
	if len(broker.Ports) > 0 {
		t.Error("the bus is published")
	}
	for name := range broker.Networks {
		if !p.Networks[name].Internal {
			t.Errorf("the bus is on network %s, which is not internal", name)
		}
		if _, ok := drill.Networks[name]; !ok {
			t.Errorf("drill is not on network %s", name)
		}
	}
	if len(broker.Networks) == 0 || broker.NetworkMode != "" {
		t.Error("the bus is on the default network")
	}
	o := brokerOptions(t)
	address, _ := flags.GetString("bus")
	if want := fmt.Sprintf("nats://%s:%d", broker.Name, o.Port); address != want {
		t.Errorf("drill asks for %s, want %s", address, want)
	}
	if v := broker.Volumes; len(v) != 1 || v[0].Type != types.VolumeTypeVolume || v[0].Target != o.StoreDir || !o.JetStream {
		t.Errorf("the store %s is not kept in %+v", o.StoreDir, v)
	}
	if len(broker.Command) != 2 || broker.Command[0] != "--config" || !strings.Contains(broker.Build.DockerfileInline, `COPY <<"END" `+broker.Command[1]+"\n") {
		t.Errorf("command %q does not read the configuration", broker.Command)
	}
}

// brokerOptions are those of the broker in the compose file, as the server reads them.
func brokerOptions(t *testing.T) *server.Options {
	t.Helper()
	m := regexp.MustCompile(`(?s)COPY <<"END" \S+\n(.*?\n)END\n`).FindStringSubmatch(theCompose(t).Services["broker"].Build.DockerfileInline)
	if m == nil {
		t.Fatal("the broker has no configuration")
	}
	file := filepath.Join(t.TempDir(), "broker.conf")
	if err := os.WriteFile(file, []byte(m[1]), 0o600); err != nil {
		t.Fatal(err)
	}
	o, err := server.ProcessConfigFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// Versions in the images are those of go.mod.
func TestComposeVersions(t *testing.T) {
	mod, err := os.ReadFile(filepath.Join(repository, "go.mod"))
	if err != nil {
		t.Fatal(err)
	}
	find := func(pattern, text string) []string {
		m := regexp.MustCompile(pattern).FindStringSubmatch(text)
		if m == nil {
			t.Fatalf("there is no %s", pattern)
		}
		return m[1:]
	}
	language := find(`(?m)^go (\d+\.\d+)\.(\d+)$`, string(mod))
	for name, s := range theCompose(t).Services {
		image := find(`(?m)^FROM golang:(\d+\.\d+)\.(\d+)-`, s.Build.DockerfileInline)
		least, _ := strconv.Atoi(language[1])
		if got, _ := strconv.Atoi(image[1]); image[0] != language[0] || got < least {
			t.Errorf("%s is built by Go %s, go.mod wants %s", name, strings.Join(image, "."), strings.Join(language, "."))
		}
	}
	const module = "github.com/nats-io/nats-server/v2"
	want := find(`(?m)^\s`+regexp.QuoteMeta(module)+` (v\S+)$`, string(mod))[0]
	got := find(`CGO_ENABLED=0 go install [^\n]*`+regexp.QuoteMeta(module)+`@(v\S+)`, theCompose(t).Services["broker"].Build.DockerfileInline)[0]
	if got != want {
		t.Errorf("the broker is %s, go.mod has %s", got, want)
	}
}

func TestComposeFile(t *testing.T) {
	p, err := loadCompose(t, filepath.Join(repository, "docker-compose.yml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Services) != 1 {
		t.Errorf("%d services, want compare alone when no profile is asked for", len(p.Services))
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
