package sandbox

import (
	"fmt"

	lua "github.com/yuin/gopher-lua"
)

// State is one run of a program: its globals and its limits. It is not safe
// for use by several goroutines.
type State struct {
	prog        *Program
	l           *lua.LState
	limits      Limits
	print       func(string)
	luck        func() float64
	printed     int
	meter       meter
	steps       int64
	heapAtStart uint64
	noWait      []string // why waiting is impossible just now, innermost last
	thrown      thrown
	yielded     bool
	running     bool
	still       int            // depth of Run and Call, where nothing may wait
	quiet       *lua.LFunction // see quietly
}

// thrown remembers where a value that is not a text was raised, for such
// values carry no place.
type thrown struct {
	value lua.LValue
	place string
}

// NewState makes a state. Its globals are the libraries only; add what the
// script may use with Set and Register, then call Run.
func NewState(p *Program, o Options) *State {
	s := &State{prog: p, limits: o.withDefaults(), print: o.Print, luck: o.Luck}
	s.meter.state = s
	s.heapAtStart = s.meter.heap()
	s.l = lua.NewState(luaOptions())
	s.openLibraries()
	return s
}

// Close lets the state go. Using it afterwards is an error.
func (s *State) Close() { s.l.Close() }

// L is the interpreter's own state, for making values. Do not call scripts
// through it; use Start or Call.
func (s *State) L() *lua.LState { return s.l }

// Program is what the state was made from.
func (s *State) Program() *Program { return s.prog }

// Steps is the number of instructions used so far.
func (s *State) Steps() int64 { return s.steps }

// Set gives a global name a value.
func (s *State) Set(name string, v lua.LValue) { s.globals().RawSetString(name, v) }

// Get reads a global name; lua.LNil when there is none.
func (s *State) Get(name string) lua.LValue { return s.globals().RawGetString(name) }

// Register gives a global name a Go function.
func (s *State) Register(name string, fn lua.LGFunction) { s.Set(name, s.l.NewFunction(fn)) }

func (s *State) globals() *lua.LTable { return s.l.G.Global }

// Run runs the top level of the file once. Waiting there is an error.
func (s *State) Run() error {
	defer s.forbidWait("at the top level of the file")()
	s.still++
	defer func() { s.still-- }()
	t := s.Start(s.l.NewFunctionFromProto(s.prog.proto))
	_, _, err := t.Resume()
	return err
}

// Call calls a function that must not wait, such as a condition, with a
// budget of its own, and gives its results.
func (s *State) Call(fn *lua.LFunction, args ...lua.LValue) (results []lua.LValue, err error) {
	defer s.forbidWait("inside a function that is only asked for an answer")()
	s.still++
	defer func() { s.still-- }()
	l := s.l
	outer := l.Context()
	stretch := s.stretch()
	defer func() {
		if r := recover(); r != nil {
			results, err = nil, s.explain(l, fmt.Errorf("%v", r))
		}
		s.end(stretch)
		if outer == nil {
			l.RemoveContext()
		}
	}()
	if outer == nil {
		l.SetContext(&s.meter)
	}
	base := l.GetTop()
	l.Push(fn)
	for _, a := range args {
		l.Push(a)
	}
	if err := s.quietly(l, len(args)); err != nil {
		l.SetTop(base)
		return nil, s.explain(l, err)
	}
	for i := base + 1; i <= l.GetTop(); i++ {
		results = append(results, l.Get(i))
	}
	l.SetTop(base)
	return results, nil
}

// stretch starts a budget; end is called with what it gives. Inside another
// stretch, when a Go function that a script called calls the script again,
// what is used counts in both.
func (s *State) stretch() (outer *meter) {
	if s.running {
		outer = new(meter)
		*outer = s.meter
	}
	s.running = true
	s.meter.refill()
	return outer
}

func (s *State) end(outer *meter) {
	used := s.meter.used()
	if outer == nil {
		s.running = false
		s.steps += used
		return
	}
	s.meter = *outer
	s.meter.left -= used
}

// forbidWait makes Yield an error until the returned function is called.
func (s *State) forbidWait(where string) func() {
	n := len(s.noWait)
	s.noWait = append(s.noWait, where)
	return func() { s.noWait = s.noWait[:n] }
}

// of finds the state a running Lua thread belongs to.
func of(l *lua.LState) *State {
	if m, ok := l.Context().(*meter); ok {
		return m.state
	}
	return nil
}

// Where is the file and line of the script that called the running Go
// function.
func (s *State) Where(l *lua.LState) (file string, line int) {
	line, _ = splitPlace(s.prog.File, whereText(l))
	return s.prog.File, line
}

// whereText is "file:line:" of the nearest script function.
func whereText(l *lua.LState) string {
	for level := 0; ; level++ {
		dbg, ok := l.GetStack(level)
		if !ok {
			return ""
		}
		if _, err := l.GetInfo("Sl", dbg, lua.LNil); err != nil {
			return ""
		}
		if dbg.CurrentLine > 0 {
			return fmt.Sprintf("%s:%d: ", dbg.Source, dbg.CurrentLine)
		}
	}
}
