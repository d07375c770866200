package sandbox

import (
	"errors"
	"fmt"

	lua "github.com/yuin/gopher-lua"
)

// Task is a function of the script that runs in stretches: until it waits,
// and on from there when it is resumed.
type Task struct {
	state   *State
	thread  *lua.LState
	fn      *lua.LFunction
	args    []lua.LValue
	started bool
	last    bool // the wait in hand was the function's last act
	done    bool
}

// Start makes a task of a function. It does not run yet: the first Resume
// calls the function with args.
func (s *State) Start(fn *lua.LFunction, args ...lua.LValue) *Task {
	t := &Task{state: s, fn: fn, args: args}
	// A thread made under a context gets one derived from it, which would
	// not count; and deriving asks the meter.
	outer := s.l.RemoveContext()
	t.thread, _ = s.l.NewThread()
	t.thread.SetContext(&s.meter)
	if outer != nil {
		s.l.SetContext(outer)
	}
	return t
}

// Done says that the task has returned or failed.
func (t *Task) Done() bool { return t.done }

// Resume runs the task until it waits or ends. The values become the results
// of the call that waited, at least one and at most 32 (those of the first
// Resume are ignored). When done
// is false, yielded is what was handed to [Yield]; when it is true, what the
// function returned. An error is always an *Error and ends the task.
func (t *Task) Resume(values ...lua.LValue) (yielded []lua.LValue, done bool, err error) {
	s := t.state
	switch {
	case t.done:
		return nil, true, &Error{File: s.prog.File, Msg: "a task that has ended cannot go on"}
	case t.last:
		t.done = true
		return values, true, nil
	}
	stretch := s.stretch()
	defer func() {
		if r := recover(); r != nil {
			yielded, done, err = nil, true, s.explain(t.thread, fmt.Errorf("%v", r))
			t.done = true
		}
		s.end(stretch)
	}()
	args := values
	if !t.started {
		args, t.started, t.args = t.args, true, nil
	} else {
		t.clearResults()
		if len(args) == 0 {
			args = []lua.LValue{lua.LNil}
		}
	}
	s.yielded = false
	state, rerr, out := s.l.Resume(t.thread, t.fn, args...)
	switch {
	case state == lua.ResumeError:
		t.done = true
		return nil, true, s.explain(t.thread, rerr)
	case state == lua.ResumeYield:
		return out, false, nil
	case s.yielded:
		// `return wait()`: the frame that waited was the last one, so the
		// interpreter takes the wait for the end.
		t.last = true
		return out, false, nil
	}
	t.done = true
	return out, true, nil
}

// clearResults writes nil where the results of the call that waited will be.
// The host only writes as many as there are, and `local a, b = wait()` would
// read a stale register for b.
func (t *Task) clearResults() {
	const most = 32
	for range most {
		t.thread.Push(lua.LNil)
	}
	t.thread.Pop(most)
}

// Yield is what a Go function returns to make the script wait. Inside pcall,
// a sorting rule or a condition waiting is impossible and raises an error.
func Yield(l *lua.LState, values ...lua.LValue) int {
	s := of(l)
	if s == nil {
		l.RaiseError("cannot wait here")
		return 0
	}
	if n := len(s.noWait); n > 0 {
		l.RaiseError("cannot wait %s", s.noWait[n-1])
		return 0
	}
	s.yielded = true
	return l.Yield(values...)
}

// Charge takes steps from the budget of the running script, for a Go function
// whose work grows with what the script gave it.
func Charge(l *lua.LState, steps int) {
	if s := of(l); s != nil {
		s.meter.charge(steps)
	}
}

// apiMessage is the value raised, without the interpreter's traceback.
func apiMessage(err error) lua.LValue {
	var api *lua.ApiError
	if errors.As(err, &api) && api.Object != nil {
		return api.Object
	}
	return lua.LString(err.Error())
}
