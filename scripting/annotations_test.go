package scripting

import (
	"strings"
	"testing"

	"millrace/scripting/sandbox"
	"millrace/sim/calendar"
)

// The editor's file is Lua, names every word, and every class it refers to is there.
func TestAnnotations(t *testing.T) {
	text := Annotations()
	if _, err := sandbox.Compile("words.lua", []byte(text)); err != nil {
		t.Fatal(err)
	}
	for _, c := range classes {
		name := className(c)
		for _, word := range c.order {
			if !strings.Contains(text, "---@field "+word+" ") && !strings.Contains(text, "function "+name+":"+word+"(") {
				t.Errorf("%s of %s is missing", word, c.name)
			}
			if c.words[word].note == "" {
				t.Errorf("%s of %s says nothing", word, c.name)
			}
		}
	}
	for _, part := range strings.Split(text, "millrace.")[1:] {
		name := part[:strings.IndexFunc(part, func(r rune) bool { return !(r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z') })]
		if !strings.Contains(text, "---@class millrace."+name+"\n") {
			t.Errorf("there is no class %s", name)
		}
	}
}

// Every field has the kind the editor is told.
func TestFieldKinds(t *testing.T) {
	names := map[*class]handle{storeClass: {name: "slab yard"}}
	sc := scenarioText(t, quietWreck+`plan "p" (function (works)
  local stop = works:await_stop("finishing train")
  works:await(stop.first_word)
  works:await("100 h")
end)`)
	w := sc.begin(&sc.Plans[0], 0)
	if err := w.Run(7 * calendar.Hour); err != nil {
		t.Fatal(err)
	}
	d := w.Director.(*Director)
	d.w, d.now = w, w.Now()
	for _, c := range classes {
		h := names[c]
		h.c = c
		if c == heatClass {
			h.n = int(w.HeatViews()[0].Number)
		}
		for _, word := range c.order {
			if c.words[word].get == nil {
				continue
			}
			want := map[string]string{"number": "number", "string": "string", "boolean": "boolean", "{": "table", "millrace.WordOnAStop": "userdata"}[strings.Fields(fieldKind(word))[0]]
			if got := c.words[word].get(d, d.state.L(), &h).Type().String(); got != want {
				t.Errorf("%s of %s is a %s, the editor is told %s", word, c.name, got, fieldKind(word))
			}
		}
	}
}
