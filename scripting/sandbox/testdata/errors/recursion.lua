-- want: recursion.lua:3: functions call each other too deeply
-- hint: does a function call itself without an end?
local function f(n) return 1 + f(n + 1) end
f(0)
