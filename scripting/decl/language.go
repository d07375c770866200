package decl

import (
	"fmt"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/ast"

	"millrace/scripting/sandbox"
)

// Block is one block of a file: kind "name" value.
type Block struct {
	Kind  string
	Name  string
	Value Value
	Place Place // of the kind and name
}

// Table gives the block's table. When the value is something else that is a
// problem, and the table is an empty one that reports no more of them.
func (b Block) Table() *Table {
	if b.Value.Kind == TableValue {
		return b.Value.Table
	}
	b.Value.wrong("a table", fmt.Sprintf("write %s { ... }", b.title()))
	return &Table{Place: b.Place, What: b.title(), problems: &Problems{}}
}

// Problem reports something wrong with the block as a whole.
func (b Block) Problem(what, do string) { b.Value.problems.At(b.Place, what, do) }

func (b Block) title() string { return fmt.Sprintf("%s %q", b.Kind, b.Name) }

// Handler decodes a block.
type Handler func(Block)

// Language is the set of words a file may use at its top level. Set it up
// once; reading does not change it.
type Language struct {
	kinds    []string
	handlers map[string]Handler
	tags     []string
	funcs    []namedFunc
}

type namedFunc struct {
	name string
	fn   lua.LGFunction
}

// NewLanguage makes a language without words.
func NewLanguage() *Language { return &Language{handlers: map[string]Handler{}} }

// RegisterBlock adds a kind of block. The handlers of a file are called in
// the order of its blocks, after its top level has run.
func (l *Language) RegisterBlock(kind string, h Handler) {
	if _, again := l.handlers[kind]; !again {
		l.kinds = append(l.kinds, kind)
	}
	l.handlers[kind] = h
}

// RegisterTag adds a word that names what a value is: lognormal { ... } or
// fixed "8 h". Its value comes out with Tag set to the word.
func (l *Language) RegisterTag(name string) { l.tags = append(l.tags, name) }

// RegisterFunc adds a Go function scripts may call.
func (l *Language) RegisterFunc(name string, fn lua.LGFunction) {
	l.funcs = append(l.funcs, namedFunc{name, fn})
}

// tagged is what a tag word gives to the script.
type tagged struct {
	tag   string
	value lua.LValue
	line  int
}

// String is how scripts see a tagged value when they print it.
func (t *tagged) String() string { return t.tag }

// Call is a block as [Language.Recall] finds it: its value as the state has
// it, not decoded.
type Call struct {
	Kind  string
	Name  string
	Value lua.LValue
	Place Place
}

// reading is one run of a file's top level.
type reading struct {
	lang     *Language
	state    *sandbox.State
	file     string
	problems *Problems
	origin   map[*lua.LTable]*ast.TableExpr
	calls    []Call
	open     map[int]Call // blocks that have a name and wait for their value
	nextOpen int
	lineOf   map[string]int // where each kind and name came first
	closed   bool
}

// Read runs the top level of a file and hands its blocks to their handlers.
// The error is nil or Problems, of the run and of the decoding together. The
// state is the one the functions in the blocks belong to.
func (l *Language) Read(s *Script, o sandbox.Options) (*sandbox.State, error) {
	r := l.start(s.marked, o)
	r.origin = make(map[*lua.LTable]*ast.TableExpr)
	r.state.Register(tableName, func(ls *lua.LState) int {
		t := ls.CheckTable(2)
		if id := ls.CheckInt(1); !r.closed && id >= 0 && id < len(s.tables) {
			r.origin[t] = s.tables[id]
		}
		ls.SetTop(2)
		return 1
	})
	r.run()
	c := &converter{reading: r, budget: maxValues}
	for _, call := range r.calls {
		b := Block{Kind: call.Kind, Name: call.Name, Place: call.Place}
		b.Value = c.value(call.Value, call.Place, b.title(), 0)
		l.handlers[call.Kind](b)
	}
	return r.state, r.problems.Err()
}

// Recall runs the top level of a file in a new state and gives its blocks
// undecoded, in the same order as Read. It is for taking a plan's function
// again for each future, from a file that Read has found right.
func (l *Language) Recall(s *Script, o sandbox.Options) (*sandbox.State, []Call, error) {
	r := l.start(s.plain, o)
	r.run()
	if err := r.problems.Err(); err != nil {
		return nil, nil, err
	}
	return r.state, r.calls, nil
}

func (l *Language) start(p *sandbox.Program, o sandbox.Options) *reading {
	r := &reading{lang: l, state: sandbox.NewState(p, o), file: p.File, problems: &Problems{}, open: map[int]Call{}, lineOf: map[string]int{}}
	for _, kind := range l.kinds {
		r.state.Register(kind, r.block(kind))
	}
	for _, tag := range l.tags {
		r.state.Register(tag, r.tag(tag))
	}
	for _, f := range l.funcs {
		r.state.Register(f.name, f.fn)
	}
	return r
}

func (r *reading) run() {
	if err := r.state.Run(); err != nil {
		r.problems.Add(err)
		delete(r.open, r.nextOpen-1) // it may be what the run broke off at
	}
	r.closed = true
	for i := range r.nextOpen {
		if call, left := r.open[i]; left {
			r.problems.At(call.Place, fmt.Sprintf("%s %q has nothing after its name", call.Kind, call.Name),
				fmt.Sprintf("write %s %q { ... }", call.Kind, call.Name))
		}
	}
}

func (r *reading) place(ls *lua.LState) Place {
	_, line := r.state.Where(ls)
	return Place{r.file, line}
}

// block is the Go function behind a block's word. kind "name" { ... } is two
// calls: one with the name, and one, of what that gives, with the value.
// kind("name", value) works too.
func (r *reading) block(kind string) lua.LGFunction {
	return func(ls *lua.LState) int {
		if r.closed {
			ls.RaiseError("%s may only stand at the top level of a file, not inside a function that runs later", kind)
		}
		place := r.place(ls)
		name, ok := ls.Get(1).(lua.LString)
		if !ok {
			ls.RaiseError("%s needs a name before its value; write %s \"name\" { ... }", kind, kind)
		}
		if name == "" {
			r.problems.At(place, fmt.Sprintf("this %s has an empty name", kind), "give it a name of its own")
		}
		call := Call{Kind: kind, Name: string(name), Place: place}
		if first, twice := r.lineOf[kind+" "+call.Name]; twice && name != "" {
			r.problems.At(place, fmt.Sprintf("%s %q is there twice, first on line %d", kind, call.Name, first), "give each a name of its own")
		} else {
			r.lineOf[kind+" "+call.Name] = place.Line
		}
		if ls.GetTop() >= 2 {
			call.Value = ls.Get(2)
			r.calls = append(r.calls, call)
			return 0
		}
		id := r.nextOpen
		r.nextOpen++
		r.open[id] = call
		ls.Push(ls.NewFunction(func(ls *lua.LState) int {
			if _, waiting := r.open[id]; !waiting {
				ls.RaiseError("%s %q has a value already", kind, string(name))
			}
			delete(r.open, id)
			call.Value = ls.Get(1)
			r.calls = append(r.calls, call)
			return 0
		}))
		return 1
	}
}

func (r *reading) tag(name string) lua.LGFunction {
	return func(ls *lua.LState) int {
		if ls.GetTop() < 1 || ls.Get(1) == lua.LNil {
			ls.RaiseError("%s needs a value, such as %s { ... }", name, name)
		}
		u := ls.NewUserData()
		u.Value = &tagged{name, ls.Get(1), r.place(ls).Line}
		ls.Push(u)
		return 1
	}
}
