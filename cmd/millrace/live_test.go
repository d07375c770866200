package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"

	"millrace/sim/bus"
	"millrace/sim/futures"
)

// outsideBus starts a NATS server with the options of the compose file's broker, on a
// free port of loopback and with a store of its own.
func outsideBus(t *testing.T, change func(*server.Options)) string {
	t.Helper()
	o := brokerOptions(t)
	o.Host, o.Port, o.StoreDir, o.NoSigs, o.NoLog = "127.0.0.1", server.RANDOM_PORT, t.TempDir(), true, true
	if change != nil {
		change(o)
	}
	s, err := server.NewServer(o)
	if err != nil {
		t.Fatal(err)
	}
	s.Start()
	t.Cleanup(func() { s.Shutdown(); s.WaitForShutdown() })
	if !s.ReadyForConnections(20 * time.Second) {
		t.Fatal("no server")
	}
	return s.ClientURL()
}

// listener keeps what is sent on the bus.
type listener struct {
	nc   *nats.Conn
	mu   sync.Mutex
	msgs []*nats.Msg
}

func listen(t *testing.T, url, subject string) *listener {
	t.Helper()
	l := &listener{}
	var err error
	l.nc, err = nats.Connect(url, nats.ErrorHandler(func(_ *nats.Conn, _ *nats.Subscription, err error) { t.Errorf("listener: %v", err) }))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(l.nc.Close)
	s, err := l.nc.Subscribe(subject, func(m *nats.Msg) {
		l.mu.Lock()
		l.msgs = append(l.msgs, m)
		l.mu.Unlock()
	})
	if err == nil {
		err = s.SetPendingLimits(-1, -1)
	}
	if err == nil {
		err = l.nc.Flush()
	}
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// got waits until at least n messages came and gives all.
func (l *listener) got(t *testing.T, n int) []*nats.Msg {
	t.Helper()
	for range 400 {
		l.mu.Lock()
		msgs := l.msgs
		l.mu.Unlock()
		if len(msgs) >= n {
			return msgs
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("fewer than %d messages in 20 s", n)
	return nil
}

// recordContract is what the bus's own description says of records: the schema of a
// message and the areas and events of its subject.
func recordContract(t *testing.T) (schema *jsonschema.Schema, areas, events map[string]bool) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(repository, "sim", "bus", "asyncapi.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := yaml.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	body, err := json.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	res, err := jsonschema.UnmarshalJSON(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	const url = "http://millrace.test/asyncapi.json"
	c := jsonschema.NewCompiler()
	if err := c.AddResource(url, res); err != nil {
		t.Fatal(err)
	}
	if schema, err = c.Compile(url + "#/components/messages/record/payload"); err != nil {
		t.Fatal(err)
	}
	parameters := doc["channels"].(map[string]any)["record"].(map[string]any)["parameters"].(map[string]any)
	words := func(name string) map[string]bool {
		out := map[string]bool{}
		for _, w := range parameters[name].(map[string]any)["enum"].([]any) {
			out[w.(string)] = true
		}
		return out
	}
	return schema, words("area"), words("event")
}

// A run that is sent: every record of it arrives, in the order of time, as the
// description of the bus says; the upset of the scenario is among them.
func TestRunLive(t *testing.T) {
	url := outsideBus(t, nil)
	const name = "run-simple-cobble-plan-1-future-2"
	l := listen(t, url, "millrace."+name+".>")
	var out, errs bytes.Buffer
	if code := Main([]string{"run", "scenarios/larkfell/simple-cobble.lua", "--future", "2", "--json", "--live", "--bus", url}, &out, &errs); code != exitDone {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	if !strings.Contains(errs.String(), "EXERCISE run "+name+" is sent on nats://127.0.0.1:") {
		t.Errorf("standard error: %s", errs.String())
	}
	var quiet bytes.Buffer
	if code := Main([]string{"run", "scenarios/larkfell/simple-cobble.lua", "--future", "2", "--json"}, &quiet, &errs); code != exitDone || quiet.String() != out.String() {
		t.Error("the run is another one when it is sent")
	}
	sc, err := loadScenario("scenarios/larkfell/simple-cobble.lua")
	if err != nil {
		t.Fatal(err)
	}
	seed := uint64(defaultSeed)
	if sc.Seed != 0 {
		seed = sc.Seed
	}
	result, err := futures.RunOne(t.Context(), caseOf(sc, seed, 1, 1), 0, 2)
	if err != nil {
		t.Fatal(err)
	}
	records := int(result.Events)
	if records == 0 {
		t.Fatal("the run has no record")
	}
	msgs := l.got(t, records)
	if len(msgs) != records {
		t.Errorf("%d messages, the run has %d records", len(msgs), records)
	}

	schema, areas, events := recordContract(t)
	valid := func(body []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(body))
		if err != nil {
			return err
		}
		return schema.Validate(v)
	}
	seen, ids := map[string]int{}, map[string]bool{}
	var last int64
	var upset []byte
	for _, m := range msgs {
		var e bus.Envelope
		var r bus.Record
		if err := json.Unmarshal(m.Data, &e); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(e.Data, &r); err != nil {
			t.Fatal(err)
		}
		if seen[r.Kind]++; seen[r.Kind] <= 100 { // of each kind, to keep the test light
			if err := valid(m.Data); err != nil {
				t.Fatalf("%s: %v\n%s", m.Subject, err, m.Data)
			}
		}
		if part := strings.Split(m.Subject, "."); len(part) != 5 || !areas[part[2]] || !events[part[4]] || part[4] != r.Kind {
			t.Fatalf("subject %s of a record %s", m.Subject, r.Kind)
		}
		if ids[e.ID] || !e.Exercise || e.Source != "/millrace/"+name || e.Type != bus.TypeRecord+r.Kind {
			t.Fatalf("envelope %s", m.Data)
		}
		ids[e.ID] = true
		if r.T < last {
			t.Fatalf("%d us comes behind %d us", r.T, last)
		}
		last = r.T
		if r.Kind != "upset" {
			continue
		}
		upset = m.Data
		if m.Subject != "millrace."+name+".hot.finishing-train.upset" || r.Upset != "simple cobble" || !strings.HasPrefix(e.SimTime, "2031-11-04T09:15") {
			t.Errorf("%s: %s", m.Subject, m.Data)
		}
	}
	if seen["upset"] != 1 || seen["told"] == 0 || seen["over"] != 1 || seen["move"] < 100 {
		t.Errorf("records by kind: %v", seen)
	}
	for _, edit := range [][2]string{{`"specversion":"1.0"`, `"specversion":"0.3"`}, {`"simtime":`, `"sim_time":`}, {`"kind":"upset"`, `"kind":7`}} {
		bad := bytes.Replace(upset, []byte(edit[0]), []byte(edit[1]), 1)
		if bytes.Equal(bad, upset) || valid(bad) == nil {
			t.Errorf("a record with %s is taken as valid", edit[1])
		}
	}
}

// With a pace the records come by the wall clock, and a run that is ended sends no
// more: at ten minutes a second the four days are not over in the time this takes.
func TestRunLivePace(t *testing.T) {
	url := outsideBus(t, nil)
	l := listen(t, url, "millrace.>")
	cmd := exec.Command("millrace", "run", "scenarios/larkfell/simple-cobble.lua", "--live", "--bus", url, "--pace", "10")
	begun := time.Now()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	l.got(t, 400)
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err == nil {
		t.Error("a run that was ended is taken as done")
	}
	if err := l.nc.Flush(); err != nil {
		t.Fatal(err)
	}
	took := time.Since(begun)
	msgs := l.got(t, 200)
	var e bus.Envelope
	var r bus.Record
	if err := json.Unmarshal(msgs[len(msgs)-1].Data, &e); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(e.Data, &r); err != nil {
		t.Fatal(err)
	}
	// Nothing comes before its time.
	if now := float64(r.T) / 1e6; now <= 0 || now > 600*took.Seconds() {
		t.Errorf("the last record is of %g s, %v after the run was started", now, took)
	}
}

// Names on the bus can stand in a subject, whatever the file is called.
func TestLiveName(t *testing.T) {
	for file, want := range map[string]string{
		"a/b/stand-wreck.lua":               "run-stand-wreck-plan-1-future-7",
		"Ünlikely Näme!.lua":                "run-nlikely-n-me-plan-1-future-7",
		strings.Repeat("long", 30) + ".lua": "run-" + strings.Repeat("long", 30)[:64-4-len("-plan-1-future-7")] + "-plan-1-future-7",
	} {
		if got := liveName(file, 0, 7); got != want || !bus.CheckRun(got) {
			t.Errorf("%s: %q, want %q", file, got, want)
		}
	}
	if got := liveName(strings.Repeat("x", 99), 199, 1<<64-1); !bus.CheckRun(got) {
		t.Errorf("%q cannot name a run", got)
	}
}

// A drill on a NATS server outside: ready, its records and its status can be had by
// others, it goes on where it was when it comes back, and without JetStream it says
// what is missing.
func TestDrillOutsideBus(t *testing.T) {
	url := outsideBus(t, nil)
	state := filepath.Join(t.TempDir(), "late-shift")
	l := listen(t, url, "millrace.late-shift.*.*.move")
	d := startDrill(t, "millrace", state, "--bus", url, "--pace", "60")
	if code, body := get(t, d.base+"/readyz"); code != 200 || strings.TrimSpace(body) != "ready" {
		t.Fatalf("/readyz: %d %q", code, body)
	}
	if code, body := get(t, d.links["controller"]); code != 200 || !strings.Contains(body, "<html") {
		t.Errorf("the page: %d", code)
	}
	if got := l.nc.MaxPayload(); got != 8<<20 {
		t.Errorf("the bus takes messages of %d bytes, want the 8 MiB of the bus inside", got)
	}
	l.got(t, 100)
	client := &bus.Client{NC: l.nc, Run: "late-shift"}
	status := func() *bus.Status {
		s, err := client.Status(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if !s.Ready || len(s.Broken) > 0 || len(s.Faults) > 0 {
			t.Fatalf("status %+v", s)
		}
		return s
	}
	before := status()
	if before.T <= 0 || before.Held {
		t.Errorf("the drill does not run: %+v", before)
	}
	if err := d.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := d.cmd.Wait(); err != nil {
		t.Fatalf("ended by a signal: %v %s", err, d.errs)
	}
	startDrill(t, "millrace", state, "--bus", url)
	if after := status(); after.T < before.T || !after.Held || after.Epoch <= before.Epoch {
		t.Errorf("came back at %g s, was at %g s: %+v", after.T, before.T, after)
	}

	plain := outsideBus(t, func(o *server.Options) { o.JetStream = false })
	cmd := exec.Command("millrace", "drill", "scenarios/larkfell/stand-wreck.lua", "--listen", "127.0.0.1:0", "--no-open", "--state", t.TempDir(), "--bus", plain)
	out, err := cmd.CombinedOutput()
	if err == nil || !strings.Contains(string(out), "JetStream") {
		t.Errorf("without JetStream: %v %s", err, out)
	}
}
