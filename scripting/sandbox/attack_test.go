package sandbox

import (
	"errors"
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"
)

// attacks are scripts that try to take time or memory without end, or to get
// out. Each must end in an error with a place, soon, or do no harm (want "").
var attacks = []struct{ name, source, want string }{
	{"while true", `while true do end`, "more than"},
	{"goto loop", `::a:: goto a`, "more than"},
	{"for to huge", `for i = 1, math.huge do end`, "more than"},
	{"repeat", `repeat until false`, "more than"},
	{"loop in pcall", `while true do pcall(function() while true do end end) end`, "more than"},
	{"loop in xpcall handler", `xpcall(function() error("x") end, function() while true do end end)`, "more than"},
	{"loop in sort rule", `table.sort({1,2,3}, function() while true do end end)`, "more than"},
	{"loop in gsub function", `("x"):gsub("x", function() while true do end end)`, "more than"},
	{"loop in iterator", `for x in function() return 1 end do end`, "more than"},
	{"recursion", `local function f() return 1 + f() end f()`, "too deeply"},
	{"recursion in gsub", `local function f() return (("x"):gsub("x", f)) end f()`, "too deeply"},
	{"recursion in sort", `local function f() table.sort({1,2}, f) return true end f()`, "too deeply"},
	{"recursion in pcall", `local function f() return select(2, pcall(f)) end local r = f() error(r)`, "too deeply"},
	{"recursion in xpcall", `local function f(e) xpcall(f, f) error("x") end f()`, "too deeply"},
	{"tail call", `local function f() return f() end f()`, "more than"},
	{"tail call in pcall", `local function f() return f() end pcall(f)`, "more than"},
	{"coroutines", `local co = coroutine.wrap(function() end)`, "'coroutine' is not available"},
	{"rep huge", `local s = string.rep("x", 1e9)`, "at most 1048576 bytes"},
	{"rep overflow", `local s = ("xx"):rep(2^62)`, "at most 1048576 bytes"},
	{"rep nan", `local s = ("xx"):rep(0/0) error(#s)`, "0"},
	{"rep kept", `local t = {} while true do t[#t+1] = ("x"):rep(1e6) end`, "more than"},
	{"doubling", `local s = "x" while true do s = s .. s end`, "at most 1048576 bytes"},
	{"growing text", `local s = "" while true do s = s .. "x" end`, ""},
	{"table growth", `local t = {} while true do t[#t+1] = {} end`, "more than"},
	{"new keys", `local t, i = {}, 0 while true do i = i + 1 t["k" .. i] = 1 t["k" .. i] = nil end`, "more than"},
	{"huge index", `local t = {} t[67108863] = 1 error("alive")`, "alive"},
	{"large index kept", `local all, i = {}, 0 while true do i = i + 1 local t = {} t[1048575] = 1 all[i] = t end`, ""},
	{"sparse length", `local t = {} t[1048575] = 1 t[1048575] = nil while true do local n = #t end`, ""},
	{"pattern power", `local s = string.find(("a"):rep(3000), (".-"):rep(6) .. "b")`, "more than"},
	{"pattern long", `local s = string.find(("a"):rep(3e5), ".-b")`, "searched with a pattern"},
	{"pattern square", `local s = string.find(("a"):rep(60000), ".-b")`, "more than"},
	{"pattern length", `local s = string.find("a", ("."):rep(201))`, "at most 200 bytes"},
	{"pattern depth", `local s = string.find(("a"):rep(1000), ("(a"):rep(60))`, "too many captures"},
	{"gmatch long", `for x in (("a"):rep(1e6)):gmatch(".") do end`, "searched with a pattern"},
	{"gsub swell", `local s = ("x"):rep(60000):gsub("x", ("y"):rep(1000))`, "at most 1048576 bytes"},
	{"concat", `local t = {} for i = 1, 2000 do t[i] = ("x"):rep(1000) end local s = table.concat(t)`, "at most 1048576 bytes"},
	{"format width", `local s = string.format("%0999999999d", 1)`, "two digits"},
	{"format chain", `local s = string.format(("%s"):rep(200), ("x"):rep(1e6))`, "no value for"},
	{"unpack", `local a = unpack({}, 1, 1e8)`, "at most 4096 values"},
	{"unpack overflow", `local a = unpack({}, -2^53, 2^53)`, "at most 4096 values"},
	{"many values", `local function f(...) return f(1, ...) end f()`, ""},
	{"byte", `local a = string.byte(("x"):rep(1e5), 1, -1)`, "at most 4096 values"},
	{"load", `load(function() return "x" end)`, "'load' is not available"},
	{"loadstring", `loadstring("x=1")()`, "'loadstring' is not available"},
	{"dofile", `dofile("/etc/passwd")`, "'dofile' is not available"},
	{"require", `require("x")`, "'require' is not available"},
	{"getfenv", `getfenv(0)`, "'getfenv' is not available"},
	{"setfenv", `setfenv(1, {})`, "'setfenv' is not available"},
	{"newproxy", `newproxy()`, "'newproxy' is not available"},
	{"collectgarbage", `collectgarbage()`, "'collectgarbage' is not available"},
	{"printregs", `_printregs()`, "unknown name '_printregs'"},
	{"io", `io.open("x")`, "'io' is not available"},
	{"os", `os.exit(1)`, "'os' is not available"},
	{"debug", `debug.getinfo(1)`, "'debug' is not available"},
	{"channel", `channel.make()`, "unknown name 'channel'"},
	{"string methods", `string.rep = nil string.__index = nil error(("x"):rep(2))`, "xx"},
	{"string metatable", `getmetatable("").__index = nil`, "'getmetatable' is not available"},
	{"globals table", `_G.print = nil`, "'_G' is not available"},
	{"print flood", `while true do print("x") end`, "more than 200 lines"},
	{"print long", `print(("x"):rep(1e6), ("x"):rep(1e6))`, "at most 1048576 bytes"},
	{"errors in a ring", `local t = {} t.t = t error(t)`, "error { t = table }"},
	{"many globals", `while true do x = (x or 0) end`, "unknown name 'x'"},
	{"stale iterator", `local n = 0 local function it() n = n + 1 if n % 4 ~= 0 then return n end end
		local seen = "" for x in it do seen = seen .. x end for x in it do seen = seen .. x end error(seen)`, "123567"},
	{"octal", `error(tostring(tonumber("010") + tonumber("1e3")))`, "1010"},
	{"insert outside", `table.insert({}, 1e9, 1)`, "outside the list"},
}

func TestAttacks(t *testing.T) {
	const soon = 20 * time.Second // a hang is what is looked for, not speed
	for _, a := range attacks {
		t.Run(a.name, func(t *testing.T) {
			done := make(chan error, 1)
			go func() {
				defer func() {
					if r := recover(); r != nil {
						done <- fmt.Errorf("panic: %v", r)
					}
				}()
				done <- runSource("f.lua", []byte(a.source), Options{Limits: Limits{Heap: 256 << 20, Wall: time.Second}})
			}()
			select {
			case err := <-done:
				var e *Error
				if !errors.As(err, &e) {
					t.Fatalf("got %v (%T), want an *Error", err, err)
				}
				if e.Line == 0 || strings.Contains(err.Error(), "traceback") || strings.Contains(err.Error(), "goroutine") {
					t.Errorf("no place, or a trace: %v", err)
				}
				if !strings.Contains(err.Error(), a.want) {
					t.Errorf("got %v, want %q in it", err, a.want)
				}
				if a.want == "" {
					t.Log(err)
				}
			case <-time.After(soon):
				t.Fatal("still running")
			}
		})
	}
	runtime.GC()
}

// TestHostFaultsAreGuarded checks that what the compiler would get wrong is
// refused, and what looks like it but is right is not.
func TestHostFaultsAreGuarded(t *testing.T) {
	for _, source := range []string{
		"for k in pairs({1}) do if false then local x = 1 end end",
		"for k in pairs({1}) do if nil then local x = 1 end end",
		"for k in pairs({1}) do if true then if x and false then local x = 1 end end end",
		"for k in ipairs({1}) do while false do local x = 1 end end",
		"for k in ipairs({1}) do if k then print(k) elseif false then local x = 1 end end",
		"for k in ipairs({1}) do local f = function() if false then local x = 1 end end end",
	} {
		if _, err := Compile("f.lua", []byte(source)); err == nil || !strings.Contains(err.Error(), "would be run wrongly") {
			t.Errorf("%s: got %v", source, err)
		}
	}
	for _, source := range []string{
		"local off = false for k in pairs({1}) do if off then local x = 1 end end",
		"if false then local x = 1 end",
		"for k in pairs({1}) do if k == false then local x = 1 end end",
	} {
		if _, err := Compile("f.lua", []byte(source)); err != nil {
			t.Errorf("%s: refused: %v", source, err)
		}
	}
}
