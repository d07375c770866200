package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"millrace/sim/futures"
)

func render(t *testing.T, c *futures.Comparison, x Extra) string {
	t.Helper()
	b, err := HTML(c, x)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// TestWriteReport writes the sample where REPORT_OUT says, to be looked at.
func TestWriteReport(t *testing.T) {
	dir := os.Getenv("REPORT_OUT")
	if dir == "" {
		t.Skip("writes a report to look at and checks nothing; set REPORT_OUT to a folder")
	}
	for name, c := range map[string]*futures.Comparison{"decided": sample(), "undecided": undecided()} {
		if err := os.WriteFile(dir+"/"+name+".html", []byte(render(t, c, extra())), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// odd are comparisons at the edge of what there can be.
func odd() map[string]*futures.Comparison {
	one := sample()
	one.Plans, one.Best = one.Plans[:1], 0
	nothing := &futures.Comparison{Scenario: "quiet", Verdict: "No plan."}
	bare := &futures.Comparison{Scenario: "bare", Plans: []futures.PlanResult{{Name: "a"}, {Name: "b"}}, Verdict: "Cannot tell."}
	unknown := sample()
	for i := range unknown.Plans {
		p := &unknown.Plans[i]
		for k := range p.Measures {
			p.Measures[k].Mean, p.Measures[k].P10, p.Measures[k].P90, p.Measures[k].N = math.NaN(), math.NaN(), math.NaN(), 0
		}
	}
	short := sample()
	for _, p := range append([]*futures.PlanResult{&short.Twin}, &short.Plans[0], &short.Plans[1], &short.Plans[2]) {
		for k := range p.Bands {
			b := &p.Bands[k]
			b.Mean, b.P10, b.P90 = b.Mean[:30], b.P10[:30], b.P90[:30]
		}
	}
	free := sample()
	for i := range free.Plans {
		for k := range free.Plans[i].CostOfUpset {
			l := &free.Plans[i].CostOfUpset[k]
			l.Amount, l.Low, l.High = 0, 0, 0
		}
	}
	hostile := sample()
	hostile.Plans[0].Name = `<script>alert("x")</script> & "so' on`
	hostile.Scenario = "</title><b>bold"
	return map[string]*futures.Comparison{"decided": sample(), "undecided": undecided(), "one plan": one, "no plan": nothing, "bare": bare, "unknown": unknown, "short": short, "free": free, "hostile": hostile}
}

// node is an element with what is in it.
type node struct {
	name     string
	attr     map[string]string
	text     string
	children []*node
}

// parse reads the page as XML, strictly: what is not closed or quoted is an error.
func parse(page string) (*node, error) {
	d := xml.NewDecoder(strings.NewReader(page))
	root := &node{}
	open := []*node{root}
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		top := open[len(open)-1]
		switch tok := tok.(type) {
		case xml.StartElement:
			n := &node{name: tok.Name.Local, attr: map[string]string{}}
			for _, a := range tok.Attr {
				if _, twice := n.attr[a.Name.Local]; twice {
					return nil, fmt.Errorf("%s has %s twice", n.name, a.Name.Local)
				}
				n.attr[a.Name.Local] = a.Value
			}
			top.children = append(top.children, n)
			open = append(open, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			top.text += string(tok)
		}
	}
	return root, nil
}

func (n *node) walk(f func(*node)) {
	f(n)
	for _, c := range n.children {
		c.walk(f)
	}
}

func (n *node) all(name string) (out []*node) {
	n.walk(func(m *node) {
		if m.name == name {
			out = append(out, m)
		}
	})
	return out
}

func TestPageIsWellFormedAndStandsAlone(t *testing.T) {
	for name, c := range odd() {
		page := render(t, c, extra())
		root, err := parse(page)
		if err != nil {
			t.Errorf("%s: not well formed: %v", name, err)
			continue
		}
		ids := map[string]bool{}
		root.walk(func(n *node) {
			switch n.name {
			case "script", "link", "img", "iframe", "object", "image", "use", "base", "form":
				t.Errorf("%s: the page has a <%s>", name, n.name)
			}
			for k, v := range n.attr {
				if strings.HasPrefix(k, "on") || k == "src" || k == "href" || k == "style" {
					t.Errorf("%s: <%s> has %s=%q", name, n.name, k, v)
				}
			}
			if id := n.attr["id"]; id != "" {
				if ids[id] {
					t.Errorf("%s: id %q is there twice", name, id)
				}
				ids[id] = true
			}
		})
		without := regexp.MustCompile(`xmlns="http://www\.w3\.org/[^"]*"`).ReplaceAllString(page, "")
		if m := regexp.MustCompile(`(?i)https?:|//[a-z]|@import|@font-face|url\([^#]`).FindString(without); m != "" {
			t.Errorf("%s: the page asks for something outside: %q", name, m)
		}
		if strings.Contains(page, "NaN") || strings.Contains(page, "Inf") {
			t.Errorf("%s: the page shows NaN or Inf", name)
		}
	}
}

func TestPicturesCanBeReadAloud(t *testing.T) {
	for name, c := range odd() {
		root, err := parse(render(t, c, extra()))
		if err != nil {
			t.Fatal(err)
		}
		pictures := root.all("svg")
		if name == "decided" && len(pictures) < 20 {
			t.Errorf("only %d pictures", len(pictures))
		}
		for _, s := range pictures {
			if s.attr["role"] != "img" || s.attr["aria-label"] == "" {
				t.Errorf("%s: a picture has role %q, label %q", name, s.attr["role"], s.attr["aria-label"])
			}
			if len(s.children) < 2 || s.children[0].name != "title" || s.children[0].text == "" || s.children[1].name != "desc" || s.children[1].text == "" {
				t.Errorf("%s: a picture does not begin with title and desc: %s", name, s.attr["aria-label"])
			}
		}
		for _, f := range root.all("figure") {
			if len(f.all("figcaption")) != 1 || strings.TrimSpace(f.all("figcaption")[0].text) == "" {
				t.Errorf("%s: a figure has no caption", name)
			}
		}
	}
}

// TestWordsStayInsideThePicture takes 0.56 of the size for the width of a
// letter, which is a little more than the mean of a sans serif (assumption).
func TestWordsStayInsideThePicture(t *testing.T) {
	size := map[string]float64{"tick": 11, "label": 11.5, "number": 11.5, "roomword": 11, "segword": 10}
	for name, c := range odd() {
		root, err := parse(render(t, c, extra()))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range root.all("svg") {
			box := strings.Fields(s.attr["viewBox"])
			w, _ := strconv.ParseFloat(box[2], 64)
			h, _ := strconv.ParseFloat(box[3], 64)
			for _, x := range s.all("text") {
				px, ok := size[strings.Fields(x.attr["class"])[0]]
				if !ok {
					t.Fatalf("text of class %q", x.attr["class"])
				}
				at, _ := strconv.ParseFloat(x.attr["x"], 64)
				y, _ := strconv.ParseFloat(x.attr["y"], 64)
				long := 0.56 * px * float64(len([]rune(x.text)))
				switch x.attr["text-anchor"] {
				case "middle":
					at -= long / 2
				case "end":
					at -= long
				}
				if at < -1 || at+long > w+1 || y < 0.7*px || y > h {
					t.Errorf("%s: %q sticks out of its picture (%.0f to %.0f of %.0f, at height %.0f of %.0f)", name, x.text, at, at+long, w, y, h)
				}
			}
		}
	}
}

func TestPageSaysWhatItMust(t *testing.T) {
	c, x := sample(), extra()
	page := strings.ReplaceAll(render(t, c, x), "\u00a0", " ")
	want := []string{"95 % interval 0.85 to 0.99", "slow the casters early", "without the upset", "Carry on: full in 64 % of futures, first between",
		"clock time", "thousand EUR", "level, heats", "Rate as given, not computed: pickle line, dispatch.", "suspended loads kill", planningAid,
		x.Command, "seed 7", c.Fingerprint, "version 0.1.0", "fatigue", "prefers-color-scheme: dark", "@media print", "F1 is blocked for"}
	for _, f := range x.Files {
		want = append(want, f.Name, f.SHA256)
	}
	for _, w := range want {
		if !strings.Contains(page, w) {
			t.Errorf("the page does not say %q", w)
		}
	}
	page = render(t, undecided(), x)
	for _, w := range []string{"What would decide", "2,300", "record for record", "the same as wait for the first word"} {
		if !strings.Contains(strings.ReplaceAll(page, "\u00a0", " "), w) {
			t.Errorf("the undecided page does not say %q", w)
		}
	}
	if _, err := HTML(nil, x); err == nil {
		t.Error("no comparison was taken")
	}
	c.Best = 9
	if _, err := HTML(c, x); err == nil {
		t.Error("a best plan that does not exist was taken")
	}
	again, _ := HTML(sample(), x)
	if !bytes.Equal(again, []byte(render(t, sample(), x))) {
		t.Error("the same comparison gives two pages")
	}
}

// luminance and contrast are those of WCAG 2.2, "relative luminance" and
// "contrast ratio" (from memory).
func luminance(t *testing.T, hex string) float64 {
	v, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil || len(hex) != 7 {
		t.Fatalf("colour %q", hex)
	}
	l := 0.0
	for i, w := range [...]float64{0.2126, 0.7152, 0.0722} {
		c := float64(v>>(16-8*i)&0xff) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		l += w * c
	}
	return l
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func TestContrast(t *testing.T) {
	if c := contrast(t, "#000000", "#ffffff"); math.Abs(c-21) > 1e-9 { // WCAG's own end of the scale
		t.Fatalf("black on white has %v", c)
	}
	blocks := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllStringSubmatch(pageCSS, -1)
	if len(blocks) != 3 {
		t.Fatalf("%d sets of colours, want light, dark and print", len(blocks))
	}
	for i, mode := range []string{"light", "dark", "print"} {
		col := map[string]string{"black": "#15191d"}
		for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6})`).FindAllStringSubmatch(blocks[i][1], -1) {
			col[m[1]] = m[2]
		}
		check := func(least float64, pairs ...string) {
			for _, p := range pairs {
				a, b, _ := strings.Cut(p, " ")
				if col[a] == "" || col[b] == "" {
					t.Fatalf("%s: no colour for %s", mode, p)
				}
				if c := contrast(t, col[a], col[b]); c < least {
					t.Errorf("%s: %s on %s has a contrast of %.2f, want %.1f", mode, a, b, c, least)
				}
			}
		}
		// Words: WCAG 2.2 criterion 1.4.3, 4.5:1. Parts of pictures: 1.4.11, 3:1.
		check(4.5, "ink page", "ink panel", "soft page", "soft panel", "plan page", "limit page", "limit normal", "on-light running", "on-light slowed",
			"on-light starved", "on-light maintenance", "on-light off", "on-down down", "on-changeover changeover", "black blocked", "soft normal")
		check(3, "plan page", "plan normal", "plan spread", "twin page", "twin normal", "limit page")
	}
}
