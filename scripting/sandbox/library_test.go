package sandbox

import (
	"errors"
	"math"
	"strings"
	"testing"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/pm"
	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

// eval runs `print(...)` of the expressions and gives what was printed.
func eval(t testing.TB, expressions string, o Options) string {
	t.Helper()
	var out []string
	o.Print = func(line string) { out = append(out, line) }
	if err := runSource("f.lua", []byte("print("+expressions+")"), o); err != nil {
		return err.Error()
	}
	return strings.Join(out, "\n")
}

// TestTextLibrary: the first group are the examples of the Lua 5.1 Reference
// Manual, section 5.4 (string.gsub, string.gmatch) and of "Programming in
// Lua", 1st ed., sections 20.1 to 20.4, from memory; the rest follows from
// the rules of section 5.4.1.
func TestTextLibrary(t *testing.T) {
	for _, c := range []struct{ expr, want string }{
		{`string.gsub("hello world", "(%w+)", "%1 %1")`, "hello hello world world\t2"},
		{`string.gsub("hello world", "%w+", "%0 %0", 1)`, "hello hello world\t1"},
		{`string.gsub("hello world from Lua", "(%w+)%s*(%w+)", "%2 %1")`, "world hello Lua from\t2"},
		{`string.gsub("$name-$version.tar.gz", "%$(%w+)", { name = "lua", version = "5.1" })`, "lua-5.1.tar.gz\t2"},
		{`string.find("hello Lua user", "Lua")`, "7\t9"},
		{`string.find("hello Lua user", "l+")`, "3\t4"},
		{`string.match("I have 2 questions for you.", "%d+ %a+")`, "2 questions"},
		{`string.match("key = value", "^(%w+)%s*=%s*(%w+)$")`, "key\tvalue"},
		{`string.gsub("THE (quick) fox", "%((%w+)%)", "<%1>")`, "THE <quick> fox\t1"},
		{`string.find("THE (quick) fox", "%((%a+)%)")`, "5\t11\tquick"},
		{`string.gsub("THE (quick) fox", "%b()", "")`, "THE  fox\t1"},
		{`string.gsub("THE (quick) fox", "%f[%a]%a+", "x")`, "x (x) x\t3"},
		{`string.match([[she said "it's"]], [[(["'])(.-)%1]])`, "\"\tit's"},
		{`string.match("flaaap", "()aa()")`, "3\t5"},
		{`string.gsub("abc", "", "-")`, "-a-b-c-\t4"},
		{`string.gsub("abc", "%w", "%%%0")`, "%a%b%c\t3"},
		{`string.gsub("abc", "b", function(x) return nil end)`, "abc\t1"},
		{`string.gsub("a1b2", "%d", function(x) return x * 2 end)`, "a2b4\t2"},
		{`string.gsub("aaa", "^a", "b")`, "baa\t1"},
		{`string.find("a.b", ".", 1, true)`, "2\t2"},
		{`string.find("abc", "b", -1)`, "nil"},
		{`string.find("abc", "c", -1)`, "3\t3"},
		{`string.find("abc", "", 10)`, "nil"},
		{`string.find("abc", "")`, "1\t0"},
		{`string.match("2031-11-07", "(%d+)-(%d+)-(%d+)")`, "2031\t11\t07"},
		{`string.match("x]y", "[]]")`, "]"},
		{`string.match("a-b", "[a%-]+")`, "a-"},
		{`string.match("abc", "[^a-b]+")`, "c"},
		{`string.match("  trim me  ", "^%s*(.-)%s*$")`, "trim me"},
		{`string.match("abab", "(a)(b)%1%2")`, "a\tb"},
		{`string.match("a", "a?a")`, "a"},
		{`string.rep("ab", 3), string.rep("ab", 0), string.rep("ab", -1)`, "ababab\t\t"},
		{`string.byte("abc", 1, -1)`, "97\t98\t99"},
		{`string.byte("abc", 10)`, ""},
		{`string.char(97, 98)`, "ab"},
		{`("abc"):sub(2), ("abc"):sub(-2, -1), ("abc"):upper(), ("abc"):len()`, "bc\tbc\tABC\t3"},
		{`string.format("%5.2f|%-5d|%05d|%x|%s|%%|%q|%g|%c", 3.14159, 42, 42, 255, "s", "q", 0.1, 65)`, " 3.14|42   |00042|ff|s|%|\"q\"|0.1|A"},
		{`string.format("%g %g %g", 1e20, 100000, 1/3)`, "1e+20 100000 0.333333"},
		{`string.format("%s %s %s", nil, true, {})`, "nil true table"},
		{`string.format("%d", 3.7)`, "3"},
		{`string.format("%d", 0/0)`, "f.lua:1: value 2 given to 'format': not a whole number that can be written"},
		{`string.format("%d")`, "f.lua:1: string.format: no value for '%d'"},
		{`string.format("%y", 1)`, "f.lua:1: string.format does not know '%y'"},
		{`tostring(1e15), tostring(2^53), 0.1 + 0.2, 1/0, -1/0, 100, 1e100`, "1e+15\t9.007199254741e+15\t0.3\tinf\t-inf\t100\t1e+100"},
		{`1 .. "", -0.5 .. "x"`, "1\t-0.5x"},
		{`tostring({}), tostring(print)`, "table\tfunction"},
		{`{ 1, "b", c = 3 }`, `{ 1, "b", c = 3 }`},
		{`tonumber("010"), tonumber("1e3"), tonumber(" 7 "), tonumber("0x10"), tonumber("-0x10")`, "10\t1000\t7\t16\t-16"},
		{`tonumber("x"), tonumber(""), tonumber("1_000"), tonumber("inf"), tonumber("nan"), tonumber(nil)`, "nil\tnil\tnil\tnil\tnil\tnil"},
		{`tonumber("ff", 16), tonumber("zz", 36), tonumber("8", 8)`, "255\t1295\tnil"},
		{`select("#", 1, nil, nil), select(2, "a", "b", "c")`, "3\tb\tc"},
		{`select(-1, "a", "b")`, "b"},
		{`unpack({ 1, 2, 3 })`, "1\t2\t3"},
		{`unpack({ 1, 2, 3 }, 2)`, "2\t3"},
		{`table.concat({ 1, "b", 3 }, "-"), table.concat({}), table.concat({ 1, 2, 3 }, "", 2, 3)`, "1-b-3\t\t23"},
		{`table.concat({ 1, {}, 3 })`, "f.lua:1: table.concat: item 2 is a table; only texts and numbers can be joined"},
		{`(function() local t = { 3, 1, 2 } table.sort(t) return table.concat(t) end)()`, "123"},
		{`(function() local t = { 3, 1, 2 } table.sort(t, function(a, b) return a > b end) return table.concat(t) end)()`, "321"},
		{`(function() local t = { 1, 2 } table.insert(t, 3) table.insert(t, 1, 0) return table.remove(t), table.remove(t, 1), #t, table.remove({}) end)()`, "3\t0\t2\tnil"},
		{`next({}), next({ 5 })`, "nil\t1\t5"},
		{`type(nil), type(1), type("x")`, "nil\tnumber\tstring"},
		{`math.floor(2.5), math.max(1, 2), math.pi > 3.14, math.huge > 1e300`, "2\t2\ttrue\ttrue"},
	} {
		if got := eval(t, c.expr, Options{}); strings.SplitN(got, "\n  ", 2)[0] != c.want {
			t.Errorf("%s\ngot  %q\nwant %q", c.expr, got, c.want)
		}
	}
	const words = `local out = {} for k, v in ("from=world, to=Lua"):gmatch("(%w+)=(%w+)") do out[#out+1] = k .. ":" .. v end error(table.concat(out, " "), 0)`
	if err := runSource("f.lua", []byte(words), Options{}); err == nil || !strings.Contains(err.Error(), "from:world to:Lua") {
		t.Errorf("gmatch: %v", err)
	}
}

// TestPatternsAgree compares the matcher with the host library's on patterns
// and texts of few letters, where both are quick.
func TestPatternsAgree(t *testing.T) {
	item := rapid.SampledFrom([]string{"a", "b", ".", "%a", "%d", "[ab]", "[^a]", "a*", "b+", "a-", ".-", "b?", "(a)", "(b*)", "()", "1", "%%", "[%d-]*"})
	rapid.Check(t, func(t *rapid.T) {
		pattern := strings.Join(rapid.SliceOfN(item, 1, 5).Draw(t, "pattern"), "")
		if rapid.Bool().Draw(t, "anchored") {
			pattern = "^" + pattern
		}
		if rapid.Bool().Draw(t, "to the end") {
			pattern += "$"
		}
		text := rapid.StringOfN(rapid.RuneFrom([]rune("ab1-%")), 0, 8, -1).Draw(t, "text")
		m := &matcher{src: text, pat: pattern, try: func() bool { return true }}
		start, end, found, err := m.findFrom(0)
		if err != nil {
			t.Fatalf("%q in %q: %v", pattern, text, err)
		}
		theirs, err := pm.Find(pattern, []byte(text), 0, 1)
		if err != nil {
			t.Skip("needs a pattern that the host library takes too")
		}
		if found != (len(theirs) > 0) {
			t.Fatalf("%q in %q: found %v, theirs %v", pattern, text, found, !found)
		}
		if !found {
			return
		}
		md := theirs[0]
		if start != md.Capture(0) || end != md.Capture(1) {
			t.Fatalf("%q in %q: %d to %d, theirs %d to %d", pattern, text, start, end, md.Capture(0), md.Capture(1))
		}
		if md.CaptureLength() != 2+2*len(m.captures) {
			t.Fatalf("%q in %q: %d captures, theirs %d", pattern, text, len(m.captures), md.CaptureLength()/2-1)
		}
		for i, c := range m.captures {
			if c.size >= 0 && (c.start != md.Capture(2+2*i) || c.start+c.size != md.Capture(3+2*i)) {
				t.Fatalf("%q in %q: capture %d is %d to %d, theirs %d to %d", pattern, text, i, c.start, c.start+c.size, md.Capture(2+2*i), md.Capture(3+2*i))
			}
		}
	})
}

// Any pattern at all ends in a match, no match or a plain error.
func TestPatternsNeverPanic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pattern := rapid.StringOfN(rapid.RuneFrom([]rune("ab%[]()^$-*+?.01fb ")), 0, 12, -1).Draw(t, "pattern")
		text := rapid.StringOfN(rapid.RuneFrom([]rune("ab()[]% 1")), 0, 12, -1).Draw(t, "text")
		tries := 0
		m := &matcher{src: text, pat: pattern, try: func() bool { tries++; return tries < 10_000 }}
		start, end, found, err := m.findFrom(0)
		if err == nil && found && (start < 0 || end < start || end > len(text)) {
			t.Fatalf("%q in %q: %d to %d", pattern, text, start, end)
		}
	})
}

func TestPatternStops(t *testing.T) {
	tries := 0
	m := &matcher{src: strings.Repeat("a", 3000), pat: strings.Repeat(".-", 6) + "b", try: func() bool { tries++; return tries < 5000 }}
	if _, _, _, err := m.findFrom(0); !errors.Is(err, errOutOfSteps) || tries != 5000 {
		t.Errorf("%d tries, %v", tries, err)
	}
}

func TestLuck(t *testing.T) {
	draws := []float64{0, 0.5, math.Nextafter(1, 0), 0.25, 0.999}
	i := -1
	o := Options{Luck: func() float64 { i++; return draws[i] }}
	if got := eval(t, "math.random(), math.random(10), math.random(10), math.random(5, 8), math.random(-1, 1)", o); got != "0\t6\t10\t6\t1" {
		t.Errorf("got %s", got)
	}
	if got := eval(t, "math.random(3, 2)", o); !strings.Contains(got, "no whole number between 3 and 2") {
		t.Errorf("got %s", got)
	}
}

// Loops over tables, those of the libraries included, go the same way in
// every state.
func TestOrderIsFixed(t *testing.T) {
	const source = `local out = {} for _, lib in ipairs({ math, string, table, { 4, b = 1, a = 2, 5 } }) do
		for k in pairs(lib) do out[#out+1] = tostring(k) end end error(table.concat(out, " "), 0)`
	first := runSource("f.lua", []byte(source), Options{}).Error()
	if !strings.Contains(first, "abs acos asin") || !strings.HasSuffix(first, "1 2 b a") {
		t.Errorf("got %s", first)
	}
	for range 5 {
		if again := runSource("f.lua", []byte(source), Options{}).Error(); again != first {
			t.Errorf("got %s\nthen %s", first, again)
		}
	}
}

func TestNamesOffered(t *testing.T) {
	p, err := Compile("f.lua", []byte("\nlocal x = lognorml"))
	if err != nil {
		t.Fatal(err)
	}
	s := NewState(p, Options{})
	defer s.Close()
	s.Register("lognormal", func(*lua.LState) int { return 0 })
	if err := s.Run(); err == nil || err.Error() != "f.lua:2: unknown name 'lognorml', did you mean 'lognormal'?" {
		t.Errorf("got %v", err)
	}
	for _, name := range s.names() {
		if strings.HasPrefix(name, "\x00") {
			t.Errorf("inner name %q is offered", name)
		}
	}
}

func TestPrintLimit(t *testing.T) {
	var lines int
	o := Options{Limits: Limits{PrintLines: 3}, Print: func(string) { lines++ }}
	err := runSource("f.lua", []byte("for i = 1, 4 do\n print(i)\nend"), o)
	if lines != 3 || err == nil || err.Error() != "f.lua:2: more than 3 lines printed" {
		t.Errorf("%d lines, %v", lines, err)
	}
}
