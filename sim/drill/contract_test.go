package drill

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"sort"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"

	"millrace/sim/bus"
)

// contract is the AsyncAPI document.
type contract struct {
	t        *testing.T
	doc      map[string]any
	compiler *jsonschema.Compiler
	channels []channel
	schemas  map[string]*jsonschema.Schema
}

type channel struct {
	name     string
	subject  *regexp.Regexp
	messages []string
}

const contractURL = "http://millrace.test/asyncapi.json"

func readContract(t *testing.T) *contract {
	t.Helper()
	text, err := os.ReadFile("../bus/asyncapi.yaml")
	if err != nil {
		t.Fatal(err)
	}
	c := &contract{t: t, compiler: jsonschema.NewCompiler(), schemas: map[string]*jsonschema.Schema{}}
	if err := yaml.Unmarshal(text, &c.doc); err != nil {
		t.Fatal(err)
	}
	if c.doc["asyncapi"] != "3.0.0" {
		t.Fatalf("asyncapi %v", c.doc["asyncapi"])
	}
	body, err := json.Marshal(c.doc)
	if err != nil {
		t.Fatal(err)
	}
	res, err := jsonschema.UnmarshalJSON(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if err := c.compiler.AddResource(contractURL, res); err != nil {
		t.Fatal(err)
	}
	for name, v := range c.doc["channels"].(map[string]any) {
		ch := v.(map[string]any)
		x := channel{name: name}
		for m := range ch["messages"].(map[string]any) {
			x.messages = append(x.messages, m)
		}
		if address, ok := ch["address"].(string); ok {
			pattern := regexp.QuoteMeta(address)
			params, _ := ch["parameters"].(map[string]any)
			for p, v := range params {
				q, _ := v.(map[string]any)
				if ref, ok := q["$ref"].(string); ok {
					q = c.at(ref)
				}
				alt := "[a-z0-9_-]+"
				if e, ok := q["enum"].([]any); ok {
					var words []string
					for _, w := range e {
						words = append(words, w.(string))
					}
					alt = "(?:" + strings.Join(words, "|") + ")"
				}
				pattern = strings.ReplaceAll(pattern, regexp.QuoteMeta("{"+p+"}"), alt)
			}
			x.subject = regexp.MustCompile("^" + pattern + "$")
		}
		c.channels = append(c.channels, x)
	}
	sort.Slice(c.channels, func(a, b int) bool { return c.channels[a].name < c.channels[b].name })
	return c
}

// at follows a reference within the document.
func (c *contract) at(ref string) map[string]any {
	c.t.Helper()
	v := any(c.doc)
	for _, k := range strings.Split(strings.TrimPrefix(ref, "#/"), "/") {
		m, ok := v.(map[string]any)
		if !ok || m[k] == nil {
			c.t.Fatalf("the document has no %s", ref)
		}
		v = m[k]
	}
	return v.(map[string]any)
}

// channelOf is the one channel of a subject.
func (c *contract) channelOf(subject string) (string, error) {
	var found []string
	for _, x := range c.channels {
		if x.subject != nil && x.subject.MatchString(subject) {
			found = append(found, x.name)
		}
	}
	if len(found) != 1 {
		return "", fmt.Errorf("%s belongs to %v, want one channel", subject, found)
	}
	return found[0], nil
}

// valid holds a message against the payload of the document's message.
func (c *contract) valid(message string, body []byte) error {
	s := c.schemas[message]
	if s == nil {
		var err error
		if s, err = c.compiler.Compile(contractURL + "#/components/messages/" + message + "/payload"); err != nil {
			return err
		}
		c.schemas[message] = s
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(body))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

// Everything that a drill sends and takes is as the AsyncAPI document says.
func TestContract(t *testing.T) {
	doc := readContract(t)
	b := openBus(t, t.TempDir())
	defer b.Close()

	type sent struct {
		subject string
		body    []byte
	}
	var mu sync.Mutex
	var all []sent
	take := func(m *nats.Msg) {
		mu.Lock()
		all = append(all, sent{m.Subject, m.Data})
		mu.Unlock()
	}
	spy, err := b.Connect("spy", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer spy.Close()
	for _, what := range []string{"millrace.>", "_INBOX.>"} {
		if _, err := spy.Subscribe(what, take); err != nil {
			t.Fatal(err)
		}
	}
	if err := spy.Flush(); err != nil {
		t.Fatal(err)
	}

	h := openHost(t, b, wreck(t), func(c *Config) { c.NoRecords = false })
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	step := func(minutes float64) { d.must(bus.Command{Kind: bus.CmdStep, Minutes: minutes}) }
	step(16*60 + 41)
	d.snapshot(bus.ForAll)
	step(60)
	c := d.snapshot(bus.ForController)
	d.must(bus.Command{Kind: bus.CmdAck, Role: bus.Player, By: "mill", Call: c.Calls[len(c.Calls)-1].ID})
	d.must(bus.Command{Kind: bus.CmdOrder, Role: bus.Player, By: "mill", Order: &bus.Order{Lever: "change rolls"}})
	try(t, d, slow("C1", "0.9 m/min"))
	d.must(bus.Command{Kind: bus.CmdOrder, As: "steel", Order: slow("C1", "0.8 m/min")})
	d.do(bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "0.1 m/min")})
	d.must(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectUpset, Upset: "furnace trip", Unit: "F2", Lasts: "2 h"}})
	d.must(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage, Text: "a message"}})
	d.must(bus.Command{Kind: bus.CmdNote, Role: bus.Evaluator, Text: "seen"})
	d.must(bus.Command{Kind: bus.CmdAskHold, Role: bus.Player})
	d.must(bus.Command{Kind: bus.CmdPace, Pace: 60})
	d.must(bus.Command{Kind: bus.CmdResume})
	time.Sleep(1200 * time.Millisecond)
	d.must(bus.Command{Kind: bus.CmdHold})
	d.must(bus.Command{Kind: bus.CmdStop, Role: bus.Observer})
	d.do(bus.Command{Kind: bus.CmdResume})
	d.must(bus.Command{Kind: bus.CmdConfirm})
	d.must(bus.Command{Kind: bus.CmdHold})
	d.must(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage, To: "mill", Text: "for you alone"}})
	d.must(bus.Command{Kind: bus.CmdRunTo, To: d.status().T + 7200, Fast: true})
	waitFor(t, func() bool { return d.status().Held })
	d.snapshot(bus.ForPlayer("mill"))
	d.must(bus.Command{Kind: bus.CmdRewind, Mark: "A1"})
	d.snapshot(bus.ForStaff)
	d.status()
	waitFor(t, func() bool { return d.snapshot(bus.ForAll).Forecast != nil })
	for _, nc := range []*nats.Conn{b.Conn, spy} {
		if err := nc.Flush(); err != nil {
			t.Fatal(err)
		}
	}
	time.Sleep(100 * time.Millisecond)

	mu.Lock()
	defer mu.Unlock()
	seen := map[string]int{}
	ids := map[string]bool{}
	types := map[string]string{bus.TypeReply: "reply", bus.TypeSnapshot: "snapshot", bus.TypeStatus: "status", bus.TypeForecast: "forecast"}
	for _, m := range all {
		message := ""
		if strings.HasPrefix(m.subject, "_INBOX.") {
			var e bus.Envelope
			if json.Unmarshal(m.body, &e) != nil || e.SpecVersion == "" {
				continue // JetStream's own
			}
			if message = types[e.Type]; message == "" {
				if strings.HasPrefix(e.Type, bus.TypeAction) {
					continue // the stream read back
				}
				t.Fatalf("a reply of type %q", e.Type)
			}
		} else {
			ch, err := doc.channelOf(m.subject)
			if err != nil {
				t.Fatal(err)
			}
			message = map[string]string{"private": "told", "privateSnapshot": "snapshotRequest", "snapshot": "snapshotRequest", "status": "statusRequest", "try": "command"}[ch]
			if message == "" {
				message = ch
			}
		}
		seen[message]++
		if message == "statusRequest" {
			if len(m.body) > 0 {
				t.Errorf("a status request with a body: %s", m.body)
			}
			continue
		}
		if err := doc.valid(message, m.body); err != nil {
			t.Fatalf("%s is no %s:\n%v\n%.600s", m.subject, message, err, m.body)
		}
		if message == "command" || message == "snapshotRequest" {
			continue
		}
		var e bus.Envelope
		if err := json.Unmarshal(m.body, &e); err != nil {
			t.Fatal(err)
		}
		if ids[e.ID] {
			t.Fatalf("id %s was sent twice", e.ID)
		}
		ids[e.ID] = true
		if !e.Exercise || e.Source != "/millrace/test" {
			t.Fatalf("%s: exercise %v, source %s", m.subject, e.Exercise, e.Source)
		}
	}
	for _, x := range doc.channels {
		for _, m := range x.messages {
			if seen[m] == 0 {
				t.Errorf("no %s was sent, so its description was not tested", m)
			}
		}
	}
	t.Log(seen)

	// The check can fail: a message with one field wrong, one missing, one too many.
	for _, m := range all {
		if !strings.HasSuffix(m.subject, ".page.update") {
			continue
		}
		for _, edit := range [][2]string{{`"pace":`, `"pase":`}, {`"specversion":"1.0"`, `"specversion":"0.3"`}, {`"exercise":true,"data"`, `"data"`}, {`"ep":`, `"ep":"x","e":`}} {
			bad := strings.Replace(string(m.body), edit[0], edit[1], 1)
			if bad == string(m.body) {
				t.Errorf("%s is not in an update", edit[0])
			}
			if doc.valid("update", []byte(bad)) == nil {
				t.Errorf("an update with %s is taken as valid", edit[1])
			}
		}
		break
	}
}

// Every enum of the document is the code's.
func TestContractWords(t *testing.T) {
	doc := readContract(t)
	enum := func(ref string) string { return fmt.Sprint(doc.at(ref)["enum"]) }
	if got, want := enum("#/components/parameters/audience"), fmt.Sprint([]bus.Audience{bus.ForAll, bus.ForStaff, bus.ForController}); got != want {
		t.Errorf("audiences %s, want %s", got, want)
	}
	var kinds []string
	for k := range may {
		kinds = append(kinds, k)
	}
	kinds = append(kinds, bus.CmdTry)
	sort.Strings(kinds)
	in := doc.at("#/components/schemas/Command/properties/kind")["enum"].([]any)
	var got []string
	for _, v := range in {
		got = append(got, v.(string))
	}
	sort.Strings(got)
	if fmt.Sprint(got) != fmt.Sprint(kinds) {
		t.Errorf("commands %v, want %v", got, kinds)
	}
}

func waitFor(t testing.TB, f func() bool) {
	t.Helper()
	for range 300 {
		if f() {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatal("it did not come in 15 s")
}
