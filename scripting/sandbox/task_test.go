package sandbox

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	lua "github.com/yuin/gopher-lua"
	"pgregory.net/rapid"
)

// play runs the function plan of a script: each wait is answered with the
// number of the wait, times ten. It gives what was printed and waited for.
func play(t testing.TB, source string, o Options, answers ...int) (string, error) {
	t.Helper()
	p, err := Compile("f.lua", []byte(source))
	if err != nil {
		t.Fatal(err)
	}
	var log []string
	o.Print = func(line string) { log = append(log, line) }
	s := newTestState(p, o)
	defer s.Close()
	if err := s.Run(); err != nil {
		return strings.Join(log, "|"), err
	}
	fn, ok := s.Get("plan").(*lua.LFunction)
	if !ok {
		t.Fatal("no function plan")
	}
	task := s.Start(fn, lua.LString("in"))
	var in []lua.LValue
	for i := 1; ; i++ {
		out, done, err := task.Resume(in...)
		if err != nil {
			return strings.Join(log, "|"), err
		}
		texts := make([]string, len(out))
		for i, v := range out {
			texts[i] = textOf(v)
		}
		if done {
			log = append(log, "end "+strings.Join(texts, ","))
			if !task.Done() {
				t.Error("the task does not know it has ended")
			}
			if _, _, err := task.Resume(); err == nil {
				t.Error("a task that has ended went on")
			}
			return strings.Join(log, "|"), nil
		}
		log = append(log, "wait "+strings.Join(texts, ","))
		in = nil
		for k := range pick(answers, i) {
			in = append(in, lua.LNumber(10*i+k))
		}
	}
}

func pick(answers []int, i int) int {
	if len(answers) == 0 {
		return 1
	}
	return answers[(i-1)%len(answers)]
}

func TestTask(t *testing.T) {
	for _, c := range []struct {
		name, source, want string
		answers            []int
	}{
		{"no wait", `function plan(x) return x, 2 end`, "end in,2", nil},
		{"nothing returned", `function plan() end`, "end nil", nil},
		{"one wait", `function plan() local a = wait("a") return a end`, "wait a|end 10", nil},
		{"wait as statement", `function plan() local q = 7 wait("a") wait("b") return q end`, "wait a|wait b|end 7", nil},
		{"fewer results than names", `function plan() local a, b, c = wait("a") return a, b, c end`, "wait a|end 10,nil,nil", nil},
		{"no results", `function plan() local a, b = wait("a") return a, b end`, "wait a|end nil,nil", []int{0}},
		{"more results than names", `function plan() local a = wait("a") local b = 5 return a, b end`, "wait a|end 10,5", []int{3}},
		{"all results", `function plan() return "r", wait("a") end`, "wait a|end r,10,11,12", []int{3}},
		{"results in a table", `function plan() local t = { wait("a") } return #t end`, "wait a|end 3", []int{3}},
		{"last act", `function plan() return wait("a") end`, "wait a|end 10", nil},
		{"last act of an inner function", `local function w() return wait("a") end
			function plan() local a = w() local b = w() return a, b end`, "wait a|wait a|end 10,20", nil},
		{"chain of last acts", `local function w() return wait("a") end local function v() return w() end function plan() return v() end`,
			"wait a|end 10", nil},
		{"in loops", `function plan() local s = 0 for i = 1, 3 do s = s + wait(i) end for _, x in ipairs({4,5}) do s = s + wait(x) end return s end`,
			"wait 1|wait 2|wait 3|wait 4|wait 5|end 150", nil},
		{"in a condition", `function plan() while wait("w") < 30 do end return "out" end`, "wait w|wait w|wait w|end out", nil},
		{"in a join", `function plan() return "got " .. wait("a") .. "!" end`, "wait a|end got 10!", nil},
		{"in an index", `function plan() local t = {} t[wait("a")] = wait("b") return t[10] end`, "wait a|wait b|end 20", nil},
		{"after pcall", `function plan() print(pcall(error, "x")) return wait("a") end`, "false\tf.lua:1: x|wait a|end 10", nil},
		{"in pcall", `function plan() print(pcall(wait, "x")) end`,
			"false\tf.lua:1: cannot wait inside pcall; put the pcall around the part that does not wait|end nil", nil},
		{"in sort", `function plan() print(pcall(table.sort, {2,1}, function() wait("x") end)) end`,
			"false\tf.lua:1: cannot wait inside the rule of table.sort|end nil", nil},
		{"in gsub", `function plan() print(pcall(string.gsub, "a", "a", function() wait("x") end)) end`,
			"false\tf.lua:1: cannot wait inside the function of string.gsub|end nil", nil},
		{"wait after refused waits", `function plan() pcall(wait, "x") pcall(table.sort, {2,1}, wait) return wait("a") end`, "wait a|end 10", nil},
		{"xpcall", `function plan() print(xpcall(function() error("x", 0) end, function(e) return "seen " .. e end)) print(xpcall(function() return 1, 2 end, print)) end`,
			"false\tseen x|true\t1\t2|end nil", nil},
		{"xpcall handler fails", `function plan() print(xpcall(function() error("x", 0) end, function(e) error("y", 0) end)) end`, "false\ty|end nil", nil},
		{"pcall results", `function plan() print(pcall(function(...) return ... end, 1, nil, 3)) print(pcall(function() end)) end`,
			"true\t1\tnil\t3|true|end nil", nil},
		{"error value kept", `function plan() local ok, e = pcall(error, { code = 4 }) return e.code end`, "end 4", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := play(t, c.source, Options{}, c.answers...)
			if err != nil {
				t.Fatal(err)
			}
			if got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestTaskFailsInTheMiddle(t *testing.T) {
	got, err := play(t, "function plan()\n  wait(1)\n  local x = nil + 1\nend", Options{})
	want := "f.lua:3: '+' needs two numbers, not nil and number\n  nil means a value that is missing; a text such as \"3 h\" is not a number"
	if err == nil || err.Error() != want || got != "wait 1" {
		t.Errorf("got %q and %v", got, err)
	}
}

// Each resumption has a budget of its own, used up to the instruction.
func TestBudget(t *testing.T) {
	const source = `
function plan(n)
  for i = 1, 4 do
    for k = 1, n do end
    wait(i)
  end
end`
	p, err := Compile("f.lua", []byte(source))
	if err != nil {
		t.Fatal(err)
	}
	run := func(n int, limit int64) (steps int64, waits int, err error) {
		s := newTestState(p, Options{Limits: Limits{Steps: limit}})
		defer s.Close()
		if err := s.Run(); err != nil {
			t.Fatal(err)
		}
		before := s.Steps()
		task := s.Start(s.Get("plan").(*lua.LFunction), lua.LNumber(n))
		for {
			_, done, err := task.Resume()
			if err != nil || done {
				return s.Steps() - before, waits, err
			}
			waits++
		}
	}
	total, waits, err := run(1000, 10_000)
	if err != nil || waits != 4 {
		t.Fatalf("%d waits, %v", waits, err)
	}
	if total < 4000 || total > 5000 {
		t.Errorf("%d steps for 4 times 1000 turns", total)
	}
	for range 3 {
		if again, _, _ := run(1000, 10_000); again != total {
			t.Errorf("%d steps, then %d", total, again)
		}
	}
	// The smallest budget that is enough, found by halving, must be sharp.
	low, high := int64(1), int64(10_000)
	for low < high {
		if mid := (low + high) / 2; fails(run(1000, mid)) {
			low = mid + 1
		} else {
			high = mid
		}
	}
	if _, _, err := run(1000, low); err != nil {
		t.Errorf("budget %d: %v", low, err)
	}
	_, _, err = run(1000, low-1)
	want := fmt.Sprintf("plan used more than %d steps between two waits; is there a loop without a wait?", low-1)
	var e *Error
	if !errors.As(err, &e) || e.Msg != want || e.Line < 3 || e.Line > 5 {
		t.Errorf("budget %d: got %v", low-1, err)
	}
	steps, _, _ := run(1_000_000, 5000)
	if steps != 5000 {
		t.Errorf("stopped after %d steps, the budget is 5000", steps)
	}
}

func fails(_ int64, _ int, err error) bool { return err != nil }

func TestCall(t *testing.T) {
	p, err := Compile("f.lua", []byte("function less(a, b) return a < b end\nfunction waits() wait(1) end\nfunction endless() while true do end end"))
	if err != nil {
		t.Fatal(err)
	}
	s := newTestState(p, Options{Limits: Limits{Steps: 1000}})
	defer s.Close()
	if err := s.Run(); err != nil {
		t.Fatal(err)
	}
	fn := func(name string) *lua.LFunction { return s.Get(name).(*lua.LFunction) }
	out, err := s.Call(fn("less"), lua.LNumber(1), lua.LNumber(2))
	if err != nil || len(out) != 1 || out[0] != lua.LTrue {
		t.Errorf("got %v, %v", out, err)
	}
	if _, err := s.Call(fn("waits")); err == nil || !strings.Contains(err.Error(), "f.lua:2: cannot wait inside a function that is only asked for an answer") {
		t.Errorf("got %v", err)
	}
	if _, err := s.Call(fn("endless")); err == nil || !strings.Contains(err.Error(), "f.lua:3: used more than 1000 steps; is there a loop without an end?") {
		t.Errorf("got %v", err)
	}
	if out, err := s.Call(fn("less"), lua.LNumber(2), lua.LNumber(1)); err != nil || out[0] != lua.LFalse {
		t.Errorf("after errors: %v, %v", out, err)
	}
}

// A Go function may call back into the script; what that uses counts.
func TestCallInsideCall(t *testing.T) {
	p, err := Compile("f.lua", []byte("function endless() while true do end end\nfunction plan() local ok = ask(endless) end\nfunction twice() ask(function() end) wait('after') end"))
	if err != nil {
		t.Fatal(err)
	}
	s := newTestState(p, Options{Limits: Limits{Steps: 1000}})
	defer s.Close()
	s.Register("ask", func(l *lua.LState) int {
		if _, err := s.Call(l.CheckFunction(1)); err != nil {
			l.RaiseError("%s", err.Error())
		}
		return 0
	})
	if err := s.Run(); err != nil {
		t.Fatal(err)
	}
	_, _, err = s.Start(s.Get("plan").(*lua.LFunction)).Resume()
	if err == nil || !strings.Contains(err.Error(), "f.lua:1: used more than") {
		t.Errorf("got %v", err)
	}
	out, done, err := s.Start(s.Get("twice").(*lua.LFunction)).Resume()
	if err != nil || done || len(out) != 1 || out[0] != lua.LString("after") {
		t.Errorf("got %v %v %v", out, done, err)
	}
}

// Whatever is written, compiling and running it ends in a result or an
// *Error.
func TestAnyScript(t *testing.T) {
	word := rapid.SampledFrom(strings.Split("local a b f = == ~= < + - * .. # not and or nil true 1 2 0 'x' \"y\" ( ) { } [ ] , ; : . "+
		"function end if then else while do for in pairs ipairs repeat until return break goto ::l:: pcall error print wait "+
		"string.rep table.insert table.sort unpack select tostring math.floor \n -- [[ ]] ...", " "))
	statement := rapid.SampledFrom([]string{"local a = {}", "a = a or 1", "for i = 1, 3 do a = i end", "a[1] = a", "a = a .. 'x'", "a = #a",
		"pcall(a)", "error(a)", "a = wait(1)", "while a do a = a.b end", "a = function(...) return a(...) end", "a(a, a)", "table.sort(a, a)",
		"a = ('x'):gsub('.', a)", "for k, v in pairs(a) do a[k] = nil a[v] = k end", "return a", "a = {a, a, unpack(a)}", "a = -a", "a.b = a < a"})
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.OneOf(word, statement, statement)
		source := "a = 1 " + strings.Join(rapid.SliceOfN(part, 1, 25).Draw(t, "source"), " ")
		err := runSource("f.lua", []byte(source), Options{Limits: Limits{Steps: 2000}})
		var e *Error
		if err != nil && (!errors.As(err, &e) || strings.Contains(e.Msg, "goroutine") || strings.Contains(e.Msg, "traceback")) {
			t.Fatalf("%s\n%v", source, err)
		}
	})
}

// A Go function that panics is an error of the script's line.
func TestGoPanic(t *testing.T) {
	p, err := Compile("f.lua", []byte("\nbroken()"))
	if err != nil {
		t.Fatal(err)
	}
	s := NewState(p, Options{})
	defer s.Close()
	s.Register("broken", func(*lua.LState) int { panic("no such thing") })
	if err := s.Run(); err == nil || err.Error() != "f.lua:2: no such thing" {
		t.Errorf("got %v", err)
	}
}

// One program serves states on several goroutines (run with -race).
func TestProgramIsShared(t *testing.T) {
	p, err := Compile("f.lua", []byte("local t = {} for i = 1, 50 do t[i] = 'x' .. i end function plan() return table.concat(t) end"))
	if err != nil {
		t.Fatal(err)
	}
	results := make(chan string, 4)
	for range 4 {
		go func() {
			s := NewState(p, Options{})
			defer s.Close()
			if err := s.Run(); err != nil {
				results <- err.Error()
				return
			}
			out, err := s.Call(s.Get("plan").(*lua.LFunction))
			results <- fmt.Sprint(out, err)
		}()
	}
	first := <-results
	for range 3 {
		if r := <-results; r != first || !strings.HasPrefix(r, "[x1x2") {
			t.Errorf("got %.40s and %.40s", first, r)
		}
	}
}

func benchProgram(b *testing.B, source string) *Program {
	p, err := Compile("f.lua", []byte(source))
	if err != nil {
		b.Fatal(err)
	}
	return p
}

func BenchmarkNewState(b *testing.B) {
	p := benchProgram(b, "function plan() wait(1) end")
	b.ReportAllocs()
	for b.Loop() {
		s := newTestState(p, Options{})
		if err := s.Run(); err != nil {
			b.Fatal(err)
		}
		s.Close()
	}
}

func BenchmarkResume(b *testing.B) {
	p := benchProgram(b, "function plan() while true do wait(1) end end")
	s := newTestState(p, Options{})
	defer s.Close()
	if err := s.Run(); err != nil {
		b.Fatal(err)
	}
	task := s.Start(s.Get("plan").(*lua.LFunction))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := task.Resume(lua.LTrue); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCondition(b *testing.B) {
	p := benchProgram(b, "local yard = { free = 100 } function plan() return yard.free < 120 end")
	s := newTestState(p, Options{})
	defer s.Close()
	if err := s.Run(); err != nil {
		b.Fatal(err)
	}
	fn := s.Get("plan").(*lua.LFunction)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Call(fn); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSteps(b *testing.B) {
	p := benchProgram(b, "function plan() local s = 0 for i = 1, 100000 do s = s + i * 2 end return s end")
	s := newTestState(p, Options{})
	defer s.Close()
	if err := s.Run(); err != nil {
		b.Fatal(err)
	}
	fn := s.Get("plan").(*lua.LFunction)
	for b.Loop() {
		if _, err := s.Call(fn); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/100000, "ns/turn")
}

func BenchmarkCompile(b *testing.B) {
	source := []byte(strings.Repeat("local function f(works) if works then return works + 1 end return { a = 1, b = 'x' .. 'y' } end f(1)\n", 125))
	for b.Loop() {
		if _, err := Compile("f.lua", source); err != nil {
			b.Fatal(err)
		}
	}
}
